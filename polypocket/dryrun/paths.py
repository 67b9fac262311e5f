"""The rows of a track as motions in columns, each with a beginning and an end; what is judged at any number at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.set_by_hand import set_by_hand
from polypocket.dryrun.tips import cutter_lengths, lose, told_for
from polypocket.lazily import kept_property
from polypocket.reader.planes import PLANES
from polypocket.reader.track import Frame, Kind, Track

__all__ = [
    "SAME_POINT",
    "XY_PLANE",
    "Arcs",
    "Paths",
    "Point",
    "offset_word",
    "paths_of",
    "turning_points",
]

Point = tuple[float, float, float]

#: An arc whose ends are nearer than this is a full circle, mm; the text cannot say a smaller distance.
SAME_POINT = 1e-6
XY_PLANE = 17
#: Positions that were measured from different zeros are alike if they are to so many decimals of a mm: sums of
#: exactly written numbers differ by rounding. No source.
_DECIMALS = 9

Number = TypeVar("Number", np.float64, np.int64)
Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Truths = NDArray[np.bool_]

_FULL_TURN = 2.0 * math.pi
_QUARTER = math.pi / 2.0
_NOWHERE: Point = (math.nan, math.nan, math.nan)
_MOVES_PER_MINUTE = 93
#: Cosine and sine of 0, 1, 2 and 3 quarter turns.
_COSINES, _SINES = np.array([1.0, 0.0, -1.0, 0.0]), np.array([0.0, 1.0, 0.0, -1.0])


class Arcs(NamedTuple):
    """The arcs and helices whose ends are known in their planes, in columns.

    Attributes:
        at: which motions they are.
        radius: of the path, mm: the mean of those at its two ends, which rounding makes differ.
        start_angle: direction from the centre to the start, radians from the plane's first axis to its second.
        sweep: angle that is gone through, radians, positive anticlockwise.
    """

    at: Integers
    radius: Floats
    start_angle: Floats
    sweep: Floats


# Its columns could not be compared as one, nor read if they were shown.
@dataclass(frozen=True, eq=False, repr=False)
class Paths:
    """Motions of the cutter's tip centre, measured from the work zero, one column entry a motion.

    Attributes:
        row: the track's row.
        line: from 1.
        kind: a motion's ``Kind``.
        start, end: X, Y and Z along the first axis, mm from the work zero; NaN where not known.
        centre: of an arc, along the first axis its coordinates along the first and second axis of its plane, mm; NaN
            elsewhere.
        turns: full turns beyond the first.
        rate: feed along the path, mm/min; NaN where not known.
        rpm: positive clockwise, 0 stopped, NaN not known.
        tool: number, 0 until known.
        compensated: whether radius compensation is on.
        plane: 17, 18 or 19: of an arc.
    """

    row: Integers
    line: Integers
    kind: Integers
    start: Floats
    end: Floats
    centre: Floats
    turns: Integers
    rate: Floats
    rpm: Floats
    tool: Integers
    compensated: Truths
    plane: Integers

    def __len__(self) -> int:
        return len(self.row)

    def some(self, which: Truths) -> Paths:
        """Return some of the motions."""
        rows = np.flatnonzero(which)
        return Paths(**{field.name: getattr(self, field.name)[..., rows] for field in fields(self)})

    @kept_property
    def is_rapid(self) -> Truths:
        """Whether each goes at rapid rates."""
        rapid: Truths = self.kind == Kind.RAPID
        return rapid

    @kept_property
    def is_known(self) -> Truths:
        """Whether both ends are known on all axes."""
        return _known(self.start, self.end)

    @kept_property
    def arcs(self) -> Arcs:
        """The arcs whose ends are known in their planes."""
        return _arcs(self.kind, self.start, self.end, self.centre, self.turns, self.plane)

    @kept_property
    def length(self) -> Floats:
        """Length of each path, mm; NaN where an end is not known."""
        return _lengths(self.kind, self.start, self.end, self.arcs, self.plane)


def paths_of(
    track: Track,
    zero: str,
    work_offsets: Mapping[str, Point],
    reference_points: Mapping[str, Point] = MappingProxyType({}),
    longer: Mapping[int, float] = MappingProxyType({}),
) -> Paths:
    """Return a track's motions as programmed, all measured from the work zero of the offset ``zero``.

    Shifts (G92), other work offsets, moves in the machine's frame and to its reference points (by the G words
    that go there) are brought into that frame; where the mill file does not give one that this needs,
    positions are not known. Z is that of the tip of the cutter that is in: where a cutter is changed the spindle
    stays at its height, and ``longer`` has by how much each cutter, by its number, stands out further than the one
    with which the mill file's work offsets were taken, mm. What a comment asks a person to set an axis to is a motion
    too, and may meet material as little as a rapid one.
    """
    told, named = _told(track, reference_points)
    origins = _origins(track, zero, work_offsets)
    place = [
        np.round(axis + origin, _DECIMALS) if origin.any() else axis
        for axis, origin in zip(told, origins, strict=True)
    ]
    length = cutter_lengths(track.tool, longer)
    if length is not None:  # on the way from cutter to cutter it is the spindle's height that stays
        place[2] = place[2] + np.where(track.frame == Frame.MACHINE, 0.0, told_for(track, longer))
    is_motion = (track.kind != Kind.EVENT) & (track.kind != Kind.DWELL)
    by_hand = set_by_hand(track, named, place, is_motion)
    is_motion[by_hand] = True
    rows = np.flatnonzero(is_motion)
    kind = track.kind[rows]
    kind[(kind == Kind.EVENT) | (kind == Kind.DWELL)] = Kind.RAPID  # set by hand
    end, start = np.empty((3, len(rows))), np.empty((3, len(rows)))
    for axis in range(3):
        end[axis] = _kept(named[axis][rows], place[axis][rows])
    start[:, :1], start[:, 1:] = math.nan, end[:, :-1]
    lose(track, rows, named, start, end)
    if length is not None:
        start[2], end[2] = np.round((start[2], end[2]) - length[rows], _DECIMALS)
    plane = _taken(track.plane, rows)
    centre = _centres(track, origins, rows, plane)
    turns, rate = _taken(track.turns, rows), _taken(track.feed, rows)
    in_time = (track.feed_mode[rows] == _MOVES_PER_MINUTE) & (kind != Kind.RAPID)
    if in_time.any():
        way = _lengths(kind, start, end, _arcs(kind, start, end, centre, turns, plane), plane)
        rate = np.where(in_time, rate * way, rate)
    return Paths(
        row=rows,
        line=track.line[rows],
        kind=kind,
        start=start,
        end=end,
        centre=centre,
        turns=turns,
        rate=rate,
        rpm=_taken(track.rpm, rows),
        tool=_taken(track.tool, rows),
        compensated=_taken(track.compensation_side, rows) != 0,
        plane=plane,
    )


def turning_points(paths: Paths) -> tuple[Integers, Floats, Floats]:
    """Return where arcs turn round in an axis, ends apart: which motion, and where along its plane's two axes, mm."""
    arcs = paths.arcs
    far = arcs.start_angle + arcs.sweep
    first = np.ceil(np.minimum(arcs.start_angle, far) / _QUARTER)
    last = np.floor(np.maximum(arcs.start_angle, far) / _QUARTER)
    counts = np.maximum(last - first + 1.0, 0.0).astype(np.int64)
    which = np.repeat(np.arange(len(counts)), counts)
    number = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    quarters = first.astype(np.int64)[which] + number
    share = (quarters * _QUARTER - arcs.start_angle[which]) / arcs.sweep[which]
    between = (share > 0.0) & (share < 1.0)
    which, quarters = which[between], quarters[between] % 4
    at, radius = arcs.at[which], arcs.radius[which]
    return (
        at,
        paths.centre[0, at] + radius * _COSINES[quarters],
        paths.centre[1, at] + radius * _SINES[quarters],
    )


