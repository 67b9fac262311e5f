"""The rows of a track as motions with a beginning and an end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.planes import PLANES
from polypocket.reader.track import Event, Frame, Kind, Track

__all__ = ["Motion", "Point", "motions_of", "offset_word"]

Point = tuple[float, float, float]

_FULL_TURN = 2.0 * math.pi
_NOWHERE: Point = (math.nan, math.nan, math.nan)
#: An arc whose ends are nearer than this is a full circle, mm; the text cannot say a smaller distance.
_SAME_POINT = 1e-6
_MOVES_PER_MINUTE = 93
_XY_PLANE = 17
#: Positions that were measured from different zeros are alike if they are to so many decimals of a mm: sums of
#: exactly written numbers differ by rounding. No source.
_DECIMALS = 9

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
    plane: int = _XY_PLANE

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
        return self.plane != _XY_PLANE and self.kind in _ARCS

    @cached_property
    def is_known(self) -> bool:
        """Whether both ends are known on all axes."""
        return not any(map(math.isnan, self.start + self.end))

    @property
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

    @cached_property
    def path_radius(self) -> float:
        """Radius of an arc's path, mm: the mean of those at its two ends, which rounding makes differ."""
        at_start, at_end = self._in_plane(self.start), self._in_plane(self.end)
        return (math.dist(self.centre, at_start) + math.dist(self.centre, at_end)) / 2.0

    @cached_property
    def start_angle(self) -> float:
        """Direction from an arc's centre to its start, radians, from its plane's first axis to the second."""
        return self._angle(self.start)

    @cached_property
    def sweep(self) -> float:
        """Angle that an arc goes through, radians, positive anticlockwise."""
        turn = (self._angle(self.end) - self.start_angle) % _FULL_TURN
        if math.dist(self._in_plane(self.start), self._in_plane(self.end)) < _SAME_POINT:
            turn = 0.0
        if self.kind == _ANTICLOCKWISE:
            return (turn or _FULL_TURN) + self.turns * _FULL_TURN
        return (turn - _FULL_TURN) - self.turns * _FULL_TURN

    @cached_property
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


def offset_word(offset: float) -> str:
    """Return a work offset as the mill file names it: 54.0 is ``G54``, 59.1 is ``G59.1``."""
    return f"G{offset:.0f}" if float(offset).is_integer() else f"G{offset:.1f}"


def motions_of(
    track: Track,
    zero: str,
    work_offsets: Mapping[str, Point],
    reference_points: Mapping[str, Point] = MappingProxyType({}),
) -> tuple[Motion, ...]:
    """Return a track's motions as programmed, all measured from the work zero of the offset ``zero``.

    Shifts (G92), other work offsets, moves in the machine's frame and to its reference points (by the G words
    that go there) are brought into that frame; where the mill file does not give one that this needs,
    positions are not known. A height that a comment asks a person to set is a motion too, and may meet
    material as little as a rapid one.
    """
    origins = _origins(track, zero, work_offsets)
    told = _told(track, reference_points)
    stay = np.isnan(told) & (track.reference == 0)[:, np.newaxis]
    places = told + origins
    if origins.any():
        places = np.round(places, _DECIMALS)
    motions: list[Motion] = []
    here = _NOWHERE
    columns = (
        *(track.line, track.kind, track.event, places, stay, _centres(track, origins), track.turns),
        *(track.feed, track.feed_mode, track.rpm, track.tool, track.compensation_side, track.plane),
    )
    rows = zip(*(column.tolist() for column in columns), strict=True)
    for row, values in enumerate(rows):
        line, number, event, place, stays, centre, turns, feed, mode, rpm, tool, side, plane = values
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
            *(row, line, kind, here, (x, y, z), tuple(centre), turns, feed, rpm, tool, bool(side), plane)
        )
        if kind != _RAPID and mode == _MOVES_PER_MINUTE:
            motion = replace(motion, rate=feed * motion.length)
        motions.append(motion)
        here = motion.end
    return tuple(motions)


def _told(track: Track, reference_points: Mapping[str, Point]) -> NDArray[np.float64]:
    """Return where the rows send the axes, each in its own frame, mm: X, Y, Z in columns."""
    told = np.column_stack((track.x, track.y, track.z))
    for row in np.flatnonzero(track.reference).tolist():
        told[row] = reference_points.get(f"G{track.reference[row]}", _NOWHERE)
    return told


def _centres(track: Track, origins: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the centres of arcs along the first and second axis of their planes, mm, from the zero."""
    centres = np.column_stack((track.centre_x, track.centre_y, track.centre_z)) + origins
    result = centres[:, :2].copy()
    for plane, (first, second, _) in PLANES.items():
        if plane != _XY_PLANE:
            rows = track.plane == plane
            result[rows] = centres[rows][:, (first, second)]
    return result


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
