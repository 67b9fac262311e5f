"""How far each axis goes, and whether the mill has that much."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.paths import Paths, offset_word, turning_points
from polypocket.dryrun.tips import cutter_lengths
from polypocket.dryrun.tolerances import TRAVEL
from polypocket.model.mill import Axis, Mill
from polypocket.reader.planes import PLANES
from polypocket.reader.track import Frame, Kind, Track

__all__ = ["AxisTravel", "Extreme", "extremes_of", "travel_faults", "travel_of"]

_AXES = ("x", "y", "z")


class AxisTravel(NamedTuple):
    """How far an axis goes, mm, in machine coordinates; ``None`` where they are not known.

    On a mill without home switches ``low`` and ``high`` are the room needed each way from the work zero,
    and there are no limits.
    """

    low: float | None
    high: float | None
    limit_low: float | None
    limit_high: float | None


class Extreme(NamedTuple):
    """The lowest and highest that an axis gets, mm from the work zero, and in which lines."""

    low: float
    low_line: int
    high: float
    high_line: int


def extremes_of(paths: Paths, longer: Mapping[int, float] = MappingProxyType({})) -> dict[str, Extreme]:
    """Return how far each axis goes, arcs by their true extents; an axis that is never known is left out.

    Z is that of the spindle: where the tip of the cutter of the work offsets would be, ``longer`` as in ``paths_of``.
    """
    length = cutter_lengths(paths.tool, longer)
    at, first, second = turning_points(paths)
    plane = paths.plane[at]
    every = np.arange(len(paths))
    found: dict[str, Extreme] = {}
    for axis, name in enumerate(_AXES):
        reached = [(every, paths.start[axis]), (every, paths.end[axis])]
        if length is not None and name == "z":
            reached = [(every, places + length) for _, places in reached]
        for number, axes in PLANES.items():
            if axis != axes[2] and (inside := plane == number).any():
                places = (first if axis == axes[0] else second)[inside]
                if length is not None and name == "z":
                    places = places + length[at[inside]]
                reached.append((at[inside], places))
        low = float(np.fmin.reduce([np.fmin.reduce(places, initial=np.nan) for _, places in reached]))
        high = float(np.fmax.reduce([np.fmax.reduce(places, initial=np.nan) for _, places in reached]))
        if not np.isnan(low):
            lines = (int(paths.line[_first_at(reached, place)]) for place in (low, high))
            found[name] = Extreme(low, next(lines), high, next(lines))
    return found


def _first_at(reached: Iterable[tuple[NDArray[np.int64], NDArray[np.float64]]], place: float) -> int:
    """Return the first motion, given with its places, that gets to a place."""
    firsts = []
    for motions, places in reached:
        there = places == place
        if there.any():
            firsts.append(int(motions[np.argmax(there)]))
    return min(firsts)


def travel_of(every: Sequence[Mapping[str, Extreme]], mills: Sequence[Mill]) -> dict[str, AxisTravel]:
    """Return how far each axis goes in all the programs together, each with the zero of its own mill."""
    offsets = [_offset(mill) for mill in mills]
    result: dict[str, AxisTravel] = {}
    for index, (name, axis) in enumerate(_axes(mills[0])):
        limits = (axis.low, axis.high) if mills[0].homed else (None, None)
        known = [
            (extremes[name], offset[index])
            for extremes, offset in zip(every, offsets, strict=False)
            if name in extremes and offset is not None
        ]
        if not known:
            result[name] = AxisTravel(None, None, *limits)
        else:
            low = min(each.low + zero for each, zero in known)
            result[name] = AxisTravel(low, max(each.high + zero for each, zero in known), *limits)
    return result


def travel_faults(track: Track, extremes: Mapping[str, Extreme], mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each axis and end that is overrun, and each work offset that the mill file lacks."""
    yield from _offsets(track, mill)
    offset = _offset(mill)
    for index, (name, axis) in enumerate(_axes(mill)):
        if name not in extremes or offset is None:
            continue
        extreme = extremes[name]
        if mill.homed:
            yield from _ends(track, name, axis, extreme, offset[index])
        elif extreme.high - extreme.low > axis.high - axis.low + TRAVEL:
            needed = length_text(extreme.high - extreme.low, track.units)
            has = length_text(axis.high - axis.low, track.units)
            yield Fault(
                "travel",
                track.name,
                extreme.high_line,
                f"{name.upper()} needs {needed} of travel; the mill has {has}",
                "use a smaller clearance, or another mill",
                key=name,
            )


def _ends(track: Track, name: str, axis: Axis, extreme: Extreme, offset: float) -> Iterator[Fault]:
    ends = (
        ("low", axis.low - (extreme.low + offset), extreme.low, extreme.low_line, axis.low),
        ("high", extreme.high + offset - axis.high, extreme.high, extreme.high_line, axis.high),
    )
    for end, over, place, line, limit in ends:
        if over > TRAVEL:
            fix = "clamp the work elsewhere on the table and set the offset anew, or take a smaller clearance"
            if over > axis.high - axis.low:
                fix = (
                    "look for a lost decimal point or the wrong units, here or in the mill file's work offset"
                )
            yield Fault(
                "travel",
                track.name,
                line,
                f"{name.upper()} goes to {length_text(place + offset, track.units)} of the machine, "
                f"{length_text(over, track.units)} past its end at {length_text(limit, track.units)}",
                fix,
                key=f"{name} {end}",
                amount=over,
            )


def _offsets(track: Track, mill: Mill) -> Iterator[Fault]:
    moves = np.flatnonzero(~np.isin(track.kind, (Kind.EVENT, Kind.DWELL)))
    offsets, frames = track.offset[moves], track.frame[moves]
    others = (np.diff(offsets, prepend=np.nan) != 0.0) | (np.diff(frames, prepend=-1) != 0)
    told: set[str] = set()
    for row in moves[others].tolist():
        word = offset_word(float(track.offset[row]))
        in_machine = track.frame[row] == Frame.MACHINE
        if in_machine and not mill.homed:
            message = "a move in machine coordinates on a mill that has no home switches"
            fix = "go there in work coordinates"
        elif word not in mill.work_offsets and (mill.homed or word != mill.work_offset or in_machine):
            message = f"the mill file does not say where {word} is, so nobody can tell where this goes"
            fix = f"put {word} into the mill file's [work_offsets]"
        else:
            continue
        if message not in told:
            told.add(message)
            yield Fault("travel", track.name, int(track.line[row]), message, fix, key=message)


def _offset(mill: Mill) -> tuple[float, float, float] | None:
    """Return what to add to work coordinates: 0 where the machine's mean nothing; ``None`` if not known."""
    if not mill.homed:
        return 0.0, 0.0, 0.0
    return mill.work_offsets.get(mill.work_offset)


def _axes(mill: Mill) -> tuple[tuple[str, Axis], ...]:
    return ("x", mill.axes.x), ("y", mill.axes.y), ("z", mill.axes.z)
