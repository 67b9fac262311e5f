"""Which of the things asked of a person move an axis."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.tips import lost_at
from polypocket.reader.track import Event, Track

__all__ = ["set_by_hand"]

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Truths = NDArray[np.bool_]


def set_by_hand(
    track: Track, named: Sequence[Truths], place: Sequence[Floats], is_motion: Truths
) -> list[int]:
    """Return the rows in which a person sets an axis to another place than the motion before has left."""
    asks = np.flatnonzero((track.event == Event.ASK) & ~is_motion)
    if not len(asks):
        return []
    count = np.arange(len(is_motion))
    last = [np.maximum.accumulate(np.where(each & is_motion, count, -1)) for each in named]
    lost = np.concatenate(((-1,), lost_at(track)))
    since = lost[np.searchsorted(lost, asks) - 1]  # what was before it does not tell any more
    rows: list[int] = []
    for row, begin in zip(asks.tolist(), since.tolist(), strict=True):
        if any(_is_elsewhere(row, begin, *each, rows) for each in zip(named, place, last, strict=True)):
            rows.append(row)
    return rows


def _is_elsewhere(
    row: int, begin: int, named: Truths, place: Floats, last: Integers, by_hand: Sequence[int]
) -> bool:
    """Whether an axis is known to stand elsewhere in a row than in the last that moved it, by program or by hand.

    Rows up to ``begin`` do not count.
    """
    if not named[row] or math.isnan(place[row]):
        return False
    before = max(int(last[row]), next((each for each in reversed(by_hand) if named[each]), -1))
    return before <= begin or bool(place[row] != place[before])
