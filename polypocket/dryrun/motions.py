"""The rows of a track as motions with a beginning and an end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from polypocket.reader.track import Event, Frame, Kind, Track

__all__ = ["Motion", "Point", "motions_of", "offset_word"]

Point = tuple[float, float, float]

_FULL_TURN = 2.0 * math.pi
_NOWHERE: Point = (math.nan, math.nan, math.nan)
#: An arc whose ends are nearer than this is a full circle, mm; the text cannot say a smaller distance.
_SAME_POINT = 1e-6
_MOVES_PER_MINUTE = 93


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
        return self.kind == Kind.RAPID

    @property
    def is_arc(self) -> bool:
        """Whether it is an arc or a helix."""
        return self.kind in (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)

    @property
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
        if math.dist(self.start[:2], self.end[:2]) < _SAME_POINT:
            turn = 0.0
        if self.kind == Kind.ARC_ANTICLOCKWISE:
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
            x, y = (a + share * (b - a) for a, b in zip(self.start[:2], self.end[:2], strict=True))
            return x, y, z
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


def offset_word(offset: float) -> str:
    """Return a work offset as the mill file names it: 54.0 is ``G54``, 59.1 is ``G59.1``."""
    return f"G{offset:.0f}" if float(offset).is_integer() else f"G{offset:.1f}"


def motions_of(track: Track, zero: str, work_offsets: Mapping[str, Point]) -> tuple[Motion, ...]:
    """Return a track's motions, all measured from the work zero of the offset ``zero``.

    Shifts (G92), other work offsets and moves in the machine's frame are brought into that frame; where the
    mill file does not give an offset that this needs, positions are not known. A height that a comment asks
    a person to set is a motion too, and may meet material as little as a rapid one.
    """
    motions: list[Motion] = []
    here = _NOWHERE
    for row in range(len(track)):
        kind = Kind(int(track.kind[row]))
        end = _end(track, row, zero, work_offsets, here)
        if kind in (Kind.EVENT, Kind.DWELL):
            kind = Kind.RAPID if _by_hand(track, row, here, end) else kind
        if kind not in (Kind.EVENT, Kind.DWELL):
            motions.append(_motion(track, row, kind, here, end, _origin(track, row, zero, work_offsets)))
            here = end
    return tuple(motions)


def _motion(track: Track, row: int, kind: Kind, start: Point, end: Point, origin: Point) -> Motion:
    rate = float(track.feed[row])
    motion = Motion(
        row=row,
        line=int(track.line[row]),
        kind=kind,
        start=start,
        end=end,
        centre=(float(track.centre_x[row]) + origin[0], float(track.centre_y[row]) + origin[1]),
        turns=int(track.turns[row]),
        rate=rate,
        rpm=float(track.rpm[row]),
        tool=int(track.tool[row]),
        compensated=bool(track.compensation_side[row]),
    )
    if kind != Kind.RAPID and track.feed_mode[row] == _MOVES_PER_MINUTE:
        return replace(motion, rate=rate * motion.length)
    return motion


def _origin(track: Track, row: int, zero: str, work_offsets: Mapping[str, Point]) -> Point:
    """Where the row's coordinates are measured from, in the frame of ``zero``, mm."""
    base = work_offsets.get(zero, _NOWHERE)
    if track.frame[row] == Frame.MACHINE:
        return -base[0], -base[1], -base[2]
    shift = (float(track.shift_x[row]), float(track.shift_y[row]), float(track.shift_z[row]))
    word = offset_word(float(track.offset[row]))
    if word == zero:
        return shift
    offset = work_offsets.get(word, _NOWHERE)
    return (
        shift[0] + offset[0] - base[0],
        shift[1] + offset[1] - base[1],
        shift[2] + offset[2] - base[2],
    )


def _end(track: Track, row: int, zero: str, work_offsets: Mapping[str, Point], here: Point) -> Point:
    """Where the row leaves the axes: those that it does not tell stay where they are."""
    told = (float(track.x[row]), float(track.y[row]), float(track.z[row]))
    origin = _origin(track, row, zero, work_offsets)
    x, y, z = (h if math.isnan(t) else t + o for t, o, h in zip(told, origin, here, strict=True))
    return x, y, z


def _by_hand(track: Track, row: int, here: Point, end: Point) -> bool:
    """Whether a person sets a height in this row."""
    return track.event[row] == Event.ASK and not math.isnan(end[2]) and end[2] != here[2]
