"""The way between strokes at depth where one of X and Y is set by a person: along one axis after the other."""

from __future__ import annotations

import math
from itertools import pairwise

from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.program.moves import Feed, Move, Point, Rapid
from polypocket.shape.outline import Outline

__all__ = ["along_the_axes"]

Pair = tuple[float, float]

#: Lengths nearer than this are one, mm.
_SAME = 1e-6


def along_the_axes(before: Stroke, after: Stroke, method: Method) -> tuple[Move, ...] | None:
    """Return the moves from where one stroke leaves to where the working feed of the next begins.

    Between strokes of one side: out from it, back along the driven axis, in again. To the other side: beyond the end of
    the work and across. Who has set an axis there sets the height of the next stroke at the same stop. ``None`` where
    that way leaves the travel or meets what stands on the table.

    Args:
        before: the stroke that has been made.
        after: the next, no higher than the one before.
        method: of both.
    """
    sinks, level, start = after.level < before.level - _SAME, before.level, before.cut.leave
    hand = method.axis_by_hand
    assert hand is not None  # else the cutter goes round on any way
    # Outlines widen downwards: what stands beside the lower of the two strokes is all that there is to go round.
    outline = after.cut.before if sinks else before.cut.after
    points = _points(before, after, outline, hand, method)
    if not all(_is_free(a, b, level, method) for a, b in pairwise((start, *points))):
        return None
    across = max(i for i, (a, b) in enumerate(pairwise((start, *points)), start=1) if a[hand] != b[hand])
    moves: list[Move] = [Feed(Point(*point, level), method.feed_max) for point in points[:across]]
    if sinks:
        moves.append(Rapid(Point(*points[across - 1], after.level)))
    rest = (*points[across:], *after.arrivals[1:])
    moves += [Feed(Point(*point, after.level), method.feed_max) for point in rest]
    return tuple(moves)


def _points(before: Stroke, after: Stroke, outline: Outline, hand: int, method: Method) -> tuple[Pair, ...]:
    start, end, drive = before.cut.leave, after.comes_down, 1 - hand
    clear = method.radius + method.beside

    def reach(axis: int, sign: float) -> float:
        """Return how far the cutter's axis keeps from the work zero on one side of the work, mm."""
        return max(sign * vertex[axis] for vertex in outline.vertices) + clear

    def at(by_hand: float, driven: float) -> Pair:
        return (by_hand, driven) if hand == 0 else (driven, by_hand)

    side, other = math.copysign(1.0, start[hand]), math.copysign(1.0, end[hand])
    if side == other:
        out = side * math.ceil(reach(hand, side) / method.scale.step - _SAME) * method.scale.step
        return at(out, start[drive]), at(out, end[drive]), end
    way = math.copysign(1.0, start[drive] - before.cut.contact[drive])
    beyond = way * max(reach(drive, way), way * start[drive])
    return at(start[hand], beyond), at(end[hand], beyond), end


def _is_free(a: Pair, b: Pair, level: float, method: Method) -> bool:
    """Whether a way along an axis stays inside the travel and out of what stands on the table."""
    low = min(a[0], b[0]), min(a[1], b[1])
    high = max(a[0], b[0]), max(a[1], b[1])
    travel = method.room.travel
    if low[0] < travel[0] or low[1] < travel[1] or high[0] > travel[2] or high[1] > travel[3]:
        return False
    for obstacle in method.room.obstacles(level):
        x_low, y_low, x_high, y_high = obstacle.extents()
        if low[0] < x_high and high[0] > x_low and low[1] < y_high and high[1] > y_low:
            return False
    return True
