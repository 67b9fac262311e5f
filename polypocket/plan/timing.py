"""How long moves take on a mill."""

from __future__ import annotations

import math
from collections.abc import Iterable

from polypocket.cutting.time import Kinematics
from polypocket.program.hole import hole_strokes
from polypocket.program.items import Item, Link, Pass
from polypocket.program.moves import Arc, Drill, Dwell, Feed, Move, Point, Rapid
from polypocket.program.straight import without_stops

__all__ = ["items_seconds", "seconds"]

Triple = tuple[float, float, float]


def seconds(moves: Iterable[Move], start: Triple, kinematics: Kinematics) -> float:
    """Return the seconds that ``moves`` take from ``start``, each from rest to rest."""
    return _run(moves, start, kinematics)[0]


def items_seconds(items: Iterable[Item], start: Triple, kinematics: Kinematics) -> float:
    """Return the seconds that the motions of ``items`` take from ``start``."""
    total, here = 0.0, start
    for item in items:
        match item:
            case Link(moves):
                spent, here = _run(moves, here, kinematics)
            case Pass():
                moves = without_stops(Point(*here), (*item.lead_in, *item.cut, *item.lead_out))
                spent, here = _run(moves, here, kinematics)
            case _:
                continue
        total += spent
    return total


def _run(moves: Iterable[Move], start: Triple, kinematics: Kinematics) -> tuple[float, Triple]:
    total, here = 0.0, start
    for move in moves:
        match move:
            case Feed():
                there = _merged(here, move.to)
                total += kinematics.feed_time(_difference(here, there), move.rate)
            case Rapid():
                there = _merged(here, move.to)
                total += kinematics.rapid_time(_difference(here, there))
            case Arc(to, (cx, cy), clockwise, turns, rate):
                there = _merged(here, to)
                radius = math.hypot(here[0] - cx, here[1] - cy)
                sweep = math.atan2(there[1] - cy, there[0] - cx) - math.atan2(here[1] - cy, here[0] - cx)
                sweep = (-sweep if clockwise else sweep) % (2.0 * math.pi) + 2.0 * math.pi * turns
                total += kinematics.arc_time(math.hypot(radius * sweep, there[2] - here[2]), rate)
            case Dwell(wait):
                there = here
                total += wait
            case Drill():
                spent, there = _run(hole_strokes(move), here, kinematics)
                total += spent
        here = there
    return total, here


def _merged(here: Triple, to: Point) -> Triple:
    (x, y, z), (to_x, to_y, to_z) = here, to
    return x if to_x is None else to_x, y if to_y is None else to_y, z if to_z is None else to_z


def _difference(a: Triple, b: Triple) -> Triple:
    (x1, y1, z1), (x2, y2, z2) = a, b
    return x2 - x1, y2 - y1, z2 - z1
