"""Dimension lines as on a shop drawing: extension lines, arrows, the number above the line (ISO 129-1, from memory)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.sheet.ink import Item, LineKind, Path, Point, Text, text_width

__all__ = ["arrowhead", "linear"]

#: On paper, mm. Proportions of an arrowhead and overhang of extension lines: common practice, no source.
_ARROW, _ARROW_HALF = 2.6, 0.45
_GAP, _BEYOND = 0.8, 1.6
_LETTERING = 2.5
_ABOVE = 0.8


def linear(a: Point, b: Point, angle: float, at: float, text: str, mark: str = "") -> Iterator[Item]:
    """Yield the dimension of the distance between two points along a direction.

    Args:
        a: one of the points, on paper.
        b: the other one.
        angle: of the dimension line, degrees.
        at: where the line runs, measured to its left from the origin, mm.
        text: the number.
        mark: what it gives.
    """
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    ends = []
    for x, y in (a, b):
        off = -x * s + y * c
        foot = x - (at - off) * s, y + (at - off) * c
        ends.append(foot)
        if abs(at - off) > _GAP:
            sign = math.copysign(1.0, at - off)
            begin = x - sign * _GAP * s, y + sign * _GAP * c
            beyond = foot[0] - sign * _BEYOND * s, foot[1] + sign * _BEYOND * c
            yield Path(LineKind.NARROW, (begin, beyond))
    first, last = sorted(ends, key=lambda end: end[0] * c + end[1] * s)
    length = math.dist(first, last)
    width = text_width(text, _LETTERING)
    upright = _readable(angle)
    up = math.radians(upright + 90.0)
    lift = _ABOVE * math.cos(up), _ABOVE * math.sin(up)
    if length >= max(width, 2.5 * _ARROW):
        yield Path(LineKind.NARROW, (first, last))
        yield arrowhead(first, angle + 180.0)
        yield arrowhead(last, angle)
        middle = (first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0
        yield Text((middle[0] + lift[0], middle[1] + lift[1]), text, _LETTERING, "middle", upright, mark)
        return
    # No room between them: the arrows point inwards, and the number stands beside.
    outside = 2.0 * _ARROW
    end = last[0] + (outside + width) * c, last[1] + (outside + width) * s
    yield Path(LineKind.NARROW, ((first[0] - outside * c, first[1] - outside * s), end))
    yield arrowhead(first, angle)
    yield arrowhead(last, angle + 180.0)
    middle = last[0] + (outside + width / 2.0) * c, last[1] + (outside + width / 2.0) * s
    yield Text((middle[0] + lift[0], middle[1] + lift[1]), text, _LETTERING, "middle", upright, mark)


def arrowhead(tip: Point, angle: float) -> Path:
    """Return a filled arrowhead that points along ``angle`` (degrees)."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    back = tip[0] - _ARROW * c, tip[1] - _ARROW * s
    left = back[0] - _ARROW_HALF * s, back[1] + _ARROW_HALF * c
    right = back[0] + _ARROW_HALF * s, back[1] - _ARROW_HALF * c
    return Path(LineKind.SOLID, (tip, left, right), closed=True)


def _readable(angle: float) -> float:
    """Return the direction in which a text along a line reads from below or from the right, degrees."""
    turned = math.remainder(angle, 180.0)
    return turned + 180.0 if turned <= -89.999 else turned
