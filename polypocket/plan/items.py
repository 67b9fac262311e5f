"""The passes and links that strokes become."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.plan.timing import items_seconds
from polypocket.plan.ways import leaving, way_between
from polypocket.program.items import Link, Pass
from polypocket.program.moves import Arc, Feed, Move, Point

__all__ = ["items_of", "strokes_seconds"]


def items_of(strokes: Sequence[Stroke], method: Method) -> Iterator[Link | Pass]:
    """Yield the passes of ``strokes``, numbered from 1, and the links between them."""
    for i, stroke in enumerate(strokes):
        if i + 1 == len(strokes):
            yield _pass(i + 1, stroke, leaving(stroke, method), method)
        else:
            way = way_between(stroke, strokes[i + 1], method)
            yield _pass(i + 1, stroke, way.lead_out, method)
            yield Link(way.link)


def strokes_seconds(strokes: Sequence[Stroke], method: Method) -> float:
    """Return the seconds from the first stroke's beginning to the last one's end."""
    if not strokes:
        return 0.0
    x, y = strokes[0].arrivals[-1]
    return items_seconds(items_of(strokes, method), (x, y, strokes[0].level), method.kinematics)


def _pass(number: int, stroke: Stroke, lead_out: Move, method: Method) -> Pass:
    cut, level = stroke.cut, stroke.level
    return Pass(
        number=number,
        feature=stroke.feature,
        flat=cut.flats[0],
        last_flat=cut.flats[-1],
        level=level,
        index=cut.index,
        role=stroke.role,
        side="left" if cut.anticlockwise else "right",
        size_register=None,
        lead_in=(Feed(Point(*cut.contact, level), method.feed),),
        cut=tuple(
            Feed(Point(*stretch.to, level), method.feed)
            if stretch.centre is None
            else Arc(Point(*stretch.to, level), stretch.centre, not cut.anticlockwise, 0, method.feed)
            for stretch in cut.path
        ),
        lead_out=(lead_out,),
    )
