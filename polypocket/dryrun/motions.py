"""Motions one by one, as what meets material takes them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from polypocket.dryrun.paths import SAME_POINT, Paths, Point
from polypocket.reader.track import Kind

__all__ = ["Motion", "Point", "motions_of"]

_FULL_TURN = 2.0 * math.pi

# Members of an enumeration are slow to look up by name, and these are asked for again and again.
_KINDS = tuple(Kind)
_RAPID, _ANTICLOCKWISE = Kind.RAPID, Kind.ARC_ANTICLOCKWISE
_ARCS = (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)


@dataclass(frozen=True)
class Motion:
    """One motion of the cutter's tip centre, measured from the work zero.

    Attributes:
        row: the track's row.
        line: from 1.
        kind: a motion's ``Kind``.
        start, end: mm from the work zero; NaN where not known.
        centre: of an arc, mm; NaN elsewhere.
        turns: full turns beyond the first.
        rate: feed along the path, mm/min; NaN where not known.
        rpm: positive clockwise, 0 stopped, NaN not known.
        tool: number, 0 until known.
        compensated: whether radius compensation is on.
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

    @property
    def is_rapid(self) -> bool:
        """Whether it goes at rapid rates."""
        return self.kind == _RAPID

    @property
    def is_arc(self) -> bool:
        """Whether it is an arc or a helix."""
        return self.kind in _ARCS

    @cached_property
    def is_known(self) -> bool:
        """Whether both ends are known on all axes."""
        return not any(map(math.isnan, self.start + self.end))

    @property
    def lowest(self) -> float:
        """Lowest Z, mm."""
        return min(self.start[2], self.end[2])

    @property
    def descends(self) -> bool:
        """Whether it goes down."""
        return self.end[2] < self.start[2]

    @property
    def moves_across(self) -> bool:
        """Whether X or Y change."""
        return self.is_arc or self.start[:2] != self.end[:2]

    @cached_property
    def path_radius(self) -> float:
        """Radius of an arc's path, mm: the mean of those at its two ends, which rounding makes differ."""
        return (math.dist(self.centre, self.start[:2]) + math.dist(self.centre, self.end[:2])) / 2.0

    @cached_property
    def start_angle(self) -> float:
        """Direction from an arc's centre to its start, radians."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    @cached_property
    def sweep(self) -> float:
        """Angle that an arc goes through, radians, positive anticlockwise."""
        end = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        turn = (end - self.start_angle) % _FULL_TURN
        if math.dist(self.start[:2], self.end[:2]) < SAME_POINT:
            turn = 0.0
        if self.kind == _ANTICLOCKWISE:
            return (turn or _FULL_TURN) + self.turns * _FULL_TURN
        return (turn - _FULL_TURN) - self.turns * _FULL_TURN

    @cached_property
    def length(self) -> float:
        """Length of the path, mm; NaN where an end is not known."""
        if self.is_arc:
            return math.hypot(self.path_radius * self.sweep, self.end[2] - self.start[2])
        return math.dist(self.start, self.end)

    def at(self, share: float) -> Point:
        """Position after ``share`` (0 to 1) of the path, mm."""
        z = self.start[2] + share * (self.end[2] - self.start[2])
        if not self.is_arc:
            (x1, y1, _), (x2, y2, _) = self.start, self.end
            return x1 + share * (x2 - x1), y1 + share * (y2 - y1), z
        angle = self.start_angle + share * self.sweep
        return (
            self.centre[0] + self.path_radius * math.cos(angle),
            self.centre[1] + self.path_radius * math.sin(angle),
            z,
        )

    def quadrant_shares(self) -> tuple[float, ...]:
        """Shares of an arc's path at which X or Y turns round, in order; none where there is no known arc."""
        if not self.is_arc or not self.is_known:
            return ()
        quarter = math.pi / 2.0
        low, high = sorted((self.start_angle, self.start_angle + self.sweep))
        crossings = range(math.ceil(low / quarter), math.floor(high / quarter) + 1)
        shares = ((crossing * quarter - self.start_angle) / self.sweep for crossing in crossings)
        return tuple(sorted(share for share in shares if 0.0 < share < 1.0))


def motions_of(paths: Paths) -> tuple[Motion, ...]:
    """Return the motions one by one."""
    columns = (
        *(paths.row, paths.line, paths.kind, *paths.start, *paths.end, *paths.centre, paths.turns),
        *(paths.rate, paths.rpm, paths.tool, paths.compensated),
    )
    rows = zip(*(column.tolist() for column in columns), strict=True)
    return tuple(
        Motion(row, line, _KINDS[kind], (x1, y1, z1), (x2, y2, z2), (x, y), *others)
        for row, line, kind, x1, y1, z1, x2, y2, z2, x, y, *others in rows
    )
