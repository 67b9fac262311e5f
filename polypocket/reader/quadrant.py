"""Arcs of controls that interpolate one quadrant at a time.

Source: EIA RS-274-D (from memory): a circular block ends at the latest on the next axis through the centre; I and J may
be written without a sign, since only one quadrant then fits.
"""

from __future__ import annotations

import math
from itertools import product

from polypocket.reader.arcs import NOISE, Arc, Point, arc_by_centre

__all__ = ["arc_by_distances", "leaves_quadrant"]


def leaves_quadrant(start: Point, end: Point, centre: Point, clockwise: bool, tolerance: float) -> bool:
    """Whether an arc passes an axis through its centre by more than ``tolerance`` mm."""
    (x1, y1), (x2, y2) = ((point[0] - centre[0], point[1] - centre[1]) for point in (start, end))
    turns_left = x1 * y2 - y1 * x2 > 0.0
    if math.dist(start, end) <= tolerance or turns_left == clockwise:
        return True  # all the way round, or the long way
    return any(a * b < 0.0 and min(abs(a), abs(b)) > tolerance for a, b in ((x1, x2), (y1, y2)))


def arc_by_distances(start: Point, end: Point, distances: Point, clockwise: bool, tolerance: float) -> Arc:
    """Find the centre from I and J without signs: the direction of travel tells the quadrant.

    Anticlockwise the centre lies to the left of the travel: towards -X where Y rises, towards +Y where X rises. An arc
    along one axis, but for rounding, may have its centre on either side of it.

    Args:
        start: mm.
        end: mm.
        distances: from the start to the centre along each axis, mm, not negative.
        clockwise: seen from +Z.
        tolerance: by which radii may differ and quadrants be passed, mm.
    """
    sense = -1.0 if clockwise else 1.0
    ways = product(_signs(-(end[1] - start[1]) * sense), _signs((end[0] - start[0]) * sense))
    arcs = [arc_by_centre(start, end, (x * distances[0], y * distances[1]), tolerance) for x, y in ways]
    fitting = {
        arc.centre: arc
        for arc in arcs
        if arc.centre is not None
        and not arc.fault
        and not leaves_quadrant(start, end, arc.centre, clockwise, tolerance)
    }
    if len(fitting) == 1:
        return next(iter(fitting.values()))
    if fitting:
        return Arc(None, "I and J without signs fit more than one quadrant")
    faults = [arc.fault for arc in arcs if arc.fault]
    return Arc(None, faults[0] if faults else "I and J without signs fit no quadrant that the arc stays in")


def _signs(way: float) -> tuple[float, ...]:
    return (1.0, -1.0) if abs(way) <= NOISE else (math.copysign(1.0, way),)