def offset_word(offset: float) -> str:
    """Return a work offset as the mill file names it: 54.0 is ``G54``, 59.1 is ``G59.1``."""
    return f"G{offset:.0f}" if float(offset).is_integer() else f"G{offset:.1f}"


def _is_arc(kind: Integers) -> Truths:
    arcs: Truths = (kind == Kind.ARC_CLOCKWISE) | (kind == Kind.ARC_ANTICLOCKWISE)
    return arcs


def _known(start: Floats, end: Floats) -> Truths:
    # A sum is NaN where one of its terms is, since no coordinate is infinite.
    unknown: Truths = np.isnan(start.sum(axis=0) + end.sum(axis=0))
    return ~unknown


def _arcs(
    kind: Integers, start: Floats, end: Floats, centre: Floats, turns: Integers, plane: Integers
) -> Arcs:
    at = np.flatnonzero(_is_arc(kind))
    (x1, y1), (x2, y2), (x, y) = _in_plane(start, at, plane), _in_plane(end, at, plane), centre[:, at]
    known = ~np.isnan(x1 + y1 + x2 + y2 + x + y)
    if not known.all():
        at, x1, y1, x2, y2, x, y = (each[known] for each in (at, x1, y1, x2, y2, x, y))
    start_angle = np.arctan2(y1 - y, x1 - x)
    turn = (np.arctan2(y2 - y, x2 - x) - start_angle) % _FULL_TURN
    turn[np.hypot(x2 - x1, y2 - y1) < SAME_POINT] = 0.0
    anticlockwise = np.where(turn == 0.0, _FULL_TURN, turn) + turns[at] * _FULL_TURN
    clockwise = turn - _FULL_TURN - turns[at] * _FULL_TURN
    return Arcs(
        at=at,
        radius=(np.hypot(x - x1, y - y1) + np.hypot(x - x2, y - y2)) / 2.0,
        start_angle=start_angle,
        sweep=np.where(kind[at] == Kind.ARC_ANTICLOCKWISE, anticlockwise, clockwise),
    )


