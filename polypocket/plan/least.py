"""The strips of a plane in the order that takes the least time of all, where there are few enough to try them all.

What stands after some strips depends on which have been taken, not on their order, so that a stroke is known by what
stood before it and by its flat; the least time from its end on is worked out once (dynamic programming). Ways between
strokes count, those round corners in one go do not: this is for screws with play, where each flat is cut by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Literal

from polypocket.plan.cuts import cut_along, mirror_outline, mirrored
from polypocket.plan.items import least_seconds
from polypocket.plan.method import Method
from polypocket.plan.strips import next_line
from polypocket.plan.strokes import Stroke, stroke_of
from polypocket.plan.timing import seconds
from polypocket.plan.ways import leaving, way_between
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = ["MOST_STROKES", "quickest_strokes"]

#: So many different strokes are looked at, and all the ways between them: a tenth of a second. No source.
MOST_STROKES = 100

#: For each flat the line that has been cut last, mm from the centre; ``None`` where none has.
State = tuple[float | None, ...]


class _TooManyError(Exception):
    """More strokes than are looked at."""


def quickest_strokes(
    standing: Outline,
    flats: dict[int, Line],
    depth: float,
    role: Literal["rough", "finish"],
    method: Method,
    most: int = MOST_STROKES,
) -> tuple[Stroke, ...] | None:
    """Return the strokes that take the least time, ways between them included; ``None`` where there are too many.

    Args:
        standing: what stands.
        flats: each flat's number and the line to which its material is to be taken.
        depth: at which the ways are timed, mm.
        role: of the strokes.
        method: how to cut, and on what.
        most: different strokes that are looked at.
    """
    pending = [
        flat
        for flat, line in flats.items()
        if next_line(standing.support(line.direction), line, method.stepover) is not None
    ]
    if len(pending) * 2 ** (len(pending) - 1) > most:  # with one strip a flat there are so many already
        return None
    if method.climb:  # as everywhere, the mirror image is cut conventionally
        standing = mirror_outline(standing)
        flats = {-flat: Line(-line.direction, line.distance) for flat, line in flats.items()}
    numbers = sorted(flats)
    strokes: dict[tuple[State, int], tuple[Stroke, State] | None] = {}

    @cache
    def outline(state: State) -> Outline:
        left = standing
        for flat, distance in zip(numbers, state, strict=True):
            if distance is not None:
                left = left.clip(flats[flat].direction, distance)
        return left

    def stroke(state: State, at: int) -> tuple[Stroke, State] | None:
        """Return the next stroke of a flat and what it leaves; ``None`` where nothing of it stands."""
        if (state, at) not in strokes:
            flat, left = numbers[at], outline(state)
            line = next_line(left.support(flats[flat].direction), flats[flat], method.stepover)
            strokes[state, at] = None
            if line is not None:
                if sum(each is not None for each in strokes.values()) >= most:
                    raise _TooManyError
                cut = cut_along(flat, 1, line, left, method.radius, method.beside)
                made = stroke_of("", -depth, role, mirrored(cut) if method.climb else cut, method)
                strokes[state, at] = made, (*state[:at], line.distance, *state[at + 1 :])
        return strokes[state, at]

    @cache
    def rest(state: State, at: int) -> tuple[float, int | None]:
        """Least seconds after a stroke, and the flat that comes next; ``None`` where it was the last."""
        before = stroke(state, at)
        assert before is not None
        here, after = before
        ways = []
        for following in range(len(numbers)):
            if (there := stroke(after, following)) is not None:
                ways.append((_way(here, there[0], method) + rest(after, following)[0], following))
        spent, following_flat = min(ways, default=(_leaving(here, method), None))
        return least_seconds((here,), method) + spent, following_flat

    untouched: State = (None,) * len(numbers)
    try:
        begins = [
            (rest(untouched, at)[0], at) for at in range(len(numbers)) if stroke(untouched, at) is not None
        ]
    except _TooManyError:
        return None
    state, at = untouched, min(begins)[1] if begins else None
    found: list[Stroke] = []
    while at is not None:
        step = stroke(state, at)
        assert step is not None
        found.append(step[0])
        state, at = step[1], rest(state, at)[1]
    return _counted(found)


def _way(before: Stroke, after: Stroke, method: Method) -> float:
    way = way_between(before, after, method)
    here = (*before.cut.path[-1].to, before.level)
    return seconds((way.lead_out, *way.link), here, method.kinematics)


def _leaving(stroke: Stroke, method: Method) -> float:
    here = (*stroke.cut.path[-1].to, stroke.level)
    return seconds((leaving(stroke, method),), here, method.kinematics)


def _counted(strokes: Sequence[Stroke]) -> tuple[Stroke, ...]:
    """Return strokes with those of each flat numbered from the outermost."""
    taken: dict[int, int] = {}
    counted = []
    for stroke in strokes:
        flat = stroke.cut.flats[0]
        taken[flat] = taken.get(flat, 0) + 1
        counted.append(stroke._replace(cut=replace(stroke.cut, index=taken[flat])))
    return tuple(counted)
