"""Programs whose rows were worked out by hand: fixtures/reader, see the README there."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from polypocket.reader import Dialect, Event, Kind, Track, read

FOLDER = Path(__file__).parents[2] / "fixtures" / "reader"
NAMES = sorted(path.stem for path in FOLDER.glob("*.nc"))


def what(track: Track, row: int) -> str:
    return Event(track.event[row]).name if track.kind[row] == Kind.EVENT else Kind(track.kind[row]).name


def test_the_corpus_is_there() -> None:
    assert len(NAMES) >= 7
    assert NAMES == sorted(path.stem for path in FOLDER.glob("*.toml"))


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("name", NAMES)
def test_a_program_reads_as_worked_by_hand(name: str, line_end: str) -> None:
    expected = tomllib.loads((FOLDER / f"{name}.toml").read_text("utf-8"))
    text = (FOLDER / f"{name}.nc").read_text("utf-8").replace("\n", line_end)
    track = read(text, Dialect(name, **expected.get("dialect", {})), name=name)

    assert [[c.line, c.column, c.code] for c in track.complaints] == expected.get("complaints", [])
    assert track.units == expected["units"]
    rows = expected["rows"]
    assert [[line, what(track, i)] for i, line in enumerate(track.line.tolist())] == [row[:2] for row in rows]
    for index, column in enumerate(("x", "y", "z", "feed"), 2):
        # The inch factor is exact, the products are rounded once or twice.
        np.testing.assert_allclose(getattr(track, column), [row[index] for row in rows], rtol=0, atol=1e-9)
    arcs = np.flatnonzero(np.isin(track.kind, (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)))
    found = np.column_stack((track.line, track.centre_x, track.centre_y))[arcs]
    np.testing.assert_allclose(found, np.reshape(expected.get("centres", []), (-1, 3)), rtol=0, atol=1e-9)
    asks = [(ask.line, ask.kind, ask.number) for ask in track.asks]
    assert asks == [tuple(ask[:3]) for ask in expected.get("asks", [])]
    np.testing.assert_allclose(
        [ask.value for ask in track.asks], [ask[3] for ask in expected.get("asks", [])]
    )
    for column, values in expected.get("columns", {}).items():
        np.testing.assert_array_equal(getattr(track, column), values, err_msg=column)
