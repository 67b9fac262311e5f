"""Where a label stands clear of lines and of other labels."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from polypocket.sheet.ink import Box, Circle, Item, Path, Point, Text, box_of

__all__ = ["clear_place", "is_clear", "placed_clear"]

#: Least distance of a label from a line or another label, mm on paper. Common practice, no source.
_GAP: Final = 0.2


def clear_place(text: Text, places: Iterable[Point], items: Sequence[Item]) -> Text | None:
    """Return a label at the first of some places where nothing runs through it, if there is one."""
    tries = (replace(text, at=place) for place in places)
    return next((each for each in tries if is_clear(each, items)), None)


def placed_clear(text: Text, places: Sequence[Point], items: Sequence[Item]) -> Text:
    """Return the same, or where there is none, the label at the very first place."""
    return clear_place(text, places, items) or replace(text, at=places[0])


def is_clear(text: Text, items: Iterable[Item]) -> bool:
    """Whether no line, circle or other label runs through a label or comes too near to it."""
    box = box_of(text).grown(_GAP)
    return not any(_meets(box, item) for item in items)


def _meets(box: Box, item: Item) -> bool:
    match item:
        case Path(_, points, closed):
            ring = (*points, points[0]) if closed else points
            return any(_crosses(box, start, end) for start, end in pairwise(ring))
        case Circle(_, (x, y), radius):
            corners = [(a - x, b - y) for a in (box.left, box.right) for b in (box.bottom, box.top)]
            nearest = math.hypot(max(box.left - x, 0.0, x - box.right), max(box.bottom - y, 0.0, y - box.top))
            return nearest <= radius <= max(math.hypot(*corner) for corner in corners)
        case Text():
            other = box_of(item)
            apart = box.left > other.right or other.left > box.right
            return not (apart or box.bottom > other.top or other.bottom > box.top)


def _crosses(box: Box, start: Point, end: Point) -> bool:
    """Whether a straight line runs through a box: what is left of it within one pair of sides and then the other."""
    low, high = 0.0, 1.0
    sides = ((box.left, box.right), (box.bottom, box.top))
    for (least, most), begin, finish in zip(sides, start, end, strict=True):
        along = finish - begin
        if along == 0.0:
            if not least <= begin <= most:
                return False
            continue
        first, last = sorted(((least - begin) / along, (most - begin) / along))
        low, high = max(low, first), min(high, last)
    return low <= high
