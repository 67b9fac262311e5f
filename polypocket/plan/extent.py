"""How much room a program needs round its work zero, and which of its moves need it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from polypocket.program.hole import hole_strokes
from polypocket.program.items import Ask, Item, Link, Pass, UseCutter
from polypocket.program.moves import Arc, Drill, Feed, Move, Point, Rapid
from polypocket.program.program import Program

__all__ = ["Extent", "Extreme", "Step", "extent_of", "steps_of"]

Triple = tuple[float, float, float]

_QUARTER = math.pi / 2.0


class Step(NamedTuple):
    """One motion and whose it is.

    Attributes:
        start, to: the cutter's tip, mm from the work zero; NaN where an axis has not been commanded yet.
        move: the motion.
        number: of the pass that it belongs to or leads up to; 0 for the way home after the last.
        feature, flat: of that pass; empty and 0 on the way home.
        part: ``lead-in``, ``cut``, ``lead-out``, or ``way`` before or after the pass.
        cutter: number of the one that is in.
    """

    start: Triple
    to: Triple
    move: Move
    number: int
    feature: str
    flat: int
    part: str
    cutter: int = 0


class Extreme(NamedTuple):
    """How far an axis gets, mm from the work zero (Z with the job's first cutter), and the first step there."""

    at: float
    step: Step


class Extent(NamedTuple):
    """The lowest and the highest that each of X, Y and Z gets."""

    low: tuple[Extreme, Extreme, Extreme]
    high: tuple[Extreme, Extreme, Extreme]

    def need(self, axis: int) -> float:
        """Return how much travel an axis needs, mm."""
        return self.high[axis].at - self.low[axis].at


def extent_of(program: Program, longer: Mapping[int, float] = MappingProxyType({})) -> Extent:
    """Return the room that a program needs, arcs by their true extents.

    ``longer`` has by how much each cutter, by its number, stands out further than the job's first one, mm: the spindle
    is as much higher.
    """
    low: list[Extreme | None] = [None, None, None]
    high: list[Extreme | None] = [None, None, None]
    for step in steps_of(program):
        for x, y, z in (step.to, *_turning_points(step)):
            for axis, at in enumerate((x, y, z + longer.get(step.cutter, 0.0))):
                if math.isnan(at):
                    continue
                least, most = low[axis], high[axis]
                if least is None or at < least.at:
                    low[axis] = Extreme(at, step)
                if most is None or at > most.at:
                    high[axis] = Extreme(at, step)
    lows, highs = [each for each in low if each], [each for each in high if each]
    if len(lows) < 3:  # and highs too
        raise ValueError("a program that does not move all axes needs no room")
    return Extent((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


def steps_of(program: Program) -> Iterator[Step]:
    """Yield every motion of a program in order."""
    here: Triple = (math.nan, math.nan, math.nan)
    cutter = 0
    for setup in program.setups:
        for item, owner in zip(setup.items, _owners(setup.items), strict=True):
            if isinstance(item, UseCutter):
                cutter = item.number
                here = (*here[:2], math.nan)  # another tip is at another height
            for part, move in _moves(item):
                for stroke in hole_strokes(move) if isinstance(move, Drill) else (move,):
                    if isinstance(stroke, Rapid | Feed | Arc):
                        there = _merged(here, stroke.to)
                        number, feature, flat = (
                            (owner.number, owner.feature, owner.flat) if owner is not None else (0, "", 0)
                        )
                        yield Step(here, there, stroke, number, feature, flat, part, cutter)
                        here = there


def _owners(items: Sequence[Item]) -> list[Pass | None]:
    """Return for each item the pass that it is or leads up to."""
    owners: list[Pass | None] = []
    following: Pass | None = None
    for item in reversed(items):
        following = item if isinstance(item, Pass) else following
        owners.append(following)
    return owners[::-1]


def _moves(item: Item) -> Iterator[tuple[str, Move]]:
    """Yield the moves of an item; an axis that a person sets moves too."""
    match item:
        case Link(moves):
            yield from (("way", move) for move in moves)
        case Pass():
            for part, moves in (("lead-in", item.lead_in), ("cut", item.cut), ("lead-out", item.lead_out)):
                yield from ((part, move) for move in moves)
        case Ask("x" | "y" | "height" as kind, float(place)):
            axis = "z" if kind == "height" else kind
            yield from (("way", Rapid(Point(**{axis: at}))) for at in (item.first, place) if at is not None)


def _merged(here: Triple, to: Point) -> Triple:
    x, y, z = (old if new is None else new for old, new in zip(here, to, strict=True))
    return x, y, z


def _turning_points(step: Step) -> Iterator[Triple]:
    """Yield where an arc turns round in X or Y."""
    if not isinstance(step.move, Arc):
        return
    cx, cy = step.move.centre
    radius = math.dist(step.start[:2], (cx, cy))
    begin = math.atan2(step.start[1] - cy, step.start[0] - cx)
    end = math.atan2(step.to[1] - cy, step.to[0] - cx)
    if step.move.clockwise:
        begin, end = end, begin
    end = begin + ((end - begin) % math.tau) + step.move.turns * math.tau
    for quarter in range(math.ceil(begin / _QUARTER), math.floor(end / _QUARTER) + 1):
        angle = quarter * _QUARTER
        yield cx + radius * math.cos(angle), cy + radius * math.sin(angle), step.to[2]
