"""In which order sections are cut: the one with the least machine time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import TypeVar

__all__ = ["MOST_COMPARED", "quickest_order"]

T = TypeVar("T")

#: Up to this many sections every order is compared; beyond it only deepest first and shallowest first.
MOST_COMPARED = 6


def quickest_order(
    depths: Sequence[float],
    stage: Callable[[int, int | None, int | None], T],
    seconds: Callable[[T], float],
    between: Callable[[T | None, T | None], float] = lambda before, after: 0.0,
) -> list[T]:
    """Return the stages of all sections in the order that takes the least time, exact up to ``MOST_COMPARED`` of them.

    What a section has to take off depends on two others only: its wall begins at the floor of the deepest shallower
    one that is done, and its material reaches out to the shallowest deeper one that is done (or to the stock).

    Args:
        depths: of the sections, all different, from the shallowest down.
        stage: makes the stage of a section, given the sections done above and below it (indices or ``None``).
        seconds: of a stage.
        between: seconds of the way from one stage to the next; ``None`` before the first and after the last.
    """
    make = cache(stage)
    everything = frozenset(range(len(depths)))

    def neighbours(section: int, done: frozenset[int]) -> tuple[int | None, int | None]:
        above = max((other for other in done if other < section), default=None)
        below = min((other for other in done if other > section), default=None)
        return above, below

    def stages(order: Sequence[int]) -> list[T]:
        return [make(s, *neighbours(s, frozenset(order[:i]))) for i, s in enumerate(order)]

    def total(order: Sequence[int]) -> float:
        made = stages(order)
        return sum(map(seconds, made)) + sum(map(between, [None, *made], [*made, None]))

    @cache
    def best(done: frozenset[int], last: int | None) -> tuple[float, tuple[int, ...]]:
        """Least time from the end of section ``last`` on, and the order of the sections that are left."""
        before = None if last is None else make(last, *neighbours(last, done - {last}))
        if done == everything:
            return between(before, None), ()
        ways = []
        for section in sorted(everything - done):
            after = make(section, *neighbours(section, done))
            rest, order = best(done | {section}, section)
            ways.append((rest + seconds(after) + between(before, after), (section, *order)))
        return min(ways)

    if len(depths) <= MOST_COMPARED:
        return stages(best(frozenset(), None)[1])
    return stages(min(tuple(everything), tuple(reversed(range(len(depths)))), key=total))
