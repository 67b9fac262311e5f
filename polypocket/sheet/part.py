"""The part as a shop drawing: seen from above, and cut along A–A, which is seen from where the operator stands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from polypocket.dryrun.part import Level, levels_of
from polypocket.model.job import BlockJob
from polypocket.sheet.dimension import arrowhead, linear
from polypocket.sheet.hatching import hatched
from polypocket.sheet.ink import Drawing, Item, LineKind, Path, Place, Point, Text
from polypocket.sheet.outlines import centre_lines, reach, span_at, stock_item
from polypocket.sheet.projection import Projection
from polypocket.sheet.scales import scale_text, scale_that_fits
from polypocket.sheet.sizes import size_text

__all__ = ["PartDrawing", "part_drawing"]

#: Room of the two views without their dimensions, mm on paper.
_WIDTH, _HEIGHT = 78.0, 104.0
#: Between views, and from a view to its first dimension and from one to the next, mm on paper.
_BETWEEN, _FIRST, _NEXT = 24.0, 9.0, 7.0


class PartDrawing(NamedTuple):
    """The drawing and the scale that its title block gives."""

    drawing: Drawing
    scale: str


#: A corner on the cutting plane is on it within this, mm.
_LEVEL = 1e-6


def part_drawing(job: BlockJob, projection: Projection) -> PartDrawing:
    """Return a job's part, dimensioned in the job's units.

    The sections' own sizes stand in a figure each (``section_drawing``); here are the stock's and the depths.
    """
    half_x, half_y = reach(job.stock)
    thickness = job.stock.thickness
    scale = scale_that_fits(2.0 * half_x, 2.0 * half_y + thickness, _WIDTH, _HEIGHT)
    above = Place(scale)
    gap = scale * (half_y + thickness / 2.0) + _BETWEEN
    middle = gap if projection == "first" else -gap
    front = Place(scale, 0.0, middle + scale * thickness / 2.0)
    levels = levels_of(job)
    items = (*_from_above(job, levels, above), *_section(job, levels, front))
    return PartDrawing(Drawing(f"{job.name}: seen from above, and section A–A", items), scale_text(scale))


def _from_above(job: BlockJob, levels: Sequence[Level], place: Place) -> Iterator[Item]:
    half_x, half_y = reach(job.stock)
    yield stock_item(job.stock, place, LineKind.VISIBLE)
    for level in levels:
        if level.section is not None:
            yield Path(LineKind.VISIBLE, place.all(level.finished.vertices), closed=True, mark=level.feature)
    yield from centre_lines(half_x, half_y, place)
    yield from _cutting_plane(half_x, place)
    yield from _stock_sizes(job, place)


def _cutting_plane(half_x: float, place: Place) -> Iterator[Item]:
    """Yield the ends of the cutting plane, with arrows that look away from the operator."""
    _, y = place((0.0, 0.0))
    for sign in (-1.0, 1.0):
        x = place((sign * half_x, 0.0))[0] + sign * 5.5
        yield Path(LineKind.VISIBLE, ((x - 2.0, y), (x + 2.0, y)))
        yield Path(LineKind.NARROW, ((x, y - 6.0), (x, y)))
        yield arrowhead((x, y), 90.0)
        yield Text((x, y - 10.0), "A", 3.5)


def _stock_sizes(job: BlockJob, place: Place) -> Iterator[Item]:
    stock, units = job.stock, job.units
    half_x, half_y = reach(stock)
    (left, low), (right, high) = place((-half_x, -half_y)), place((half_x, half_y))
    if stock.diameter is not None:
        text = f"⌀{size_text(stock.diameter, units)}"
        yield from linear((left, 0.0), (right, 0.0), 0.0, high + _FIRST, text, "stock diameter")
    elif stock.width is not None:
        text = size_text(stock.width, units)
        yield from linear((left, high), (right, high), 0.0, high + _FIRST, text, "stock width")
        length, mark = (
            (stock.length, "stock length") if stock.length else (stock.width, "stock width along Y")
        )
        # Beside the letter A of the cutting plane. An upright line has its left towards -X.
        at = -(right + _FIRST + 4.0)
        yield from linear((right, low), (right, high), 90.0, at, size_text(length, units), mark)
    elif stock.across_flats is not None:
        yield from _across_polygon(job, place)


def _across_polygon(job: BlockJob, place: Place) -> Iterator[Item]:
    """Yield polygon stock's size: across flats, or from a flat to the corner opposite."""
    outline = job.stock.outline()
    direction, distance = min(
        job.stock.faces(), key=lambda face: abs(_from_level(face[0]))
    )  # the face nearest to +X or -X, so that the line is nearly level
    high = place.scale * outline.support(direction + math.pi / 2.0) + _FIRST
    opposite = outline.support(direction + math.pi)
    a, b = _polar(direction, distance), _polar(direction, -opposite)
    size = size_text(distance + opposite, job.units)
    even = len(job.stock.faces()) % 2 == 0
    text = f"{job.stock.sides} sides, {size}" if even else f"{job.stock.sides} sides, flat to corner {size}"
    yield from linear(
        place(a),
        place(b),
        math.degrees(direction),
        high,
        text,
        "stock across" if even else "stock flat to corner",
    )


