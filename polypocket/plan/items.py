"""The passes and links that strokes become."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.plan.timing import items_seconds, seconds
from polypocket.plan.ways import least_seconds_between, leaving, way_between
from polypocket.program.items import Link, Pass
from polypocket.program.moves import Arc, Feed, Move, Point
from polypocket.program.straight import without_stops

__all__ = ["items_of", "least_seconds", "strokes_seconds"]


def items_of(strokes: Sequence[Stroke], method: Method, number: int = 1) -> Iterator[Link | Pass]:
    """Yield the passes of ``strokes``, numbered from ``number`` on, and the links between them."""
    for i, stroke in enumerate(strokes):
        if i + 1 == len(strokes):
            yield _pass(number + i, stroke, leaving(stroke, method), method)
        else:
            way = way_between(stroke, strokes[i + 1], method)
            yield _pass(number + i, stroke, way.lead_out, method)
            yield Link(way.link)


def strokes_seconds(strokes: Sequence[Stroke], method: Method) -> float:
    """Return the seconds from the first stroke's beginning to the last one's end."""
    if not strokes:
        return 0.0
    x, y = strokes[0].arrivals[-1]
    return items_seconds(items_of(strokes, method), (x, y, strokes[0].level), method.kinematics)


def least_seconds(strokes: Sequence[Stroke], method: Method) -> float:
    """Return the seconds that strokes of one height take where no way between them has to go round anything."""
    cutting = sum(
        seconds(without_stops(Point(*start), _cut(stroke, method)), start, method.kinematics)
        for stroke in strokes
        for start in [(*stroke.arrivals[-1], stroke.level)]
    )
    return cutting + sum(least_seconds_between(a, b, method) for a, b in pairwise(strokes))


def _pass(number: int, stroke: Stroke, lead_out: Move, method: Method) -> Pass:
    cut, level = stroke.cut, stroke.level
    lead_in, *moves = _cut(stroke, method)
    return Pass(
        number=number,
        feature=stroke.feature,
        flat=cut.flats[0],
        last_flat=cut.flats[-1],
        level=level,
        index=cut.index,
        role=stroke.role,
        side="left" if cut.anticlockwise else "right",
        size_register=method.size_register,
        lead_in=(lead_in,),
        cut=tuple(moves),
        lead_out=(lead_out,),
    )


def _cut(stroke: Stroke, method: Method) -> tuple[Move, ...]:
    """Return the move up to the material and those in it."""
    cut, level = stroke.cut, stroke.level
    return (
        Feed(Point(*cut.contact, level), method.feed),
        *(
            Feed(Point(*stretch.to, level), method.feed)
            if stretch.centre is None
            else Arc(Point(*stretch.to, level), stretch.centre, not cut.anticlockwise, 0, method.feed)
            for stretch in cut.path
        ),
    )
