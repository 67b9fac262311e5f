"""Cutter radius compensation: programmed motions become the motions of the cutter's centre.

The centre keeps off the programmed path by what the register holds, to the left with G41 and to the right with
G42, a negative radius to the other side (NISTIR 6556 3.5.10 and appendix B, from memory, as all below).

- Along a contour: convex corners are rounded on an arc about them, concave ones cut short where the parallels cross.
  The standard's own control refuses concave corners; those that look ahead do this.
- The first move: the cutter comes to touch the programmed point with its rim, its centre square to the line that it
  came on, and rolls about the point into the contour, as in the standard. Where it would come in over a concave
  corner, which the standard refuses, it goes straight to where the contour's parallel starts, if it stands clear
  of the contour's side from the beginning.
- The move after G40: from the end of the last parallel straight to the programmed point.
- Moves of Z alone are made where the centre stands, before any arc about the next corner.

The feed is the centre's. What cannot be followed is a fault, and X and Y are not known from the first move on until
the move after G40 has been made.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from typing import NamedTuple

from polypocket.dryrun.compensation_faults import CompensationFaults
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.motions import Motion
from polypocket.reader.track import Kind, Track
from polypocket.shape.parallel import (
    SAME_POINT,
    SHORTEST,
    Joint,
    Misfit,
    Piece,
    Point,
    joint,
    tangent_point,
    turn_between,
)

__all__ = ["CentrePath", "centre_path"]

_LEFT = 1
_INVERSE_TIME = 93
_UNKNOWN: Point = (math.nan, math.nan)
#: Ends further apart than this are joined by an arc about the corner, mm: half the shortest, since they are a chord.
_ARC_FROM = SHORTEST / 2.0


class CentrePath(NamedTuple):
    """Where the cutter's centre goes.

    Attributes:
        motions: of the centre, mm from the work zero.
        faults: what hinders it.
    """

    motions: tuple[Motion, ...]
    faults: tuple[Fault, ...]


#: Where the centre starts and ends a motion across, by the track's row.
_Ends = dict[int, tuple[Point, Point]]


def centre_path(track: Track, motions: tuple[Motion, ...], registers: Mapping[int, float]) -> CentrePath:
    """Turn a track's programmed motions into those of the cutter's centre.

    Args:
        track: the program as read.
        motions: of the track, as programmed.
        registers: radius in each register, mm; ``model.mill.CutterRegisters`` tells its sign.
    """
    if not track.compensation_side.any():
        return CentrePath(motions, ())
    say = CompensationFaults(track.name, track.units)
    done: list[Motion] = []
    faults: list[Fault] = []
    standing: Point | None = None  # the centre, where it is not on the programmed path
    sides, numbers = track.compensation_side.tolist(), track.radius_register.tolist()
    for (side, number), group in groupby(motions, lambda motion: (sides[motion.row], numbers[motion.row])):
        run = tuple(group)
        if not side:
            moved, found = _way_back(run, standing, say) if standing is not None else (run, [])
            standing = None if any(map(_moves_across, run)) else standing
        else:
            radius = registers.get(number) if number else None
            if radius is None:
                moved, found = (), [say.no_register(run[0].line, number)]
            elif standing is not None:
                moved, found = (), [say.not_left(run[0].line)]
            else:
                moved, found = _contour(run, radius if side == _LEFT else -radius, say)
            if found:
                moved, standing = [_between(motion, _UNKNOWN, _UNKNOWN) for motion in run], _UNKNOWN
            elif moved[-1].end[:2] != run[-1].end[:2]:
                standing = moved[-1].end[:2]
        done += moved
        faults += found
    return CentrePath(_at_pace(done, motions, track), tuple(faults))


def _way_back(
    run: Sequence[Motion], standing: Point, say: CompensationFaults
) -> tuple[Sequence[Motion], list[Fault]]:
    """Lead the centre back to the programmed path with the first motion across."""
    count = next((index for index, motion in enumerate(run) if _moves_across(motion)), len(run))
    done = [_between(motion, standing, standing) for motion in run[:count]]
    if count == len(run):
        return done, []
    last = run[count]
    faults = [say.arc_at_end(last.line, "move that ends")] if last.is_arc else []
    start = _UNKNOWN if last.is_arc else standing
    return [*done, _between(last, start, last.end[:2]), *run[count + 1 :]], faults


def _contour(
    run: Sequence[Motion], distance: float, say: CompensationFaults
) -> tuple[Sequence[Motion], list[Fault]]:
    """Return the centre's motions along one contour, at a distance to the left; of no use where there are faults."""
    across = [motion for motion in run if _moves_across(motion)]
    if not across or distance == 0.0:
        return run, []
    if not all(math.isfinite(sum(motion.start[:2] + motion.end[:2])) for motion in across):
        return (), [say.unknown(across[0].line)]
    first, *contour = across
    if first.is_arc:
        return (), [say.arc_at_end(first.line, "first move with")]
    if not contour:
        return (), [say.nothing_follows(first.line)]
    pieces = [_piece(motion) for motion in contour]
    faults = [
        say.arc_too_small(motion.line, piece.radius, distance)
        for motion, piece in zip(contour, pieces, strict=True)
        if piece.centre is not None and piece.radius_at(distance) <= SAME_POINT
    ]
    entry = _entry(first, pieces[0], distance, say)
    if isinstance(entry, Fault):
        faults.append(entry)
    if faults:
        return (), faults
    assert not isinstance(entry, Fault)
    ends, faults = _ends(contour, pieces, distance, say)
    return (
        ((), faults) if faults else (_moved(run, {first.row: (first.start[:2], entry), **ends}, distance), [])
    )


