"""Whether programs that run one after another on one block go on from each other, and none comes twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.findings import Fault
from polypocket.reader.track import Kind, Track

__all__ = ["sequence_faults"]

_COLUMNS = ("kind", "x", "y", "z", "centre_x", "centre_y", "centre_z", "frame", "offset", "reference", "tool")


def sequence_faults(tracks: Sequence[Track]) -> Iterator[Fault]:
    """Yield a fault for each program that has been run already, and for each that comes before its turn.

    The numbers of passes count through all the programs of a job, parts and clampings alike. Programs that announce no
    passes are the same where they move alike and ask the same.
    """
    last, by = 0, ""
    for number, track in enumerate(tracks):
        if same := next((before for before in tracks[:number] if _are_same(before, track)), None):
            yield _fault(
                track, 1, f"does again what {same.name} has done: one of them is the wrong program",
                "run each program once", "again",
            )  # fmt: skip
            continue
        passes = track.pass_number[track.pass_number > 0]
        if not len(passes):
            continue
        if (first := int(passes[0])) <= last:
            line = int(track.line[np.flatnonzero(track.pass_number == first)[0]])
            yield _fault(
                track, line, f"begins at pass {first}, and {by}, which is run before it, goes up to pass {last}",
                "run the programs in their order, each once", "order",
            )  # fmt: skip
        if int(passes.max()) > last:
            last, by = int(passes.max()), track.name


def _are_same(one: Track, other: Track) -> bool:
    """Whether two programs move alike, and more than not at all, and ask the same."""
    if len(one) != len(other) or not _moves(one).any():
        return False
    asks = [[(each.kind, each.number, str(each.value)) for each in track.asks] for track in (one, other)]
    return asks[0] == asks[1] and all(
        np.array_equal(getattr(one, name), getattr(other, name), equal_nan=True) for name in _COLUMNS
    )


def _moves(track: Track) -> NDArray[np.bool_]:
    moves: NDArray[np.bool_] = (track.kind != Kind.EVENT) & (track.kind != Kind.DWELL)
    return moves


def _fault(track: Track, line: int, message: str, fix: str, key: str) -> Fault:
    return Fault("unread", track.name, line, message, fix, key=key)
