"""Screws with play, by brute force: where the table may really be, for every place in the play at the start.

A table on a screw with backlash b is dragged: it stays where it is until the nut has crossed the gap. Two tables, one
at each end of the gap, bound all others; once they are in one place, where the table is, is known.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from tests.faults.motions import Step
from tests.faults.solid import Flat, arc_points

__all__ = ["Screws"]

#: Above this backlash a mill has to take it up at every flat, mm: the house's own limit.
_LOOSE = 0.01
#: What is cut within this of a flat makes that flat, mm.
_NEAR = 0.02
#: Share of a flat in its middle that counts: at its corners its neighbours' strokes come near too.
_INNER = 0.9
#: Not nothing, and not enough to be sure of a harm, mm.
_LITTLE = 0.001
#: Places along a stroke at which the cutter is looked at.
_LOOKS = 257


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
            for here, there in pairwise(stops):
                self.ends[axis] = [
                    min(max(up + there - here, 0.0), self.play[axis]) for up in self.ends[axis]
                ]

    def unsure(self, step: Step, region: BaseGeometry, radius: float, flat: Flat) -> float:
        """Return how unsure the place of a flat is that a stroke cuts, mm: 0 where it is cut as every flat should be.

        Answers a little rather than nothing where the stroke takes up a screw on its way, or cuts from the inside: what
        that comes to is not worked out here.
        """
        c, s = math.cos(flat.direction), math.sin(flat.direction)
        near, far, end = flat.distance - _NEAR, flat.distance + _NEAR, _INNER * flat.side / 2.0
        strip = [
            (d * c - t * s, d * s + t * c) for d, t in ((near, -end), (far, -end), (far, end), (near, end))
        ]
        if not Polygon(strip).intersects(region):
            return 0.0
        if step.centre is not None:
            return _LITTLE
        little = 0.0
        for axis, outwards in ((0, c), (1, s)):
            low, high = self.ends[axis]
            a, b = step.start[axis] or 0.0, step.end[axis] or 0.0
            inwards = low <= 0.003 if outwards > 0.0 else high >= self.play[axis] - 0.003
            along = high <= 0.003 if b < a else low >= self.play[axis] - 0.003
            if high - low > 0.003 or not (along if abs(b - a) > 0.003 else inwards or abs(outwards) < 1e-6):
                little = _LITTLE
        return max(little, self._at_contact(step, region, radius, (c, s)))

    def _at_contact(
        self, step: Step, region: BaseGeometry, radius: float, normal: tuple[float, float]
    ) -> float:
        """Return how far apart, square to a flat, the two tables are when the cutter first meets it."""
        (x1, y1), (x2, y2) = [(x or 0.0, y or 0.0) for x, y, _ in (step.start, step.end)]
        shares = np.linspace(0.0, 1.0, _LOOKS)
        centres = shapely.points(x1 + shares * (x2 - x1), y1 + shares * (y2 - y1))
        near = np.flatnonzero(shapely.distance(centres, region) <= radius)
        share = float(shares[near[0]]) if len(near) else 1.0
        apart = 0.0
        for axis, way in ((0, share * (x2 - x1)), (1, share * (y2 - y1))):
            low, high = (min(max(up + way, 0.0), self.play[axis]) for up in self.ends[axis])
            apart += abs(normal[axis]) * (high - low)
        return apart
