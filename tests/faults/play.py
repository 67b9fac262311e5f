"""Screws with play, by brute force: where the table may really be, for every place in the play at the start.

A table on a screw with backlash b is dragged: it stays where it is until the nut has crossed the gap. Two tables, one
at each end of the gap, bound all others; once they are in one place, where the table is, is known.
"""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from tests.faults.interpreter import Step
from tests.faults.solid import arc_points

__all__ = ["Screws"]

#: Above this backlash a mill has to take it up at every flat, mm: the house's own limit.
_LOOSE = 0.01
#: What is cut within this of a flat makes that flat, mm.
_NEAR = 0.02


class Screws:
    """The play of X and Y."""

    def __init__(self, x: float, y: float) -> None:
        self.play = x, y
        self.ends = [[0.0, x], [0.0, y]]  # how far the nut is up its gap: at the least and at the most
        self.loose = max(x, y) > _LOOSE

    def follow(self, step: Step) -> None:
        """Drag the table along."""
        for axis in (0, 1):
            a, b = step.start[axis], step.end[axis]
            if a is None or b is None:
                continue
            stops = [a, *arc_points(step)[1:-1, axis].tolist(), b] if step.centre is not None else [a, b]
            for here, there in zip(stops, stops[1:], strict=False):
                self.ends[axis] = [min(max(up + there - here, 0.0), self.play[axis]) for up in self.ends[axis]]

    def lags(self, step: Step, region: BaseGeometry, radius: float, direction: float, distance: float) -> bool:
        """Whether a stroke may cut a flat with a table whose place is not known, or not on its outer side.

        Answers yes rather than no: from the stroke's beginning, not from where the cutter first meets the flat.
        """
        c, s = math.cos(direction), math.sin(direction)
        coordinates = shapely.get_coordinates(region) @ (c, s)
        if not abs(coordinates.min() - distance) < _NEAR:
            return False
        for axis, outwards in ((0, c), (1, s)):
            low, high = self.ends[axis]
            a, b = step.start[axis] or 0.0, step.end[axis] or 0.0
            if high - low > 0.003 or step.centre is not None:
                return True
            inwards = low <= 0.003 if outwards > 0.0 else high >= self.play[axis] - 0.003
            along = high <= 0.003 if b < a else low >= self.play[axis] - 0.003
            if not (along if abs(b - a) > 0.003 else inwards or abs(outwards) < 1e-6):
                return True
        return False
