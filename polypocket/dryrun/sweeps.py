"""What the cutter sweeps in a motion, or in the part of it below a height."""

from __future__ import annotations

import math
from collections.abc import Callable

import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.motions import Motion
from polypocket.shape.swept import disc, swept_arc, swept_box, swept_straight

__all__ = ["Sweeper", "share_below", "sweep", "sweeper"]

Share = tuple[float, float]

#: Gives the swept area of a share of one motion, remembered from one asking to the next.
Sweeper = Callable[[Share], BaseGeometry]

_WHOLE: Share = (0.0, 1.0)


def share_below(motion: Motion, height: float) -> Share | None:
    """Return in which share of the path the tip is at or below ``height`` mm; ``None`` for never."""
    z1, z2 = motion.start[2], motion.end[2]
    if max(z1, z2) <= height:
        return _WHOLE
    if min(z1, z2) > height:
        return None
    crossing = (height - z1) / (z2 - z1)
    return (crossing, 1.0) if z2 < z1 else (0.0, crossing)


def sweep(motion: Motion, share: Share, radius: float, *, independent: bool = False) -> BaseGeometry:
    """Return the area that a cylinder of ``radius`` mm sweeps in a share of a motion.

    Args:
        motion: with both ends known.
        share: from where to where.
        radius: mm.
        independent: the axes of a rapid need not arrive together: it may go anywhere in the box of its
            ends, and at any time of it at any height between.
    """
    if motion.is_rapid and independent:
        return swept_box(motion.start[:2], motion.end[:2], radius)
    first, last = share
    if motion.is_arc:
        begin = motion.start_angle + first * motion.sweep
        return swept_arc(motion.centre, motion.path_radius, begin, (last - first) * motion.sweep, radius)
    start, end = motion.at(first)[:2], motion.at(last)[:2]
    return disc(start, radius) if math.dist(start, end) == 0.0 else swept_straight(start, end, radius)


def sweeper(motion: Motion, radius: float, *, independent: bool = False) -> Sweeper:
    """Return a function that gives the swept areas of one motion, each made once and prepared."""
    made: dict[Share, BaseGeometry] = {}

    def of(share: Share) -> BaseGeometry:
        if share not in made:
            made[share] = sweep(motion, share, radius, independent=independent)
            shapely.prepare(made[share])
        return made[share]

    return of
