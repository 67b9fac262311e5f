"""Where the tip is of the cutter that is in: how its length tells on heights, and what is lost when it is changed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.track import Event, Track

__all__ = ["cutter_lengths", "lose", "lost_at", "told_for"]

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Truths = NDArray[np.bool_]


def told_for(track: Track, longer: Mapping[int, float]) -> Floats:
    """Return by how much the cutter for which each row's Z is told is longer than the one of the work offsets, mm.

    Where a length is in force, that is the cutter of its register; else the one that was touched off last, or the
    program's first.
    """
    if track.length_register.any():
        numbers = track.length_register
    else:
        named = np.flatnonzero(track.tool)
        numbers = np.full(len(track), track.tool[named[0]] if len(named) else 0)
        for asked in track.asks:
            if asked.kind == "touch":
                numbers[asked.row :] = asked.number
    lengths = cutter_lengths(numbers, longer)
    return np.zeros(len(track)) if lengths is None else lengths


def lose(track: Track, rows: Integers, named: Sequence[Truths], start: Floats, end: Floats) -> None:
    """Forget, in ``start`` and ``end``, what a person at the cutter may have moved, until it is said anew."""
    lost = lost_at(track)
    if not len(lost):
        return
    since = np.concatenate(((-1,), lost))[np.searchsorted(lost, rows)]
    for axis in range(3):
        said = np.maximum.accumulate(np.where(named[axis][rows], rows, -1))
        end[axis][said < since] = math.nan
    start[:, 1:] = np.where(since[1:] > rows[:-1], math.nan, end[:, :-1])


def lost_at(track: Track) -> Integers:
    """Return the rows behind which nobody knows where the axes are: a person may have moved them all."""
    by_hand = (track.event == Event.CUTTER) | (track.event == Event.ASK)
    lost: Integers = np.flatnonzero(by_hand & np.isnan(track.x) & np.isnan(track.y) & np.isnan(track.z))
    return lost


def cutter_lengths(tool: Integers, longer: Mapping[int, float]) -> Floats | None:
    """Return by how much the cutter of each row is longer than the one of the work offsets, mm; ``None``: none is."""
    if not any(longer.values()):
        return None
    length = np.zeros(len(tool))
    for number, more in longer.items():
        length[tool == number] = more
    return length
