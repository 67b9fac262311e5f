"""Joining cuts of neighbouring flats into one that rolls round the corner between them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from polypocket.plan.cuts import Cut, Stretch
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = ["joined"]

#: Slack against rounding in comparing lengths, mm.
_SLACK = 1e-6


def joined(cuts: Sequence[Cut], radius: float, widest: float, thickest: float) -> tuple[Cut, ...]:
    """Join each cut to the one before it where the material goes on round the corner between their lines.

    On the corner the cutter rolls about the point where the two lines meet. There it must find material no thicker
    than ``thickest`` mm measured from that point, and past it no strip wider than ``widest`` mm; otherwise the cuts
    stay apart. A cut goes round the part once at most, so that it can be told and repeated by itself.
    """
    result: list[Cut] = []
    for i, cut in enumerate(cuts):
        if result and cut.flats[0] not in result[-1].flats and _continues(cuts[i - 1], cut, widest, thickest):
            result[-1] = _join(result[-1], cut, radius)
        else:
            result.append(cut)
    return tuple(result)


def _continues(first: Cut, second: Cut, widest: float, thickest: float) -> bool:
    """Whether material stands at the corner between the two lines and nowhere thicker than ``thickest``.

    What lies between the two flats' directions is taken while the cutter rolls, and thickest measured from the
    corner; what lies past the corner on the first line's side is left to the second cut, which must not find
    more than ``widest``.
    """
    here, there = first.lines[-1], second.lines[0]
    turn = (there.direction - here.direction) % (2.0 * math.pi)
    if not 1e-6 < turn < math.pi - 1e-6:
        return False
    if first.before.support(there.direction) - there.distance > widest + _SLACK:
        return False
    corner = here.corner(there)
    fan = _ahead(
        _ahead(first.before, corner, here.direction + math.pi / 2.0), corner, there.direction - math.pi / 2.0
    )
    distances = [math.dist(corner, vertex) for vertex in fan.vertices]
    return bool(distances) and min(distances) < _SLACK and max(distances) <= thickest + _SLACK


def _ahead(outline: Outline, point: tuple[float, float], direction: float) -> Outline:
    """Return the part of the outline that lies ahead of ``point`` in ``direction``."""
    x, y = point
    return outline.clip(direction + math.pi, -(x * math.cos(direction) + y * math.sin(direction)))


def _join(first: Cut, second: Cut, radius: float) -> Cut:
    here, there = first.lines[-1], second.lines[0]
    corner = here.corner(there)
    return Cut(
        flats=first.flats + second.flats,
        index=first.index,
        lines=first.lines + second.lines,
        contact=first.contact,
        path=(
            *first.path[:-1],
            Stretch(_over(corner, here, radius)),
            Stretch(_over(corner, there, radius), corner),
            *second.path,
        ),
        leave=second.leave,
        anticlockwise=first.anticlockwise,
        before=first.before,
        after=second.after,
    )


def _over(corner: tuple[float, float], line: Line, radius: float) -> tuple[float, float]:
    """Where the cutter's centre is when it touches the line at its corner."""
    return corner[0] + radius * math.cos(line.direction), corner[1] + radius * math.sin(line.direction)
