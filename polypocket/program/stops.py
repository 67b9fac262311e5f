"""Where a program stops for a person."""

from __future__ import annotations

from collections.abc import Sequence

from polypocket.program.items import Ask, Item, UseCutter

__all__ = ["asks_a_person", "stops_of"]


def asks_a_person(item: Item) -> bool:
    """Whether the program stops after an item, unless the next asks for more; a length is taken up after the stop."""
    if isinstance(item, UseCutter):
        return (item.by_hand or item.touch_off) and item.length_register is None
    return isinstance(item, Ask)


def stops_of(items: Sequence[Item]) -> int:
    """Return how often a program stops: what is asked in a row is asked at one stop."""
    asking = [asks_a_person(item) for item in items]
    own = sum(isinstance(item, UseCutter) and item.by_hand and not asks_a_person(item) for item in items)
    return own + sum(here and not before for before, here in zip([False, *asking], asking, strict=False))
