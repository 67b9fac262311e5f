"""The layout at its true size: to glue on the stock in place of scribing, and to read into other drawing programs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.model.job import BlockJob, Section
from polypocket.sheet.ink import Circle, Drawing, Item, LineKind, Path, Place, Point, Text
from polypocket.sheet.outlines import centre_lines, reach, stock_item

__all__ = ["layout_drawing"]

#: Round a corner, to set a prick punch in, mm.
_CORNER = 0.8
#: Centre lines go past the stock, to be laid on its scribed centre lines or edges, mm.
_PAST = 6.0
#: Numbers of flats: height, distance inside of the flat and least distance from each other, mm.
_NUMBER, _INSIDE, _APART = 1.8, 2.0, 5.5


def layout_drawing(job: BlockJob) -> Drawing:
    """Return the layout of a block, mm from its centre, X to the right and Y away from the operator.

    Marks: ``stock``, ``centre line``, ``section 1 flat 2`` for each flat's line, ``section 1 corner 2`` for the corner
    after it.
    """
    half_x, half_y = reach(job.stock)
    items = (
        stock_item(job.stock, Place(1.0), LineKind.BEFORE),
        *centre_lines(half_x, half_y, Place(1.0), _PAST),
        *(item for number, section in enumerate(job.sections, start=1) for item in _section(number, section)),
        *_names(half_x, half_y),
    )
    return Drawing(f"{job.name}: layout, true to scale", items)


def _section(number: int, section: Section) -> Iterator[Item]:
    polygon = section.polygon()
    corners = polygon.vertices()
    for flat in range(1, polygon.sides + 1):
        # The first corner is the one after flat 1.
        ends = corners[flat - 2], corners[flat - 1]
        yield Path(LineKind.NARROW, ends, mark=f"section {number} flat {flat}")
        yield Circle(LineKind.FINE, corners[flat - 1], _CORNER, f"section {number} corner {flat}")
    # Numbers stand beside the flats' middles, where centre lines are, and each section's in places of its own.
    beside = polygon.side * (-0.3 + 0.15 * ((number - 1) % 5))
    radius = polygon.inradius - _INSIDE - _NUMBER / 2.0
    if radius <= _NUMBER:
        return
    every = max(1, math.ceil(_APART * polygon.sides / (2.0 * math.pi * radius)))
    for flat in range(1, polygon.sides + 1, every):
        direction = polygon.direction(flat)
        x, y = _polar(direction, radius)
        x, y = x - beside * math.sin(direction), y + beside * math.cos(direction)
        yield Text((x, y - _NUMBER / 2.0), f"{number}·{flat}", _NUMBER, mark="number")


def _names(half_x: float, half_y: float) -> Iterator[Item]:
    yield Text((half_x + _PAST + 1.0, -1.0), "X+", 2.5, "start", mark="name")
    yield Text((0.0, half_y + _PAST + 1.5), "Y+", 2.5, mark="name")


def _polar(direction: float, distance: float) -> Point:
    return distance * math.cos(direction), distance * math.sin(direction)
