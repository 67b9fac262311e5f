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
    """Find the centre from I and J without signs: the one about which the arc stays in a quadrant.

    Args:
        start: mm.
        end: mm.
        distances: from the start to the centre along each axis, mm, not negative.
        clockwise: seen from +Z.
        tolerance: by which radii may differ and quadrants be passed, mm.
    """
    fitting: list[Arc] = []
    closest: Arc | None = None
    for signs in product((1.0, -1.0), repeat=2):
        offset = signs[0] * distances[0], signs[1] * distances[1]
        arc = arc_by_centre(start, end, offset, tolerance)
        if arc.fault or arc.centre is None:
            closest = closest or arc
            continue
        if not leaves_quadrant(start, end, arc.centre, clockwise, tolerance):
            if all(other.centre is None or math.dist(other.centre, arc.centre) > NOISE for other in fitting):
                fitting.append(arc)
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        return Arc(None, "I and J without signs fit more than one quadrant")
    return closest or Arc(None, "I and J without signs fit no quadrant that the arc stays in")
