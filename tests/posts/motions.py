"""The motions of a neutral program, and those that a control reads from its text, in one plain form to be compared.

What belongs together is put together on both sides: straight feeds that go on in one line at one rate, and arcs about
one centre, however many blocks they are written in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from polypocket.program import Arc, Drill, Dwell, Feed, Link, Move, Pass, Program, Rapid, hole_strokes
from polypocket.reader.track import Kind, Track

Place = tuple[float, float, float]


class Motion(NamedTuple):
    """``kind``: rapid, feed, arc or wait; ``turn``: of an arc, radians, positive anticlockwise; ``rate``: mm/min."""

    kind: str
    start: Place
    end: Place
    rate: float
    centre: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0


def of_program(program: Program, step: float) -> list[Motion]:
    """Return the motions of a program; what is joined may be ``step`` mm out of line."""
    return together(_of_moves(_moves(program)), step)


def of_track(track: Track, step: float) -> list[Motion]:
    """Return the motions of a track; what is joined may be as much out of line as rounding to ``step`` mm makes it."""
    return together(_of_rows(track), step)


def together(motions: Iterable[Motion], step: float) -> list[Motion]:
    """Join what goes on: feeds straight on, and arcs about one centre; leave out what does not move."""
    result: list[Motion] = []
    for motion in motions:
        if motion.kind != "wait" and motion.start == motion.end and not motion.turn:
            continue
        last = result[-1] if result else None
        if (
            last is not None
            and last.kind == motion.kind
            and math.isclose(last.rate, motion.rate, rel_tol=1e-9)
        ):
            if motion.kind == "feed" and _straight(last.start, motion.start, motion.end, 2.0 * step):
                result[-1] = last._replace(end=motion.end)
                continue
            same = math.dist(last.centre, motion.centre) <= 4.0 * step and last.turn * motion.turn > 0.0
            if motion.kind == "arc" and same:
                result[-1] = last._replace(end=motion.end, turn=last.turn + motion.turn)
                continue
        result.append(motion)
    return result


def _straight(a: Place, b: Place, c: Place, slack: float) -> bool:
    """Whether b lies on the way from a to c."""
    there, back = math.dist(a, b), math.dist(a, c)
    if back <= there:
        return False
    share = sum((y - x) * (z - x) for x, y, z in zip(a, b, c, strict=True)) / back**2
    return math.dist(b, [x + share * (z - x) for x, z in zip(a, c, strict=True)]) <= slack


def _moves(program: Program) -> Iterator[Move]:
    for setup in program.setups:
        for item in setup.items:
            if isinstance(item, Link):
                yield from item.moves
            elif isinstance(item, Pass):
                yield from (*item.lead_in, *item.cut, *item.lead_out)


def _of_moves(moves: Iterable[Move]) -> Iterator[Motion]:
    here: Place = (math.nan, math.nan, math.nan)
    for move in moves:
        if isinstance(move, Drill):
            strokes = list(_of_moves_from(here, hole_strokes(move)))
            yield from strokes
            here = strokes[-1].end
            continue
        for motion in _of_moves_from(here, [move]):
            yield motion
            here = motion.end


def _of_moves_from(here: Place, moves: Iterable[Move]) -> Iterator[Motion]:
    for move in moves:
        if isinstance(move, Dwell):
            yield Motion("wait", here, here, move.seconds)
            continue
        assert isinstance(move, Rapid | Feed | Arc)
        x, y, z = (old if new is None else new for old, new in zip(here, move.to, strict=True))
        start, here = here, (x, y, z)
        if isinstance(move, Rapid):
            yield Motion("rapid", start, here, math.inf)
        elif isinstance(move, Feed):
            yield Motion("feed", start, here, move.rate)
        else:
            turn = _turn(start, here, move.centre, -1.0 if move.clockwise else 1.0)
            extra = math.copysign(math.tau * move.turns, turn)
            yield Motion("arc", start, here, move.rate, move.centre, turn + extra)


def _of_rows(track: Track) -> Iterator[Motion]:
    here: Place = (math.nan, math.nan, math.nan)
    for row, number in enumerate(track.kind.tolist()):
        kind = Kind(number)
        if kind == Kind.EVENT:
            continue
        if kind == Kind.DWELL:
            yield Motion("wait", here, here, float(track.dwell[row]))
            continue
        told = float(track.x[row]), float(track.y[row]), float(track.z[row])
        x, y, z = (old if math.isnan(new) else new for old, new in zip(here, told, strict=True))
        start, here = here, (x, y, z)
        rate = float(track.feed[row])
        if kind == Kind.RAPID:
            yield Motion("rapid", start, here, math.inf)
        elif kind == Kind.FEED:
            yield Motion("feed", start, here, rate)
        else:
            centre = float(track.centre_x[row]), float(track.centre_y[row])
            sense = -1.0 if kind == Kind.ARC_CLOCKWISE else 1.0
            yield Motion("arc", start, here, rate, centre, _turn(start, here, centre, sense))


def _turn(start: Place, end: Place, centre: tuple[float, float], sense: float) -> float:
    """Return the angle of an arc of at most one turn; one that ends where it starts goes all the way round."""
    (x1, y1), (x2, y2) = ((p[0] - centre[0], p[1] - centre[1]) for p in (start, end))
    angle = (math.atan2(y2, x2) - math.atan2(y1, x1)) * sense % math.tau
    if math.dist(start[:2], end[:2]) < 1e-9:
        angle = math.tau
    return angle * sense