def _entry(first: Motion, piece: Piece, distance: float, say: CompensationFaults) -> Point | Fault:
    """Return where the first move ends: beside the corner, or at the parallel's start over a concave corner."""
    start, corner = first.start[:2], piece.start
    away = math.dist(start, corner)
    if away <= abs(distance):
        return say.starts_too_near(first.line, away, distance)
    beside, parallel = tangent_point(start, corner, distance), piece.parallel(distance).start
    came = beside[0] - start[0], beside[1] - start[1]
    if turn_between(came, piece.start_direction) * distance <= 0.0:
        return beside
    # How far the start lies on the compensated side of the contour's first direction.
    clear = sum(
        (at - c) * (beyond - c) / abs(distance) for at, beyond, c in zip(start, parallel, corner, strict=True)
    )
    return parallel if clear >= abs(distance) - SAME_POINT else say.starts_across(first.line, distance)


def _ends(
    contour: Sequence[Motion], pieces: Sequence[Piece], distance: float, say: CompensationFaults
) -> tuple[_Ends, list[Fault]]:
    """Return where the centre starts and ends each move of a contour, and the corners and moves that have no room."""
    faults: list[Fault] = []
    parallels = [piece.parallel(distance) for piece in pieces]
    joints = [Joint(parallels[0].start, parallels[0].start)]
    for (one, before), (other, after) in pairwise(zip(contour, pieces, strict=True)):
        met = joint(before, after, distance)
        if isinstance(met, Misfit):
            faults.append(say.corner(other.line, one.line, met.missing, distance))
        else:
            joints.append(met)
    if faults:
        return {}, faults
    joints.append(Joint(parallels[-1].end, parallels[-1].end))
    ends: _Ends = {}
    for motion, parallel, (at_start, at_end) in zip(contour, parallels, pairwise(joints), strict=True):
        ends[motion.row] = at_start.after, at_end.before
        left = parallel.length - at_start.second_cut - at_end.first_cut
        if left <= SHORTEST:
            faults.append(say.nothing_left(motion.line, -left, distance))
    return ends, faults


def _moved(run: Sequence[Motion], ends: _Ends, distance: float) -> list[Motion]:
    """Put the motions of a contour where the centre goes, with arcs about the convex corners."""
    done: list[Motion] = []
    here = run[0].start[:2]
    for motion in run:
        start, end = ends.get(motion.row, (here, here))
        if math.dist(here, start) > _ARC_FROM:
            about = Kind.ARC_CLOCKWISE if distance > 0.0 else Kind.ARC_ANTICLOCKWISE
            z = motion.start[2]
            done.append(
                replace(
                    motion, kind=about, start=(*here, z), end=(*start, z), centre=motion.start[:2], turns=0
                )
            )
        else:
            start = here
        done.append(_between(motion, start, end))
        here = end
    return done


def _at_pace(done: Sequence[Motion], motions: Sequence[Motion], track: Track) -> tuple[Motion, ...]:
    """Give what became of each motion in inverse time (G93) the time that its own length was to take."""
    if not (track.feed_mode == _INVERSE_TIME).any():
        return tuple(done)
    programmed = {motion.row: motion.length for motion in motions}
    lengths = dict.fromkeys(programmed, 0.0)
    for motion in done:
        lengths[motion.row] += motion.length
    return tuple(
        replace(motion, rate=motion.rate * lengths[motion.row] / programmed[motion.row])
        if track.feed_mode[motion.row] == _INVERSE_TIME and programmed[motion.row] > 0.0
        else motion
        for motion in done
    )


def _piece(motion: Motion) -> Piece:
    if motion.is_arc:
        return Piece(motion.start[:2], motion.end[:2], motion.centre, motion.sweep)
    return Piece(motion.start[:2], motion.end[:2])


def _between(motion: Motion, start: Point, end: Point) -> Motion:
    """Return a motion with other X and Y."""
    return replace(motion, start=(*start, motion.start[2]), end=(*end, motion.end[2]))


def _moves_across(motion: Motion) -> bool:
    """Whether X or Y change by more than rounding, or from or to what is not known."""
    pairs = zip(motion.start[:2], motion.end[:2], strict=True)
    return motion.is_arc or any(_differ(*pair) for pair in pairs)


def _differ(one: float, other: float) -> bool:
    return math.isnan(one) != math.isnan(other) or abs(one - other) > SAME_POINT
