"""Hatching as lines of its own, so that every reader of the drawing shows the same."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from polypocket.sheet.ink import LineKind, Path, Point

__all__ = ["hatched"]


def hatched(
    rings: Sequence[Sequence[Point]], spacing: float = 2.0, angle: float = 45.0, shift: float = 0.0
) -> Iterator[Path]:
    """Yield the narrow lines that hatch an area.

    Args:
        rings: outlines of the area and of its holes, in any direction.
        spacing: between lines, mm.
        angle: of the lines, degrees.
        shift: of the lines across their direction, mm, to tell areas that touch from each other.
    """
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    turned = [[(x * c + y * s, y * c - x * s) for x, y in ring] for ring in rings]
    heights = [y for ring in turned for _, y in ring]
    if not heights:
        return
    for line in range(
        math.ceil((min(heights) - shift) / spacing), math.floor((max(heights) - shift) / spacing) + 1
    ):
        y = line * spacing + shift
        for left, right in _inside(turned, y):
            ends = tuple((x * c - y * s, x * s + y * c) for x in (left, right))
            yield Path(LineKind.NARROW, ends, mark="hatch")


def _inside(rings: Sequence[Sequence[Point]], y: float) -> Iterator[Point]:
    """Yield where a level line is inside, from where to where."""
    crossings = sorted(
        x1 + (y - y1) / (y2 - y1) * (x2 - x1)
        for ring in rings
        for (x1, y1), (x2, y2) in pairwise([*ring, ring[0]])
        if (y1 <= y) != (y2 <= y)
    )
    yield from ((a, b) for a, b in zip(crossings[::2], crossings[1::2], strict=True) if b > a)
