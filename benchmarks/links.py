"""From pieces of rings to the passes and links of a program."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ring import Edge, out_from

from polypocket.plan.clearances import LEAST_GAP, SIDE
from polypocket.plan.method import Method
from polypocket.plan.timing import seconds
from polypocket.program.items import Item, Link
from polypocket.program.moves import Arc, Feed, Move, Point, Rapid
from polypocket.shape.around import way_round
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line, first_contact

__all__ = ["Piece", "program_of"]

Pair = tuple[float, float]

#: How near the way round may come to the material, mm: a little less than where pieces begin and end.
_BESIDE = SIDE * 0.9


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a ring, in the plane; positions are of the cutter's centre, mm.

    Attributes:
        arrivals: the way to where the working feed begins; clear of all material from the first.
        path: from first contact to where the last material has been swept, and a little on.
        leave: clear of the material again.
        before: what stood before it.
        after: what stands after it.
    """

    arrivals: tuple[Pair, ...]
    path: tuple[Edge, ...]
    leave: Pair
    before: Outline
    after: Outline

    @classmethod
    def along(
        cls,
        path: Sequence[Edge],
        overrun: float,
        before: Outline,
        after: Outline,
        radius: float,
        backlash: Pair | None,
    ) -> Piece:
        """Return the piece along a path, entered and left along its tangents; ``backlash`` (X, Y) is taken up first."""
        (place, facing), (end, leaving) = path[0].at(0.0), path[-1].at(1.0)
        line = Line(facing, place[0] * math.cos(facing) + place[1] * math.sin(facing) - radius)
        contact = line.along(place)

        def where(gap: float) -> float:
            """Where along the tangent the cutter comes within ``gap`` mm of what stands."""
            try:
                return min(contact, first_contact(before, line, radius, gap))
            except ValueError:  # the tangent of an arc that only grazes it
                return contact

        # What stands further back along the tangent belongs to other pieces.
        start = max(min(contact - SIDE, where(LEAST_GAP)), contact - 3.0 * radius)
        clear = max(min(start, where(SIDE)), contact - 3.0 * radius)
        approach, begin = line.point(clear, radius), line.point(start, radius)
        arrivals = [begin]
        if backlash is not None:
            along = math.sin(-facing), math.cos(facing)
            arrivals = [
                (
                    approach[0] - math.copysign(2.0 * backlash[0], along[0]),
                    approach[1] - math.copysign(2.0 * backlash[1], along[1]),
                ),
                begin,
            ]
        ahead = leaving + math.pi / 2.0
        ran_on = out_from(end, ahead, overrun)
        return cls(
            tuple(arrivals),
            (*path, Edge(end, ran_on, leaving, None, path[-1].flat))
            if path[-1].centre
            else _lengthened(path, ran_on),
            out_from(out_from(ran_on, ahead, SIDE), leaving, SIDE),
            before,
            after,
        )


def _lengthened(path: Sequence[Edge], end: Pair) -> tuple[Edge, ...]:
    last = path[-1]
    return (*path[:-1], Edge(last.start, end, last.facing, None, last.flat))


def program_of(pieces: Sequence[tuple[float, Piece]], method: Method) -> Iterator[Item]:
    """Yield the moves of pieces at their heights, from the safe height and back to it."""
    level, piece = pieces[0]
    down = Rapid(Point(*piece.arrivals[0])), Rapid(Point(z=level))
    yield Link((*down, *_feeds(piece.arrivals, level, method)))
    for i, (level, piece) in enumerate(pieces):
        yield Link(tuple(_cutting(level, piece, method)))
        if i + 1 < len(pieces):
            yield Link(_quicker((level, piece), pieces[i + 1], method))
    level, piece = pieces[-1]
    yield Link((Feed(Point(*piece.leave, level), method.feed_max), Rapid(Point(z=method.safe))))


def _cutting(level: float, piece: Piece, method: Method) -> Iterator[Move]:
    yield Feed(Point(*piece.path[0].start, level), method.feed)
    for edge in piece.path:
        to = Point(*edge.end, level)
        if edge.centre is None:
            yield Feed(to, method.feed)
        else:
            yield Arc(to, edge.centre, False, 0, method.feed)


def _quicker(before: tuple[float, Piece], after: tuple[float, Piece], method: Method) -> tuple[Move, ...]:
    """Return the quicker way: over the top, or round the outside, with or without leaving the material first."""
    x, y = before[1].path[-1].end
    ways = [_over_the_top(before, after, method)]
    if after[0] <= before[0]:
        ways += [_round_the_outside(before, after, method, leaves) for leaves in (True, False)]
    return min(ways, key=lambda way: seconds(way, (x, y, before[0]), method.kinematics))


def _over_the_top(
    before: tuple[float, Piece], after: tuple[float, Piece], method: Method
) -> tuple[Move, ...]:
    (here, left), (there, coming) = before, after
    return (
        Feed(Point(*left.leave, here), method.feed_max),
        Rapid(Point(z=method.crossing)),
        Rapid(Point(*coming.arrivals[0])),
        Rapid(Point(z=there)),
        *_feeds(coming.arrivals[1:], there, method),
    )


def _round_the_outside(
    before: tuple[float, Piece], after: tuple[float, Piece], method: Method, leaves: bool
) -> tuple[Move, ...]:
    (here, left), (there, coming) = before, after
    start = left.leave if leaves else left.path[-1].end
    way = way_round(left.after, method.radius + _BESIDE, start, coming.arrivals[0])
    sinks = (Rapid(Point(z=there)),) if there < here else ()
    return (
        *_feeds((left.leave,) if leaves else (), here, method),
        *_feeds(way[1:], here, method),
        *sinks,
        *_feeds(coming.arrivals[1:], there, method),
    )


def _feeds(points: Sequence[Pair], level: float, method: Method) -> tuple[Move, ...]:
    return tuple(Feed(Point(x, y, level), method.feed_max) for x, y in points)