def _section(job: BlockJob, levels: Sequence[Level], place: Place) -> Iterator[Item]:
    half_x, _ = reach(job.stock)
    spans = [(span_at(level.finished, 0.0), level.low, level.high) for level in levels]
    right_side = [point for (_, right), low, high in spans for point in ((right, high), (right, low))]
    left_side = [point for (left, _), low, high in reversed(spans) for point in ((left, low), (left, high))]
    face = place.all((*right_side, *left_side))
    yield from hatched([face])
    yield Path(LineKind.VISIBLE, face, closed=True, mark="cut face")
    for level in levels:
        yield from _behind(level, place)
    top, bottom = place((0.0, 0.0)), place((0.0, -job.stock.thickness))
    yield Path(LineKind.CENTRE, ((top[0], bottom[1] - 3.0), (top[0], top[1] + 3.0)), mark="centre line")
    yield Text((top[0], top[1] + 5.5), "A – A", 3.5)
    yield from _depths(job, levels, place, half_x)


def _behind(level: Level, place: Place) -> Iterator[Item]:
    """Yield what stands beyond the cut face at either side, such as a corner further back."""
    left, right = span_at(level.finished, 0.0)
    behind = [left, right, *(x for x, y in level.finished.vertices if y > -_LEVEL)]
    for inner, outer in ((left, min(behind)), (right, max(behind))):
        if abs(outer - inner) * place.scale > 0.3:
            corners = ((inner, level.low), (outer, level.low), (outer, level.high), (inner, level.high))
            yield Path(LineKind.VISIBLE, place.all(corners), mark="behind")


def _depths(job: BlockJob, levels: Sequence[Level], place: Place, half_x: float) -> Iterator[Item]:
    """Yield each floor's depth on the right, the shallowest nearest, and the thickness on the left."""
    right = place((half_x, 0.0))[0]
    cut = [level for level in levels if level.section is not None]
    for number, level in enumerate(cut):
        section = job.sections[(level.section or 1) - 1]
        feet = [span_at(lv.finished, 0.0)[1] for lv in (levels[0], level)]
        a, b = place((feet[0], 0.0)), place((feet[1], level.low))
        at = -(right + _FIRST + _NEXT * number)
        yield from linear(
            a, b, 90.0, at, size_text(section.depth, job.units), f"section {level.section} depth"
        )
    left = place((-half_x, 0.0))[0]
    a = place((span_at(levels[0].finished, 0.0)[0], 0.0))
    b = place((-half_x, -job.stock.thickness))
    text = size_text(job.stock.thickness, job.units)
    yield from linear(a, b, 90.0, -(left - _FIRST), text, "stock thickness")


def _from_level(direction: float) -> float:
    """How far a direction is from ±X, radians."""
    turned = direction % math.pi
    return min(turned, math.pi - turned)


def _polar(direction: float, distance: float) -> Point:
    return distance * math.cos(direction), distance * math.sin(direction)
