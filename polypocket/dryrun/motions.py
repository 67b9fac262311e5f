"""Motions one by one, as what meets material takes them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from polypocket.dryrun.paths import SAME_POINT, XY_PLANE, Paths, Point
from polypocket.lazily import kept_property
from polypocket.reader.planes import PLANES
from polypocket.reader.track import Kind

__all__ = ["Motion", "Point", "motions_of", "paths_of_motions"]

_FULL_TURN = 2.0 * math.pi

# Members of an enumeration are slow to look up by name, and these are asked for again and again.
_KINDS = tuple(Kind)
_RAPID, _ANTICLOCKWISE = Kind.RAPID, Kind.ARC_ANTICLOCKWISE
_ARCS = (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)


@dataclass(frozen=True)
class Motion:
    """One motion of the cutter's tip centre, or as programmed, measured from the work zero.

    Attributes:
        row: the track's row.
        line: from 1.
        kind: a motion's ``Kind``.
        start, end: mm from the work zero; NaN where not known.
        centre: of an arc, mm, along the first and second axis of its plane; NaN elsewhere.
        turns: full turns beyond the first.
        rate: feed along the path, mm/min; NaN where not known.
        rpm: positive clockwise, 0 stopped, NaN not known.
        tool: number, 0 until known.
        compensated: whether radius compensation is on.
        plane: 17, 18 or 19: of an arc.
    """

    row: int
    line: int
    kind: Kind
    start: Point
    end: Point
    centre: tuple[float, float]
    turns: int
    rate: float
    rpm: float
    tool: int
    compensated: bool
    plane: int = XY_PLANE

    @property
    def is_rapid(self) -> bool:
        """Whether it goes at rapid rates."""
        return self.kind == _RAPID

    @property
    def is_arc(self) -> bool:
        """Whether it is an arc or a helix."""
        return self.kind in _ARCS

    @property
    def is_upright_arc(self) -> bool:
        """Whether it is an arc in another plane than XY."""
        return self.plane != XY_PLANE and self.kind in _ARCS

    @property
    def is_known(self) -> bool:
        """Whether both ends are known on all axes."""
        return not any(map(math.isnan, self.start + self.end))

    @kept_property
    def lowest(self) -> float:
        """Lowest Z, mm."""
        ends = min(self.start[2], self.end[2])
        if not self.is_upright_arc:
            return ends
        return min(ends, *(self.at(share)[2] for share in (0.0, *self.quadrant_shares())))

    @property
    def descends(self) -> bool:
        """Whether it goes down."""
        return self.end[2] < self.start[2]

    @property
    def moves_across(self) -> bool:
        """Whether X or Y change."""
        return self.is_arc or self.start[:2] != self.end[:2]

    @kept_property
    def path_radius(self) -> float:
        """Radius of an arc's path, mm: the mean of those at its two ends, which rounding makes differ."""
        at_start, at_end = self._in_plane(self.start), self._in_plane(self.end)
        return (math.dist(self.centre, at_start) + math.dist(self.centre, at_end)) / 2.0

    @kept_property
    def start_angle(self) -> float:
        """Direction from an arc's centre to its start, radians, from its plane's first axis to the second."""
        return self._angle(self.start)

    @kept_property
    def sweep(self) -> float:
        """Angle that an arc goes through, radians, positive anticlockwise."""
        turn = (self._angle(self.end) - self.start_angle) % _FULL_TURN
        if math.dist(self._in_plane(self.start), self._in_plane(self.end)) < SAME_POINT:
            turn = 0.0
        if self.kind == _ANTICLOCKWISE:
            return (turn or _FULL_TURN) + self.turns * _FULL_TURN
        return (turn - _FULL_TURN) - self.turns * _FULL_TURN

    @kept_property
    def length(self) -> float:
        """Length of the path, mm; NaN where an end is not known."""
        if self.is_arc:
            third = PLANES[self.plane][2]
            return math.hypot(self.path_radius * self.sweep, self.end[third] - self.start[third])
        return math.dist(self.start, self.end)

    def at(self, share: float) -> Point:
        """Position after ``share`` (0 to 1) of the path, mm."""
        (x1, y1, z1), (x2, y2, z2) = self.start, self.end
        if not self.is_arc:
            return x1 + share * (x2 - x1), y1 + share * (y2 - y1), z1 + share * (z2 - z1)
        angle = self.start_angle + share * self.sweep
        first = self.centre[0] + self.path_radius * math.cos(angle)
        second = self.centre[1] + self.path_radius * math.sin(angle)
        match self.plane:
            case 18:
                return second, y1 + share * (y2 - y1), first
            case 19:
                return x1 + share * (x2 - x1), first, second
            case _:
                return first, second, z1 + share * (z2 - z1)

    def quadrant_shares(self) -> tuple[float, ...]:
        """Shares of an arc's path at which an axis turns round, in order; none where no arc is known."""
        if not self.is_arc or math.isnan(self.path_radius):
            return ()
        quarter = math.pi / 2.0
        low, high = sorted((self.start_angle, self.start_angle + self.sweep))
        crossings = range(math.ceil(low / quarter), math.floor(high / quarter) + 1)
        shares = ((crossing * quarter - self.start_angle) / self.sweep for crossing in crossings)
        return tuple(sorted(share for share in shares if 0.0 < share < 1.0))

    def _in_plane(self, point: Point) -> tuple[float, float]:
        """Return a point's coordinates along the two axes of the arc's plane."""
        first, second, _ = PLANES[self.plane]
        return point[first], point[second]

    def _angle(self, point: Point) -> float:
        first, second = self._in_plane(point)
        return math.atan2(second - self.centre[1], first - self.centre[0])


def motions_of(paths: Paths) -> tuple[Motion, ...]:
    """Return the motions one by one."""
    columns = (
        *(paths.row, paths.line, paths.kind, *paths.start, *paths.end, *paths.centre, paths.turns),
        *(paths.rate, paths.rpm, paths.tool, paths.compensated, paths.plane),
    )
    rows = zip(*(column.tolist() for column in columns), strict=True)
    return tuple(
        Motion(row, line, _KINDS[kind], (x1, y1, z1), (x2, y2, z2), (x, y), *others)
        for row, line, kind, x1, y1, z1, x2, y2, z2, x, y, *others in rows
    )


def paths_of_motions(motions: Sequence[Motion]) -> Paths:
    """Return motions in columns again."""

    def whole(name: str) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        return np.array([getattr(motion, name) for motion in motions], dtype=np.int64)

    def real(values: Sequence[object], width: int) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        return np.ascontiguousarray(np.array(values, dtype=np.float64).reshape(-1, width).T)

    return Paths(
        row=whole("row"),
        line=whole("line"),
        kind=whole("kind"),
        start=real([motion.start for motion in motions], 3),
        end=real([motion.end for motion in motions], 3),
        centre=real([motion.centre for motion in motions], 2),
        turns=whole("turns"),
        rate=real([motion.rate for motion in motions], 1)[0],
        rpm=real([motion.rpm for motion in motions], 1)[0],
        tool=whole("tool"),
        compensated=whole("compensated") != 0,
        plane=whole("plane"),
    )
