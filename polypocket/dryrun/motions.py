"""The rows of a track as motions with a beginning and an end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.track import Event, Frame, Kind, Track

__all__ = ["Motion", "Point", "motions_of", "offset_word"]

Point = tuple[float, float, float]

_FULL_TURN = 2.0 * math.pi
_NOWHERE: Point = (math.nan, math.nan, math.nan)
#: An arc whose ends are nearer than this is a full circle, mm; the text cannot say a smaller distance.
_SAME_POINT = 1e-6
_MOVES_PER_MINUTE = 93

# Members of an enumeration are slow to look up by name, and these are asked for again and again.
_KINDS = tuple(Kind)
_RAPID, _ANTICLOCKWISE, _ASK, _MACHINE = Kind.RAPID, Kind.ARC_ANTICLOCKWISE, Event.ASK, Frame.MACHINE
_ARCS = (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)
_NO_MOTIONS = (Kind.EVENT, Kind.DWELL)


@dataclass(frozen=True)
class Motion:
    """One motion of the cutter's tip centre, or as programmed, measured from the work zero.

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
        if math.dist(self.start[:2], self.end[:2]) < _SAME_POINT:
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


def offset_word(offset: float) -> str:
    """Return a work offset as the mill file names it: 54.0 is ``G54``, 59.1 is ``G59.1``."""
    return f"G{offset:.0f}" if float(offset).is_integer() else f"G{offset:.1f}"


def motions_of(track: Track, zero: str, work_offsets: Mapping[str, Point]) -> tuple[Motion, ...]:
    """Return a track's motions as programmed, all measured from the work zero of the offset ``zero``.

    Shifts (G92), other work offsets and moves in the machine's frame are brought into that frame; where the
    mill file does not give an offset that this needs, positions are not known. A height that a comment asks
    a person to set is a motion too, and may meet material as little as a rapid one.
    """
    origins = _origins(track, zero, work_offsets)
    told = np.column_stack((track.x, track.y, track.z))
    centres = np.column_stack((track.centre_x, track.centre_y)) + origins[:, :2]
    motions: list[Motion] = []
    here = _NOWHERE
    columns = (
        *(track.line, track.kind, track.event, told + origins, np.isnan(told), centres, track.turns),
        *(track.feed, track.feed_mode, track.rpm, track.tool, track.compensation_side),
    )
    rows = zip(*(column.tolist() for column in columns), strict=True)
    for row, (line, number, event, place, stays, centre, turns, feed, mode, rpm, tool, side) in enumerate(
        rows
    ):
        kind = _KINDS[number]
        x = here[0] if stays[0] else place[0]
        y = here[1] if stays[1] else place[1]
        z = here[2] if stays[2] else place[2]
        if kind in _NO_MOTIONS:
            by_hand = event == _ASK and not math.isnan(z) and z != here[2]
            if not by_hand:
                continue
            kind = _RAPID
        motion = Motion(
            row, line, kind, here, (x, y, z), tuple(centre), turns, feed, rpm, tool, compensated=bool(side)
        )
        if kind != _RAPID and mode == _MOVES_PER_MINUTE:
            motion = replace(motion, rate=feed * motion.length)
        motions.append(motion)
        here = motion.end
    return tuple(motions)


def _origins(track: Track, zero: str, work_offsets: Mapping[str, Point]) -> NDArray[np.float64]:
    """Where each row's coordinates are measured from, in the frame of ``zero``, mm: X, Y, Z in columns."""
    base = np.array(work_offsets.get(zero, _NOWHERE))
    origins = np.column_stack((track.shift_x, track.shift_y, track.shift_z))
    for offset in set(track.offset.tolist()):
        word = offset_word(offset)
        if word != zero:
            rows = track.offset == offset
            origins[rows] = origins[rows] + work_offsets.get(word, _NOWHERE) - base
    origins[track.frame == _MACHINE] = -base
    return origins
