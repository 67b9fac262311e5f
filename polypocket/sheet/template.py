"""The layout at its true size: to glue on the stock in place of scribing, and to read into other drawing programs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product

from polypocket.model.job import BlockJob, Section
from polypocket.shape.polygon import RegularPolygon
from polypocket.sheet.clear import clear_place, placed_clear
from polypocket.sheet.ink import Circle, Drawing, Item, LineKind, Path, Place, Point, Text, text_width
from polypocket.sheet.outlines import centre_lines, reach, stock_item

__all__ = ["layout_drawing"]

#: Round a corner, to set a prick punch in, mm.
_CORNER = 0.8
#: Centre lines go past the stock, to be laid on its scribed centre lines or edges, mm.
_PAST = 6.0
#: Numbers of flats: height, distance inside of the flat and least gap between one and the next, mm.
_NUMBER, _INSIDE, _APART = 1.8, 2.0, 1.0


def layout_drawing(job: BlockJob) -> Drawing:
    """Return the layout of a block, mm from its centre, X to the right and Y away from the operator.

    Marks: ``stock``, ``centre line``, ``section 1 flat 2`` for each flat's line, ``section 1 corner 2`` for the corner
    after it.
    """
    half_x, half_y = reach(job.stock)
    lines: list[Item] = [
        stock_item(job.stock, Place(1.0), LineKind.BEFORE),
        *centre_lines(half_x, half_y, Place(1.0), _PAST),
        *(item for number, section in enumerate(job.sections, start=1) for item in _lines(number, section)),
        *_names(half_x, half_y),
    ]
    # Numbers go where nothing runs through them, so that all lines are there first.
    for number, section in enumerate(job.sections, start=1):
        for text in _numbers(number, section, lines):
            lines.append(text)
    return Drawing(f"{job.name}: layout, true to scale", tuple(lines))


def _lines(number: int, section: Section) -> Iterator[Item]:
    polygon = section.polygon()
    corners = polygon.vertices()
    for flat in range(1, polygon.sides + 1):
        # The first corner is the one after flat 1.
        ends = corners[flat - 2], corners[flat - 1]
        yield Path(LineKind.NARROW, ends, mark=f"section {number} flat {flat}")
        yield Circle(LineKind.FINE, corners[flat - 1], _CORNER, f"section {number} corner {flat}")


def _numbers(number: int, section: Section, drawn: Sequence[Item]) -> Iterator[Text]:
    """Yield the numbers of a section's flats, as many as have room, each clear of what is drawn by then.

    Where not every flat has room for its number, none stands where something runs through it.
    """
    polygon = section.polygon()
    radius = polygon.inradius - _INSIDE - _NUMBER / 2.0
    if radius <= _NUMBER:
        return
    apart = _APART + text_width(f"{number}·{polygon.sides}", _NUMBER)
    every = max(1, math.ceil(apart * polygon.sides / (2.0 * math.pi * radius)))
    last = 1 - every
    for flat in range(1, polygon.sides + 1):
        if flat - last < every:
            continue
        text = Text((0.0, 0.0), f"{number}·{flat}", _NUMBER, mark="number")
        places = tuple(_places(polygon, flat, number))
        placed = clear_place(text, places, drawn) if every > 1 else placed_clear(text, places, drawn)
        if placed is not None:
            last = flat
            yield placed


def _places(polygon: RegularPolygon, flat: int, number: int) -> Iterator[Point]:
    """Yield where the number of a flat may stand: beside its middle, where centre lines are; inside before outside.

    Each section's begin in places of their own.
    """
    direction = polygon.direction(flat)
    first = -0.3 + 0.15 * ((number - 1) % 5)
    shares = sorted((0.05 * step for step in range(-8, 9)), key=lambda share: abs(share - first))
    # On short flats a number clears a centre line only beyond its flat, and stays as near to it as that allows.
    further = (1.6, -1.6, 2.2, -2.2, 2.8, -2.8)
    inside = _INSIDE + _NUMBER / 2.0
    away = (
        -inside,
        -inside - 0.4,
        -inside - 1.1,
        -inside - 1.8,
        _INSIDE,
        _INSIDE + 1.0,
        -inside - 2.6,
        -inside - 4.0,
    )
    along = [*(share * polygon.side for share in (first, *shares)), *further]
    for beyond, beside in product(away, along):
        x, y = _polar(direction, polygon.inradius + beyond)
        yield x - beside * math.sin(direction), y + beside * math.cos(direction) - _NUMBER / 2.0


def _names(half_x: float, half_y: float) -> Iterator[Item]:
    yield Text((half_x + _PAST + 1.0, -1.0), "X+", 2.5, "start", mark="name")
    yield Text((0.0, half_y + _PAST + 1.5), "Y+", 2.5, mark="name")


def _polar(direction: float, distance: float) -> Point:
    return distance * math.cos(direction), distance * math.sin(direction)
