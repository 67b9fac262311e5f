"""The ways between strokes, never through material: round the outside at depth, or over the top."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from polypocket.plan.along_axes import along_the_axes
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.plan.timing import seconds
from polypocket.program.moves import Feed, Move, Point, Rapid
from polypocket.shape.among import way_among
from polypocket.shape.around import way_round
from polypocket.shape.outline import Outline

__all__ = ["Way", "least_seconds_between", "leaving", "way_between"]

Pair = tuple[float, float]

#: How near the way round may come to the material, as a share of what the cutter keeps from it: a little less than the
#: approaches, which stand on the way.
_NEARER = 0.9


class Way(NamedTuple):
    """How the cutter gets from one stroke to the next.

    Attributes:
        lead_out: away from the material; it belongs to the stroke that it ends.
        link: to where the next stroke's working feed begins.
    """

    lead_out: Move
    link: tuple[Move, ...]


def way_between(before: Stroke, after: Stroke, method: Method) -> Way:
    """Return the quicker of the two ways from one stroke to the next.

    Where a person sets the height, the way round stays at depth and is taken wherever there is one: over the top is two
    stops more. Where a person sets X or Y too, it goes along the axes; with the height driven, hands are at the machine
    only while the cutter is above everything.
    """
    if method.axis_by_hand is not None:
        along = along_the_axes(before, after, method) if method.height_by_hand else None
        if along is None:
            return _over_the_top(before, after, method)
        return Way(leaving(before, method), along)
    if method.height_by_hand:
        return _at_depth(before, after, method) or _over_the_top(before, after, method)
    x, y = before.cut.path[-1].to
    here = x, y, before.level
    if method.only_over:
        return _over_the_top(before, after, method)
    ways = (_round_the_outside(before, after, method), _over_the_top(before, after, method))
    return min(ways, key=lambda way: seconds((way.lead_out, *way.link), here, method.kinematics))


def least_seconds_between(before: Stroke, after: Stroke, method: Method) -> float:
    """Return the seconds of the way between two strokes of one height, if nothing stood in the straight way."""
    x, y = before.cut.path[-1].to
    here = x, y, before.level
    straight = seconds(_feeds(after.arrivals, after.level, method), here, method.kinematics)
    (from_x, from_y), (to_x, to_y) = before.cut.leave, after.comes_down
    rapids = (
        (0.0, 0.0, method.crossing - before.level),
        (to_x - from_x, to_y - from_y, 0.0),
        (0.0, 0.0, after.level - method.crossing),
    )
    if straight <= sum(map(method.kinematics.rapid_time, rapids)):
        return straight  # the way over the top has feeds besides
    over = _over_the_top(before, after, method)
    return min(straight, seconds((over.lead_out, *over.link), here, method.kinematics))


def _over_the_top(before: Stroke, after: Stroke, method: Method) -> Way:
    leave, down = before.cut.leave, after.comes_down
    over = (
        Rapid(Point(*leave, method.crossing)),
        Rapid(Point(*down, method.crossing)),
        Rapid(Point(*down, after.level)),
    )
    return Way(leaving(before, method), (*over, *_feeds(_from(down, after), after.level, method)))


def _at_depth(before: Stroke, after: Stroke, method: Method) -> Way | None:
    """Return the way round by which nothing on the table is met and no travel overrun; ``None`` for no such way."""
    level, room = max(before.level, after.level), method.room
    others = room.obstacles(level)

    def way(obstacle: Outline, distance: float, start: Pair, end: Pair) -> tuple[Pair, ...] | None:
        return way_among(obstacle, distance, others, room.travel, start, end)

    return _round_by(way, before, after, method)


def _round_the_outside(before: Stroke, after: Stroke, method: Method) -> Way:
    way = _round_by(way_round, before, after, method)
    assert way is not None  # round a convex outline there always is one
    return way


def _round_by(
    way_round: Callable[[Outline, float, Pair, Pair], tuple[Pair, ...] | None],
    before: Stroke,
    after: Stroke,
    method: Method,
) -> Way | None:
    """Rise to the higher of the two heights, go round at the highest feed, go down outside.

    Outlines widen downwards, so that what stands at the higher height is all there is to go round. The way is a feed,
    not a rapid: axes that do not arrive together would leave the straight line. ``way_round`` tells it, ``None`` where
    there is none.
    """
    rises, sinks = after.level > before.level, after.level < before.level
    level = max(before.level, after.level)
    obstacle = after.cut.before if rises else before.cut.after
    # A finished flat is left at once; from a rough one the way back may open up along it.
    leaves_first = rises or before.role == "finish"
    start = before.cut.leave if leaves_first else before.cut.path[-1].to
    end = after.comes_down if sinks else after.arrivals[0]
    moves: list[Move] = [leaving(before, method)] if leaves_first else []
    if rises:
        moves.append(Rapid(Point(*start, level)))
    corners = way_round(obstacle, method.radius + _NEARER * method.beside, start, end)
    if corners is None:
        return None
    moves += _feeds(corners[1:], level, method)
    if sinks:
        moves.append(Rapid(Point(*end, after.level)))
    moves += _feeds(_from(end, after), after.level, method)
    return Way(moves[0], tuple(moves[1:]))


def _from(here: Pair, after: Stroke) -> tuple[Pair, ...]:
    """Return the arrivals that are still to be passed."""
    return after.arrivals[1:] if here == after.arrivals[0] else after.arrivals


def leaving(stroke: Stroke, method: Method) -> Move:
    """Return the move that takes the cutter off the material at a stroke's end."""
    return Feed(Point(*stroke.cut.leave, stroke.level), method.feed_max)


def _feeds(points: Sequence[Pair], level: float, method: Method) -> list[Move]:
    return [Feed(Point(x, y, level), method.feed_max) for x, y in points]
