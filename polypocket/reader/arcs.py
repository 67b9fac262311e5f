"""The centre of an arc, from I J or from R, and whether its radii agree.

Angles need no units here; lengths are millimetres. Source: NISTIR 6556 3.5.3 (in part from memory).
"""

from __future__ import annotations

import math
from typing import NamedTuple, TypeAlias

__all__ = ["NOISE", "Arc", "Point", "arc_by_centre", "arc_by_radius"]

Point: TypeAlias = tuple[float, float]

#: Below this two lengths are alike, mm: sums of exactly written numbers differ by rounding. No source.
NOISE = 1e-9


class Arc(NamedTuple):
    """An arc's centre and what is wrong with its radii.

    Attributes:
        centre: mm; ``None`` where the words do not determine one.
        fault: empty, or what is wrong.
    """

    centre: Point | None
    fault: str = ""


def arc_by_centre(start: Point, end: Point, offset: Point, tolerance: float) -> Arc:
    """Find the centre from I and J, measured from the arc's start.

    An end that is the start makes a full circle. Radii at start and end that differ by more than
    ``tolerance`` are a fault; the centre is then still the one that I and J give.
    """
    if fault := _end_fault(start, end, tolerance):
        return Arc(None, fault)
    centre = (start[0] + offset[0], start[1] + offset[1])
    at_start, at_end = math.hypot(*offset), math.dist(centre, end)
    if at_start <= NOISE or at_end <= NOISE:
        return Arc(None, "the arc has no radius")
    if abs(at_start - at_end) > tolerance + NOISE:
        return Arc(
            centre, f"the arc's radius is {at_start:.4f} mm at its start and {at_end:.4f} mm at its end"
        )
    return Arc(centre)


def arc_by_radius(start: Point, end: Point, radius: float, clockwise: bool, tolerance: float) -> Arc:
    """Find the centre from R: positive for the arc under a half turn, negative for the one over it.

    A half chord that exceeds the radius by at most ``tolerance`` is a half circle on the chord.
    """
    if fault := _end_fault(start, end, tolerance):
        return Arc(None, fault)
    half = math.dist(start, end) / 2.0
    if half <= NOISE:
        return Arc(None, "an arc with R ends where it starts: its centre is not determined; use I and J")
    if half > abs(radius) + tolerance:
        return Arc(
            None, f"R is {abs(radius):.4f} mm, too small: half the way to the arc's end is {half:.4f} mm"
        )
    height = math.sqrt(max(0.0, (abs(radius) - half) * (abs(radius) + half)))
    # Going from start to end, the centre of a short anticlockwise arc lies on the left.
    side = height if clockwise == (radius < 0.0) else -height
    across = ((start[1] - end[1]) / (2.0 * half), (end[0] - start[0]) / (2.0 * half))
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    return Arc((middle[0] + side * across[0], middle[1] + side * across[1]))


def _end_fault(start: Point, end: Point, tolerance: float) -> str:
    """Refuse an end so close to the start that a control may make nothing or a full circle of the arc."""
    if NOISE < math.dist(start, end) <= tolerance + NOISE:
        return "the arc ends where it starts but for a rounding: it may become a full circle or nothing"
    return ""
