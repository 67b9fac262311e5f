"""The template on sheets of paper: as few as it takes, with register marks where they meet, and bars to check it by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, Literal, NamedTuple, TypeAlias

from polypocket.sheet.ink import Box, Circle, Drawing, Item, LineKind, Path, Point, Text
from polypocket.units import MM_PER_INCH, Units

__all__ = ["Page", "Paper", "pages_of", "paper_of"]

Paper: TypeAlias = Literal["a4", "letter"]

#: Width and height, mm: ISO 216; ANSI/ASME Y14.1 size A, 8½ in by 11 in.
_SIZES: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
#: No printer needs more room at the edges, mm; common practice, no source.
_EDGE = 10.0
#: Room for the bars on the left and at the foot, and for a line of words at the head, mm.
_LEFT, _FOOT, _HEAD = 9.0, 20.0, 12.0
#: How much neighbouring sheets have in common, mm: enough to glue.
_OVERLAP = 14.0
_MARK = 3.0


class Page(NamedTuple):
    """One sheet of paper.

    Attributes:
        width, height: of the paper, mm.
        window: where the layout shows on it, mm from its lower left corner.
        shift: from the layout's coordinates to the paper's, mm.
        layout: items in the layout's coordinates, to be cut off at the window.
        furniture: bars and words in the paper's.
    """

    width: float
    height: float
    window: Box
    shift: Point
    layout: tuple[Item, ...]
    furniture: tuple[Item, ...]


def paper_of(units: Units) -> Paper:
    """Return the paper that shops with these units use: common practice, no source."""
    return "letter" if units == "inch" else "a4"


def pages_of(drawing: Drawing, paper: Paper) -> tuple[Page, ...]:
    """Return a drawing in millimetres on as few sheets as show all of it at its true size, row by row from the top."""
    narrow, tall = _SIZES[paper]
    box = drawing.box().grown(1.0)
    upright, lying = _grid(box, narrow, tall), _grid(box, tall, narrow)
    turned = lying[0] * lying[1] < upright[0] * upright[1]
    width, height = (tall, narrow) if turned else (narrow, tall)
    columns, rows = lying if turned else upright
    window = _window(width, height)
    step_x, step_y = window.width - _OVERLAP, window.height - _OVERLAP
    # The layout stands in the middle of all the sheets together.
    left = (box.left + box.right) / 2.0 - (step_x * columns + _OVERLAP) / 2.0
    top = (box.bottom + box.top) / 2.0 + (step_y * rows + _OVERLAP) / 2.0
    marks = tuple(_register_marks(left, top, step_x, step_y, columns, rows))
    pages = []
    for row in range(rows):
        for column in range(columns):
            shift = window.left - left - column * step_x, window.top - top + row * step_y
            number, count = row * columns + column + 1, rows * columns
            words = f"{drawing.title}; print at 100 %, not fitted; sheet {number} of {count}"
            furniture = tuple(_furniture(width, height, words, count))
            pages.append(Page(width, height, window, shift, (*drawing.items, *marks), furniture))
    return tuple(pages)


def _window(width: float, height: float) -> Box:
    return Box(_EDGE + _LEFT, _EDGE + _FOOT, width - _EDGE, height - _EDGE - _HEAD)


def _grid(box: Box, width: float, height: float) -> tuple[int, int]:
    """Return how many columns and rows of sheets a box takes."""
    window = _window(width, height)

    def count(length: float, room: float) -> int:
        return max(1, math.ceil((length - _OVERLAP) / (room - _OVERLAP) - 1e-9))

    return count(box.width, window.width), count(box.height, window.height)


def _register_marks(
    left: float, top: float, step_x: float, step_y: float, columns: int, rows: int
) -> Iterator[Item]:
    """Yield marks in the middle of what two sheets have in common, two a seam, in the layout's coordinates."""
    for column in range(columns):
        for row in range(rows):
            x, y = left + column * step_x, top - row * step_y
            for share in (0.25, 0.75):
                if column:
                    yield from _cross((x + _OVERLAP / 2.0, y - _OVERLAP / 2.0 - share * step_y))
                if row:
                    yield from _cross((x + _OVERLAP / 2.0 + share * step_x, y - _OVERLAP / 2.0))


def _cross(at: Point) -> Iterator[Item]:
    x, y = at
    yield Circle(LineKind.FINE, at, _MARK * 0.6, "register mark")
    yield Path(LineKind.FINE, ((x - _MARK, y), (x + _MARK, y)), mark="register mark")
    yield Path(LineKind.FINE, ((x, y - _MARK), (x, y + _MARK)), mark="register mark")


def _furniture(width: float, height: float, words: str, count: int) -> Iterator[Item]:
    left, foot = _EDGE + _LEFT, _EDGE
    yield from _bar((left, foot + 11.0), 0.0, 100.0, 10.0, "100 mm")
    yield from _bar((left, foot + 1.0), 0.0, 4.0 * MM_PER_INCH, MM_PER_INCH, "4 in")
    # A printer may be out along one side of the paper only; what fits of the upright bars stands one above the other.
    yield from _bar((_EDGE + 4.0, _EDGE + _FOOT), 90.0, 100.0, 10.0, "100 mm")
    if _EDGE + _FOOT + 105.0 + 4.0 * MM_PER_INCH < height - _EDGE:
        yield from _bar((_EDGE + 4.0, _EDGE + _FOOT + 105.0), 90.0, 4.0 * MM_PER_INCH, MM_PER_INCH, "4 in")
    right = left + 4.0 * MM_PER_INCH + 6.0
    advice = ["Measure the bars both ways before you", "glue: 100 mm and 4 in must be true."]
    advice.append("1·2 is section 1, flat 2.")
    if count > 1:
        advice.append("Lay the register marks on each other.")
    for number, line in enumerate(advice):
        yield Text((right, foot + 13.5 - 4.2 * number), line, 2.0, "start")
    yield Text((left, height - _EDGE - 4.0), words, 2.0, "start")


def _bar(start: Point, angle: float, length: float, step: float, name: str) -> Iterator[Item]:
    """Yield a bar with a tick at each step, its length written on it."""
    c, s = (1.0, 0.0) if angle == 0.0 else (0.0, 1.0)

    def at(along: float, aside: float) -> Point:
        return start[0] + along * c - aside * s, start[1] + along * s + aside * c

    way = "across" if angle == 0.0 else "upright"
    yield Path(LineKind.NARROW, (at(0.0, 0.0), at(length, 0.0)), mark=f"bar {name} {way}")
    for tick in range(round(length / step) + 1):
        end = 3.0 if tick in (0, round(length / step)) else 1.6
        yield Path(LineKind.NARROW, (at(tick * step, 0.0), at(tick * step, end)), mark="tick")
    yield Text(at(length / 2.0, 3.6), name, 2.0, angle=angle)
