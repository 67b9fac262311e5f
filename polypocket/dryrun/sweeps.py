"""What the cutter sweeps in a motion, or in the part of it below a height."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.motions import Motion
from polypocket.dryrun.tiles import Bounds
from polypocket.dryrun.trim import facing_straight, trimmed
from polypocket.lazily import kept_property
from polypocket.shape.swept import disc, swept_arc, swept_box, swept_straight

__all__ = ["Share", "Sweeper", "Sweepers", "share_below", "sweep"]

Floats = NDArray[np.float64]
Share = tuple[float, float]
Found = TypeVar("Found")

_WHOLE: Share = (0.0, 1.0)
_FULL_TURN = 2.0 * math.pi
#: Angle between neighbouring corners of an arc's path, radians, where only its distance from something matters.
_STEP = math.radians(5.0)
#: Coordinates nearer to each other than this are one where only a distance matters, mm; it counts as slack.
_SAME_PLACE = 1e-9
#: Paths that are remembered: more than the moves of one level of most programs, and no great memory.
_MOST_KEPT = 4096


def share_below(motion: Motion, height: float) -> Share | None:
    """Return in which share of the path the tip is at or below ``height`` mm; ``None`` for never."""
    z1, z2 = motion.start[2], motion.end[2]
    if z1 <= height and z2 <= height:
        return _WHOLE
    if z1 > height and z2 > height:
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


@dataclass(frozen=True)
class Sweeper:
    """Gives the swept areas of one path in the plane, and keeps what was found out about it.

    Attributes:
        motion: one that goes along the path; its heights do not matter.
        radius, independent: as ``sweep`` takes them.
    """

    motion: Motion
    radius: float
    independent: bool = False
    _made: dict[Share, BaseGeometry] = field(default_factory=dict, compare=False)
    # What it was found out about is kept beside it, so that its identity stays its own.
    _found: dict[tuple[str, Share, int], tuple[object, Any]] = field(default_factory=dict, compare=False)

    def __call__(self, share: Share) -> BaseGeometry:
        """Return the area swept in a share of the motion."""
        if share not in self._made:
            self._made[share] = sweep(self.motion, share, self.radius, independent=self.independent)
        return self._made[share]

    def facing(self, share: Share, corners: Floats) -> BaseGeometry:
        """Return the area swept in a share of the motion with fewer corners.

        It is right only where an area is that has its corners, in rows, in the hull of ``corners``.
        """
        motion = self.motion
        if not (motion.is_arc or (motion.is_rapid and self.independent)):
            begin, end = motion.at(share[0])[:2], motion.at(share[1])[:2]
            if begin != end:
                return facing_straight(begin, end, self.radius, corners)
        return trimmed(self(share), corners, self._direction)

    def gap(self, area: BaseGeometry) -> float:
        """Return how far whatever is swept surely stays away from an area, mm, without making the area swept.

        Negative where it may reach in: no further than that. Found out once.
        """
        return self.once("gap", _WHOLE, area, lambda: self.gap_to(area))

    def gap_to(self, area: BaseGeometry) -> float:
        """Return the gap to an area that nobody will ask for again."""
        path, slack = self._path
        return float(shapely.distance(area, path)) - slack - self.radius

    def once(self, what: str, share: Share, area: object, find: Callable[[], Found]) -> Found:
        """Return what was found out about something and a share of the path; find it out the first time."""
        case = what, share, id(area)
        if case not in self._found:
            self._found[case] = area, find()
        found: Found = self._found[case][1]
        return found

    @kept_property
    def bounds(self) -> Bounds:
        """Lowest X, lowest Y, highest X, highest Y of what is swept in the whole motion, mm."""
        motion, radius = self.motion, self.radius + _SAME_PLACE
        if motion.is_arc:
            places = [motion.at(share)[:2] for share in (0.0, *motion.quadrant_shares(), 1.0)]
            xs, ys = [x for x, _ in places], [y for _, y in places]
            return min(xs) - radius, min(ys) - radius, max(xs) + radius, max(ys) + radius
        (x1, y1, _), (x2, y2, _) = motion.start, motion.end
        return min(x1, x2) - radius, min(y1, y2) - radius, max(x1, x2) + radius, max(y1, y2) + radius

    @kept_property
    def _direction(self) -> float:
        """In which the motion goes at its middle, radians."""
        motion = self.motion
        if motion.is_arc:
            return motion.start_angle + motion.sweep / 2.0 + math.pi / 2.0
        return math.atan2(motion.end[1] - motion.start[1], motion.end[0] - motion.start[0])

    @kept_property
    def _path(self) -> tuple[BaseGeometry, float]:
        """Where the centre goes, and how far its true path is from that at the most, mm."""
        motion = self.motion
        (x1, y1, _), (x2, y2, _) = motion.start, motion.end
        if motion.is_arc:
            turn = math.copysign(min(abs(motion.sweep), _FULL_TURN), motion.sweep)
            steps = math.ceil(abs(turn) / _STEP)
            angles = motion.start_angle + turn * np.linspace(0.0, 1.0, steps + 1)
            corners = np.column_stack((np.cos(angles), np.sin(angles))) * motion.path_radius + motion.centre
            return shapely.linestrings(corners), motion.path_radius * (1.0 - math.cos(turn / steps / 2.0))
        sides = abs(x2 - x1), abs(y2 - y1)
        if max(sides) < _SAME_PLACE:
            return shapely.points(x1, y1), 2.0 * _SAME_PLACE
        if motion.is_rapid and self.independent and min(sides) >= _SAME_PLACE:
            return shapely.box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)), 0.0
        return shapely.linestrings(((x1, y1), (x2, y2))), _SAME_PLACE


class Sweepers:
    """Hands out sweepers; levels repeat one another's paths, and what was found out on the first holds on all.

    A path may be lifted out of ``Sweepers`` when many others were wanted since; it is then made anew.
    """

    def __init__(self) -> None:
        self._kept: dict[Hashable, Sweeper] = {}

    def __call__(self, motion: Motion, radius: float, *, independent: bool = False) -> Sweeper:
        """Return what gives the swept areas along a motion's path; arguments as ``sweep``."""
        # Two arcs are the same only if their ends and centres are, and ends that are not a number never are.
        kind = motion.kind if motion.is_arc else motion.is_rapid and independent
        path = kind, motion.start[:2], motion.end[:2], motion.centre if motion.is_arc else None, motion.turns
        case = path, radius
        if case not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[case] = Sweeper(motion, radius, independent)
        return self._kept[case]
