"""Whether heights are told with the length of the cutter that is in the spindle.

Where the control keeps lengths, a height in work coordinates means the cutter's tip only while the length of
that cutter is in force; without it the tip is lower by as much. Where Z is touched off with the cutter itself,
its length is in the work offset, and a second one would count twice. Source of the words: NISTIR 6556 3.5.11
(from memory); that register and cutter have one number is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.findings import Fault
from polypocket.model.mill import Mill
from polypocket.reader.track import Frame, Kind, Track

__all__ = ["length_faults"]


def length_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield what is wrong with the lengths that a program takes into account (G43 H), and when."""
    yield from _kept(track) if mill.length_offset else _touched_off(track)


def _touched_off(track: Track) -> Iterator[Fault]:
    for row in np.flatnonzero(track.length_register)[:1].tolist():
        yield _fault(
            track,
            row,
            f"takes the length of register {track.length_register[row]} into account; "
            "on this mill Z is touched off with the cutter itself",
            "take G43 out, and touch Z off with the cutter",
        )


def _kept(track: Track) -> Iterator[Fault]:
    moves = _at_a_height(track)
    registers, tools = track.length_register, track.tool
    for row in np.flatnonzero(moves & (registers == 0))[:1].tolist():
        yield _fault(
            track,
            row,
            "goes to a height in work coordinates while no length of a cutter is in force",
            "put G43 with the cutter's H before it",
        )
    for row in np.flatnonzero(moves & (registers != 0) & (registers != tools))[:1].tolist():
        which = f"cutter {tools[row]}" if tools[row] else "a cutter of no number that the program says"
        yield _fault(
            track,
            row,
            f"the length of register {registers[row]} is in force with {which} in the spindle",
            "say which cutter it is, and put G43 with its number as H before the first height",
        )


def _at_a_height(track: Track) -> NDArray[np.bool_]:
    """Return which rows cut, or go to another height, in work coordinates.

    A rapid that stays at its height is none: it may lead from where the cutter was changed.
    """
    before = np.concatenate(((np.nan,), track.z))[:-1]
    in_work = (track.frame == Frame.WORK) & ~np.isin(track.kind, (Kind.EVENT, Kind.DWELL))
    to_height = ~np.isnan(track.z) & (track.z != before)
    found: NDArray[np.bool_] = in_work & (to_height | (track.kind != Kind.RAPID))
    return found


def _fault(track: Track, row: int, message: str, fix: str) -> Fault:
    return Fault("tool", track.name, int(track.line[row]), message, fix, key=f"length {message}")
