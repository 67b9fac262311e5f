"""Straight moves that are one."""

from __future__ import annotations

import math
from collections.abc import Iterable

from polypocket.program.moves import Feed, Move, Point

__all__ = ["without_stops"]

#: A point this near to a straight line is on it, mm: far below the finest step that is written, far above rounding.
_ON_THE_LINE = 1e-6


Triple = tuple[float, float, float]


def without_stops(start: Point, moves: Iterable[Move]) -> tuple[Move, ...]:
    """Return moves from ``start``, each run of feeds straight on at one rate made into a single feed.

    A control may slow down at the end of every move, and each end is rounded to the steps that it is written in, so
    that a flat cut in one move is the straighter one.
    """
    result: list[Move] = []
    begins = here = _known(start)
    for move in moves:
        there = _known(move.to) if isinstance(move, Feed) else None
        if result and _same_rate(result[-1], move) and _straight_on(begins, here, there):
            result[-1] = move
        else:
            result.append(move)
            begins = here
        here = there
    return tuple(result)


def _same_rate(before: Move, move: Move) -> bool:
    return isinstance(before, Feed) and isinstance(move, Feed) and before.rate == move.rate


def _straight_on(begins: Triple | None, here: Triple | None, there: Triple | None) -> bool:
    """Whether the way from ``here`` goes on in the direction in which the one from ``begins`` came."""
    if begins is None or here is None or there is None or begins == here:
        return False
    (x1, y1, z1), (x2, y2, z2), (x3, y3, z3) = begins, here, there
    gone_x, gone_y, gone_z = x2 - x1, y2 - y1, z2 - z1
    x, y, z = x3 - x2, y3 - y2, z3 - z2
    length = math.hypot(gone_x, gone_y, gone_z)
    along = (gone_x * x + gone_y * y + gone_z * z) / length
    if along <= 0.0:
        return False
    back = along / length
    return math.hypot(x - gone_x * back, y - gone_y * back, z - gone_z * back) <= _ON_THE_LINE


def _known(to: Point) -> Triple | None:
    """Return a position whose three coordinates are all commanded."""
    return None if to.x is None or to.y is None or to.z is None else (to.x, to.y, to.z)
