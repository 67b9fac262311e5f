"""In which order sections are cut: the one with the least machine time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise
from typing import TypeVar

__all__ = ["MOST_COMPARED", "quickest_order"]

T = TypeVar("T")

#: Up to this many sections every order is compared; beyond it only deepest first and shallowest first.
MOST_COMPARED = 6


def quickest_order(
    depths: Sequence[float],
    stage: Callable[[int, int | None, int | None], T],
    seconds: Callable[[T], float],
    between: Callable[[int, int], float],
) -> list[T]:
    """Return the stages of all sections in the order that takes the least time.

    What a section has to take off depends on two others only: its wall begins at the floor of the deepest shallower
    one that is done, and its material reaches out to the shallowest deeper one that is done (or to the stock).

    Args:
        depths: of the sections, all different, from the shallowest down.
        stage: makes the stage of a section, given the sections done above and below it (indices or ``None``).
        seconds: of a stage.
        between: seconds from one section to another (indices), such as a change of the cutter takes; the ways between
            stages do not count.
    """
    make = cache(stage)
    everything = frozenset(range(len(depths)))

    def neighbours(section: int, done: frozenset[int]) -> tuple[int | None, int | None]:
        above = max((other for other in done if other < section), default=None)
        below = min((other for other in done if other > section), default=None)
        return above, below

    def total(order: Sequence[int]) -> float:
        cutting = sum(seconds(make(s, *neighbours(s, frozenset(order[:i])))) for i, s in enumerate(order))
        return cutting + sum(between(a, b) for a, b in pairwise(order))

    @cache
    def best(done: frozenset[int], last: int | None) -> tuple[float, tuple[int, ...]]:
        """Least time from here on, and the order of the sections that are left."""
        if done == everything:
            return 0.0, ()
        ways = []
        for section in sorted(everything - done):
            rest, order = best(done | {section}, section)
            spent = seconds(make(section, *neighbours(section, done)))
            if last is not None:
                spent += between(last, section)
            ways.append((rest + spent, (section, *order)))
        return min(ways)

    if len(depths) <= MOST_COMPARED:
        order = best(frozenset(), None)[1]
    else:
        order = min(tuple(everything), tuple(reversed(range(len(depths)))), key=total)
    return [make(s, *neighbours(s, frozenset(order[:i]))) for i, s in enumerate(order)]
