"""The display list: what a drawing consists of, before anything is written as SVG, PDF or DXF.

Coordinates are millimetres on paper, X to the right, Y upwards, unless a drawing says otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple, TypeAlias

__all__ = [
    "Box",
    "Circle",
    "Drawing",
    "Item",
    "LineKind",
    "Path",
    "Place",
    "Point",
    "Text",
    "box_of",
    "text_width",
]

Point: TypeAlias = tuple[float, float]


class LineKind(Enum):
    """Kinds of line by what they show: width in mm, and lengths of dashes and gaps in line widths.

    ISO 128-2 has two widths in the ratio 2 : 1 (line group 0.5: 0.5 mm and 0.25 mm) and the lengths of dashes; the
    numbers behind the names are its types of line (from memory).
    """

    VISIBLE = (0.5, ())  # 01.2: visible edges and outlines
    NARROW = (0.25, ())  # 01.1: dimension, extension and leader lines, hatching
    FINE = (0.13, ())  # 01.1 of the next smaller group: what is only background
    CENTRE = (0.25, (24, 3, 0.5, 3))  # 04.1: centre lines, paths of motion
    BEFORE = (0.25, (24, 3, 0.5, 3, 0.5, 3))  # 05.1: outlines prior to forming, adjacent parts
    SOLID = (0.0, ())  # filled: arrowheads

    def __init__(self, width: float, pattern: tuple[float, ...]) -> None:
        self.width = width
        self.pattern = pattern

    @property
    def dashes(self) -> tuple[float, ...]:
        """Lengths of dashes and gaps in turn, mm; none for a continuous line."""
        return tuple(round(part * self.width, 4) for part in self.pattern)


@dataclass(frozen=True, slots=True)
class Path:
    """Straight lines from point to point; ``mark`` names what it shows, for whoever reads the drawing back."""

    kind: LineKind
    points: tuple[Point, ...]
    closed: bool = False
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    kind: LineKind
    centre: Point
    radius: float
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text.

    Attributes:
        at: of its baseline.
        text: what it says.
        size: height of its capitals, mm: 2.5 and 3.5 are those of ISO 3098 (from memory).
        anchor: which part of it stands at ``at``: ``start``, ``middle`` or ``end``.
        angle: in which it runs, degrees anticlockwise.
        mark: names the dimension that it gives, such as ``section 1 across flats``.
        bold: whether in heavier letters.
    """

    at: Point
    text: str
    size: float = 2.5
    anchor: str = "middle"
    angle: float = 0.0
    mark: str = ""
    bold: bool = False


Item: TypeAlias = Path | Circle | Text


class Box(NamedTuple):
    """Lowest X and Y, highest X and Y."""

    left: float
    bottom: float
    right: float
    top: float

    def grown(self, by: float) -> Box:
        """Return the box with a margin all round."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    @property
    def width(self) -> float:
        """Along X."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Along Y."""
        return self.top - self.bottom


@dataclass(frozen=True, slots=True)
class Drawing:
    """Items in the order in which they are drawn, and what they show, for who cannot see them."""

    title: str
    items: tuple[Item, ...]

    def box(self) -> Box:
        """Return the box round everything, texts as wide as ``text_width`` takes them to be."""
        return box_of(*self.items)


class Place(NamedTuple):
    """Where a view stands on the paper: ``scale`` paper millimetres a millimetre, the origin at ``x``, ``y``."""

    scale: float
    x: float = 0.0
    y: float = 0.0

    def __call__(self, point: Point) -> Point:
        """Return where a point of the view is on the paper."""
        return self.x + self.scale * point[0], self.y + self.scale * point[1]

    def all(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Return where points are on the paper."""
        return tuple(self(point) for point in points)


def box_of(*items: Item) -> Box:
    """Return the box round items, texts as wide as ``text_width`` takes them to be."""
    points = [point for item in items for point in _extremes(item)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def text_width(text: str, size: float) -> float:
    """Return how wide a text is at most in the letters of a wide plain face, mm; no source, measured on several."""
    return 0.85 * size * len(text)


def _extremes(item: Item) -> Iterator[Point]:
    match item:
        case Path(_, points):
            yield from points
        case Circle(_, (x, y), radius):
            yield x - radius, y - radius
            yield x + radius, y + radius
        case Text((x, y), text, size, anchor, angle):
            width = text_width(text, size)
            start = {"start": 0.0, "middle": -width / 2.0, "end": -width}[anchor]
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            for along in (start, start + width):
                for up in (-0.25 * size, size):
                    yield x + along * c - up * s, y + along * s + up * c
