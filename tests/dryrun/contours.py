"""Contours with radius compensation, and what tests of them have in common."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from polypocket.dryrun.compensation import CentrePath, centre_path
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.reader import Dialect, Kind, Track, read

__all__ = [
    "ANTICLOCKWISE",
    "CLOCKWISE",
    "DIALECT",
    "FEED",
    "INSIDE",
    "OUTSIDE",
    "RAPID",
    "ZEROS",
    "ends",
    "messages",
    "moves_of",
    "path_of",
    "same",
    "track_of",
]

DIALECT = Dialect(name="test", register_of_cutter=True)
ZEROS = {"G54": (0.0, 0.0, 0.0)}
RAPID, FEED, CLOCKWISE, ANTICLOCKWISE = Kind.RAPID, Kind.FEED, Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE


def track_of(body: str) -> Track:
    """Read lines between a sound beginning (one row) and end."""
    height = "Z0" if body.startswith("G0 X") and "Z" not in body.splitlines()[0] else ""
    track = read(f"G21 G17 G90 G94\nF100 {height} {body}\nM30\n", DIALECT, name="test")
    assert track.complaints == ()
    return track


def path_of(body: str, registers: Mapping[int, float]) -> CentrePath:
    track = track_of(body)
    return centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), registers)


def moves_of(body: str, radius: float) -> tuple[Motion, ...]:
    path = path_of(body, {1: radius})
    assert path.faults == ()
    for before, after in zip(path.motions[:-1], path.motions[1:], strict=True):
        assert before.end == after.start or np.isnan(after.start).any()
    return path.motions


def ends(motions: Sequence[Motion]) -> list[tuple[Kind, float, float]]:
    return [(motion.kind, *motion.end[:2]) for motion in motions]


def same(found: Sequence[tuple[Kind, float, float]], expected: Sequence[tuple[Kind, float, float]]) -> bool:
    return [kind for kind, *_ in found] == [kind for kind, *_ in expected] and np.allclose(
        [place for _, *place in found], [place for _, *place in expected], rtol=0.0, atol=1e-9
    )


def messages(body: str, radius: float) -> list[tuple[int, str]]:
    path = path_of(body, {1: radius})
    assert all(fault.code == "compensation" and fault.severity == "error" for fault in path.faults)
    assert all(fault.fix for fault in path.faults)
    return [(fault.line, fault.message) for fault in path.faults]


# The square ±20, anticlockwise from the middle of its lower edge, come upon and left square to it.
OUTSIDE = "G0 X0 Y-40\nG42 D1 G1 X0 Y-20\nX20\nY20\nX-20\nY-20\nX0\nG40 X0 Y-40"
INSIDE = "G0 X0 Y0\nG41 D1 G1 X0 Y-20\nX20\nY20\nX-20\nY-20\nX0\nG40 X0 Y0"
