"""What a dialect cannot say in one block, said in several: arcs in pieces."""

from __future__ import annotations

import math
from collections.abc import Iterable

from polypocket.program import Arc, Point

__all__ = ["arc_in_pieces"]

Triple = tuple[float, float, float]

_TURN = 2.0 * math.pi
_QUARTER = math.pi / 2.0
#: Angles nearer than this are one, radians: over 1 m it is a thousandth of the finest step that is written.
_SAME = 1e-9


def arc_in_pieces(
    start: Triple, arc: Arc, *, full_circles: bool, quadrants: bool, shortest: float
) -> tuple[Arc, ...]:
    """Return an arc as arcs of at most one turn each, helices with their share of the height.

    Args:
        start: where it begins, mm.
        arc: any number of turns.
        full_circles: an arc may go once round; else it goes less than half way round at a time.
        quadrants: an arc stays inside one quadrant about its centre.
        shortest: no piece is shorter, mm; rounding moves the ends of an arc by as much across its quadrant's border.
    """
    cx, cy = arc.centre
    end = _end(start, arc)
    begin = math.atan2(start[1] - cy, start[0] - cx)
    sense = -1.0 if arc.clockwise else 1.0
    sweep = (math.atan2(end[1] - cy, end[0] - cx) - begin) * sense % _TURN
    if sweep < _SAME or _TURN - sweep < _SAME:
        sweep = _TURN
    sweep += _TURN * arc.turns
    radius = math.dist(start[:2], (cx, cy))
    least = max(_SAME, shortest / radius)
    cuts = [
        angle
        for angle in _cuts(begin * sense, sweep, full_circles, quadrants)
        if least < angle < sweep - least
    ]
    pieces = []
    for angle in cuts:
        at = begin + sense * angle
        to = Point(
            cx + radius * math.cos(at),
            cy + radius * math.sin(at),
            start[2] + (end[2] - start[2]) * angle / sweep,
        )
        pieces.append(Arc(to, arc.centre, arc.clockwise, 0, arc.rate))
    return (*pieces, Arc(Point(*end), arc.centre, arc.clockwise, 0, arc.rate))


def _cuts(begin: float, sweep: float, full_circles: bool, quadrants: bool) -> Iterable[float]:
    """Return how far into the sweep it is cut, angles counted in the arc's own sense."""
    if quadrants:
        first = (math.floor(begin / _QUARTER + _SAME) + 1) * _QUARTER - begin
        return (first + i * _QUARTER for i in range(math.ceil(sweep / _QUARTER) + 1))
    if sweep > _TURN + _SAME or (not full_circles and sweep > math.pi):
        parts = math.ceil(sweep / (_TURN if full_circles else math.pi) - _SAME)
        return (sweep * i / parts for i in range(1, parts))
    return ()


def _end(start: Triple, arc: Arc) -> Triple:
    to = arc.to
    return (
        start[0] if to.x is None else to.x,
        start[1] if to.y is None else to.y,
        start[2] if to.z is None else to.z,
    )
