"""Short programs around the line under test."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import pytest

from polypocket.reader import Dialect, Track, read

Places: TypeAlias = list[tuple[int, int, str]]

# All that a control must know is said, and the cutter stands at (1, 2, 3).
BEFORE = "G21 G90 G17\nF100\nG0 X1 Y2 Z3\n"


@pytest.fixture
def track_of() -> Callable[..., Track]:
    """Read lines between a sound beginning, which makes one row, and a sound end, which makes another."""

    def track_of(body: str, *, before: str = BEFORE, after: str = "\nM30\n", **traits: object) -> Track:
        return read(before + body + after, Dialect("plain", **traits))  # type: ignore[arg-type]

    return track_of


@pytest.fixture
def places(track_of: Callable[..., Track]) -> Callable[..., Places]:
    """Give line (the first one under test is 1), column and code of every complaint."""

    def places(body: str, *, before: str = BEFORE, after: str = "\nM30\n", **traits: object) -> Places:
        track = track_of(body, before=before, after=after, **traits)
        return [(c.line - before.count("\n"), c.column, c.code) for c in track.complaints]

    return places