def _lengths(kind: Integers, start: Floats, end: Floats, arcs: Arcs, plane: Integers) -> Floats:
    way = end - start
    x, y, z = way
    length: Floats = np.sqrt(x * x + y * y + z * z)
    length[_is_arc(kind)] = math.nan
    along = z[arcs.at]
    for number, (_, _, third) in _uprights(plane):
        upright = plane[arcs.at] == number
        along[upright] = way[third, arcs.at[upright]]
    length[arcs.at] = np.hypot(arcs.radius * arcs.sweep, along)
    return length


def _uprights(plane: Integers) -> list[tuple[int, tuple[int, int, int]]]:
    """Return the planes other than XY that occur, and their axes."""
    if (plane == XY_PLANE).all():
        return []
    return [(number, axes) for number, axes in PLANES.items() if number != XY_PLANE]


def _in_plane(places: Floats, at: Integers, plane: Integers) -> tuple[Floats, Floats]:
    """Return the coordinates of some motions' places along the first and second axis of their planes."""
    x, y = places[0, at], places[1, at]
    for number, (first, second, _) in _uprights(plane):
        upright = plane[at] == number
        x[upright], y[upright] = places[first, at[upright]], places[second, at[upright]]
    return x, y


def _told(track: Track, reference_points: Mapping[str, Point]) -> tuple[list[Floats], list[Truths]]:
    """Return where the rows send each axis, in their own frames, and whether they say so; a reference point is said."""
    told = [track.x, track.y, track.z]
    named = [~np.isnan(axis) for axis in told]
    rows = np.flatnonzero(track.reference)
    if len(rows):
        told = [axis.copy() for axis in told]
        places = [reference_points.get(f"G{number}", _NOWHERE) for number in track.reference[rows].tolist()]
        for axis, values in enumerate(zip(*places, strict=True)):
            told[axis][rows] = values
            named[axis][rows] = True
    return told, named


def _centres(track: Track, origins: tuple[Floats, Floats, Floats], rows: Integers, plane: Integers) -> Floats:
    """Return the centres of arcs along the first and second axis of their planes, mm, from the zero."""
    told = (track.centre_x, track.centre_y, track.centre_z)
    centre = np.empty((2, len(rows)))
    for axis in range(2):
        centre[axis] = told[axis][rows] + _taken(origins[axis], rows)
    for number, axes in _uprights(plane):
        upright = plane == number
        for axis in range(2):
            along = axes[axis]
            centre[axis, upright] = told[along][rows][upright] + _taken(origins[along], rows)[upright]
    return centre


def _taken(column: NDArray[Number], rows: Integers) -> NDArray[Number]:
    """Return a column's rows; a column that takes no room, since all its rows are one value, stays so."""
    return column[: len(rows)] if column.strides == (0,) else column[rows]


def _kept(named: Truths, place: Floats) -> Floats:
    """Return where an axis is after each motion: where it was put last, NaN before that."""
    gaps = np.flatnonzero(~named)
    if not len(gaps):
        return place
    begins = np.diff(gaps, prepend=-2) > 1
    before = gaps[begins][np.cumsum(begins) - 1] - 1  # the motion before each unbroken run of gaps
    kept = place.copy()
    kept[gaps] = np.where(before < 0, math.nan, place[before])
    return kept


def _origins(track: Track, zero: str, work_offsets: Mapping[str, Point]) -> tuple[Floats, Floats, Floats]:
    """Return where each row's X, Y and Z are measured from, in the frame of ``zero``, mm."""
    base = work_offsets.get(zero, _NOWHERE)
    changes = track.offset[np.diff(track.offset, prepend=math.nan) != 0.0]
    others = {offset for offset in changes.tolist() if offset_word(offset) != zero}
    in_machine = track.frame == Frame.MACHINE
    if not others and not in_machine.any():
        return track.shift_x, track.shift_y, track.shift_z
    x, y, z = track.shift_x.copy(), track.shift_y.copy(), track.shift_z.copy()
    for axis, origin in enumerate((x, y, z)):
        for offset in others:
            rows = track.offset == offset
            origin[rows] = origin[rows] + work_offsets.get(offset_word(offset), _NOWHERE)[axis] - base[axis]
        origin[in_machine] = -base[axis]
    return x, y, z
