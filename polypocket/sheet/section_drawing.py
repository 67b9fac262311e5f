"""One section seen from above with its own sizes, a figure each, so that any number of sections stays readable."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

from polypocket.model.job import BlockJob, flats_left
from polypocket.shape.polygon import RegularPolygon
from polypocket.sheet.clear import placed_clear
from polypocket.sheet.dimension import linear
from polypocket.sheet.ink import Circle, Drawing, Item, LineKind, Path, Place, Point, Text
from polypocket.sheet.outlines import centre_lines
from polypocket.sheet.sizes import angle_text, size_text

__all__ = ["section_drawing"]

#: Radius of the circle through the corners on paper, mm. The figure is not to scale.
_RADIUS = 16.0
#: From that circle to the dimension lines, and least distance between two flats' numbers, mm on paper.
_AWAY, _NUMBERS_APART = 7.0, 4.2
_NUMBER_INSIDE = 3.4


class _Way(NamedTuple):
    """A dimension: along which direction, and on which side of it its line runs (radians)."""

    along: float
    side: float


def section_drawing(job: BlockJob, number: int) -> Drawing:
    """Return section ``number`` (from 1) with its flats numbered and its sizes in the job's units."""
    section = job.sections[number - 1]
    polygon = section.polygon()
    place = Place(_RADIUS / polygon.circumradius)
    mark = f"section {number}"
    lines: tuple[Item, ...] = (
        Path(LineKind.VISIBLE, place.all(polygon.vertices()), closed=True, mark=mark),
        *centre_lines(polygon.circumradius, polygon.circumradius, place, 2.0),
        *_sizes(job, polygon, place, mark),
    )
    items = (*lines, *_numbers(polygon, place, flats_left(job, section), lines))
    title = f"{job.name}, section {number}: {polygon.sides} sides"
    low = Drawing(title, items).box().bottom
    return Drawing(title, (*items, *_angles(polygon, low, mark)))


def _numbers(
    polygon: RegularPolygon, place: Place, left: frozenset[int], lines: Sequence[Item]
) -> Iterator[Item]:
    """Yield the flats' numbers inside of them, as many as have room; in brackets where the stock's face stays.

    A number that a line would run through, such as a centre line, stands beside its flat's middle.
    """
    radius = polygon.inradius * place.scale - _NUMBER_INSIDE
    apart = 2.0 * math.pi * radius / polygon.sides
    every = max(1, math.ceil(_NUMBERS_APART / apart))
    drawn = list(lines)
    for flat in range(1, polygon.sides + 1, every):
        text = f"({flat})" if flat in left else str(flat)
        number = Text((0.0, 0.0), text, 1.8)
        direction = polygon.direction(flat)
        number = placed_clear(number, tuple(_beside(direction, radius)), drawn)
        drawn.append(number)
        yield number


def _beside(direction: float, radius: float) -> Iterator[Point]:
    """Yield where a number may stand: inside the middle of its flat, or a little further along or further in."""
    for inwards, along in product((0.0, 0.8, 1.6, -0.8), (0.0, 1.4, -1.4, 2.0, -2.0, 2.8, -2.8)):
        x, y = _polar(direction, radius - inwards)
        yield x - along * math.sin(direction), y + along * math.cos(direction) - 0.9


def _sizes(job: BlockJob, polygon: RegularPolygon, place: Place, mark: str) -> Iterator[Item]:
    """Yield across flats and across corners, or on odd counts flat to corner and the circle inside."""
    if polygon.sides % 2:
        yield Circle(LineKind.CENTRE, (0.0, 0.0), place.scale * polygon.inradius, "inscribed circle")
        first = ("flat to corner", polygon.flat_to_corner, "", polygon.inradius, -polygon.circumradius)
        second = ("across flats", polygon.across_flats, "⌀", polygon.inradius, -polygon.inradius)
        turned = 0.0  # a diameter can be given in any direction
    else:
        first = ("across flats", polygon.across_flats, "", polygon.inradius, -polygon.inradius)
        second = ("across corners", polygon.across_corners, "", polygon.circumradius, -polygon.circumradius)
        turned = polygon.step / 2.0
    ways = _apart(polygon, turned)
    for (name, size, sign, ahead, back), way in zip((first, second), ways, strict=True):
        a, b = place(_polar(way.along, ahead)), place(_polar(way.along, back))
        angle = math.degrees(way.along)
        # Measured to the left of the line's direction: negative where the line runs on its right.
        left = math.sin(way.side - way.along)
        at = (_RADIUS + _AWAY) * left
        yield from linear(a, b, angle, at, f"{sign}{size_text(size, job.units)}", f"{mark} {name}")


def _apart(polygon: RegularPolygon, turned: float) -> tuple[_Way, _Way]:
    """Return how the two dimensions run, their lines as far from each other round the figure as there is.

    The first stays as level as the flats allow and runs below or above; every choice is among flats that there are.
    """
    flats = [polygon.direction(flat) for flat in range(1, polygon.sides + 1)]
    level = min(abs(math.sin(flat)) for flat in flats)
    firsts = [
        _Way(flat, flat + quarter)
        for flat in flats
        if abs(math.sin(flat)) < level + 1e-9
        for quarter in (math.pi / 2.0, -math.pi / 2.0)
    ]
    if polygon.sides % 2:
        seconds = [_Way(w.along + math.pi / 2.0, w.along + turn) for w in firsts for turn in (0.0, math.pi)]
    else:
        seconds = [
            _Way(flat + turned, flat + turned + quarter)
            for flat in flats
            for quarter in (math.pi / 2.0, -math.pi / 2.0)
        ]
    below = [way for way in firsts if math.sin(way.side) < 0.0] or firsts
    return max(product(below, seconds), key=lambda pair: _room(*pair))


def _room(first: _Way, second: _Way) -> float:
    """How far two dimension lines stay apart, for comparison; ties go to the one that stands on the right."""
    between = abs(math.remainder(first.side - second.side, 2.0 * math.pi))
    # Beyond a right angle there is room enough; upright and on the right reads best.
    return min(between, 1.9) + 0.01 * math.cos(second.side) - 0.005 * abs(math.cos(second.along))


def _angles(polygon: RegularPolygon, low: float, mark: str) -> Iterator[Item]:
    """Yield, below the figure, the angle between neighbouring flats and which way flat 1 faces."""
    text = f"{polygon.sides} × {angle_text(math.pi - polygon.step)}"
    yield Text((0.0, low - 5.0), text, 2.5, mark=f"{mark} angle")
    yield Text(
        (0.0, low - 8.8), f"flat 1 faces {angle_text(polygon.first_flat)}", 2.0, mark=f"{mark} first flat"
    )


def _polar(direction: float, distance: float) -> Point:
    return distance * math.cos(direction), distance * math.sin(direction)
