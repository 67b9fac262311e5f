"""Programs whose rows were worked out by hand: fixtures/reader, see the README there.

The rules and the groups' table are those of NISTIR 6556, numbered as in the README beside the programs.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

from polypocket.reader import Dialect, Event, Kind, Track, read

FOLDER = Path(__file__).parents[2] / "fixtures" / "reader"
NAMES = sorted(path.stem for path in FOLDER.glob("*.nc"))

KEYS = {"rules", "dialect", "units", "rows", "centres", "dwells", "columns", "also", "asks", "complaints"}
ARCS = (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)
CENTRES = {17: ("centre_x", "centre_y"), 18: ("centre_x", "centre_z"), 19: ("centre_y", "centre_z")}

# The inch factor is exact, the products are rounded once or twice.
EXACT = 1e-9

# Rule 5, written out again here.
G_WORDS = (
    *("0", "1", "2", "3", "80", "81", "82", "83", "84", "85", "86", "87", "88", "89"),
    *("17", "18", "19", "90", "91", "93", "94", "20", "21", "40", "41", "42", "43", "49", "98", "99"),
    *("54", "55", "56", "57", "58", "59", "59.1", "59.2", "59.3", "61", "61.1", "64"),
    *("4", "10", "28", "30", "53", "92", "92.1", "92.2", "92.3"),
)
M_WORDS = ("0", "1", "2", "30", "60", "6", "3", "4", "5", "7", "8", "9", "48", "49")
WORDS = {f"G{number}" for number in G_WORDS} | {f"M{number}" for number in M_WORDS}

# No program may use these: they are not carried out, and so stand in no program that is right.
REFUSED = {"G10", "G84", "G85", "G86", "G87", "G88", "G89", "M60"}


class Row(NamedTuple):
    line: int
    what: str
    x: float
    y: float
    z: float
    feed: float


@cache
def text_of(name: str) -> str:
    return (FOLDER / f"{name}.nc").read_text("utf-8")


@cache
def expected_of(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / f"{name}.toml").read_text("utf-8"))


def rows_of(track: Track) -> list[Row]:
    def what(row: int) -> str:
        return Event(track.event[row]).name if track.kind[row] == Kind.EVENT else Kind(track.kind[row]).name

    columns = zip(
        track.line.tolist(),
        map(what, range(len(track))),
        *(getattr(track, column).tolist() for column in ("x", "y", "z", "feed")),
        strict=True,
    )
    return [Row(*row) for row in columns]


def without_standing_still(rows: list[Row]) -> list[Row]:
    """Leave out rapids inside a line that lead nowhere: a control may make them or not."""

    def stands_still(before: Row, row: Row) -> bool:
        return row.what == "RAPID" and before.line == row.line and before[2:5] == row[2:5]

    return rows[:1] + [row for before, row in pairwise(rows) if not stands_still(before, row)]


def compare(found: list[Row], expected: list[list[Any]]) -> None:
    """Compare line, kind and numbers; ``[low, high]`` stands for any number between."""
    assert [[row.line, row.what] for row in found] == [row[:2] for row in expected]
    for row, want in zip(found, expected, strict=True):
        low, high = zip(*(cell if isinstance(cell, list) else (cell, cell) for cell in want[2:]), strict=True)
        have = np.array(row[2:])
        assert np.array_equal(np.isnan(have), np.isnan(low)), (row, want)
        assert np.all(np.isnan(have) | ((have >= np.subtract(low, EXACT)) & (have <= np.add(high, EXACT)))), (
            row,
            want,
        )


def test_no_file_stands_alone() -> None:
    assert len(NAMES) >= 60
    assert {path.name for path in FOLDER.iterdir()} == {
        "README.md",
        *(f"{name}{suffix}" for name in NAMES for suffix in (".nc", ".toml")),
    }


@pytest.mark.parametrize("name", NAMES)
def test_no_key_is_passed_over(name: str) -> None:
    expected = expected_of(name)
    assert expected.keys() <= KEYS
    assert expected.keys() >= {"rules", "units", "rows"}
    assert set(expected["rules"]) <= set(range(1, 13))
    assert bool(expected.get("complaints")) == name.endswith("_wrong")


@pytest.mark.parametrize("rule", range(1, 13))
def test_every_rule_has_a_program_that_is_right_and_one_that_is_wrong(rule: int) -> None:
    assert {
        bool(expected_of(name).get("complaints")) for name in NAMES if rule in expected_of(name)["rules"]
    } == {
        False,
        True,
    }


def words_of(name: str) -> dict[int, set[str]]:
    """Find the G and M words of every line, as plainly as can be: not as the reader does."""
    lines = {}
    for number, line in enumerate(text_of(name).split("\n"), 1):
        plain = re.sub(r"\([^()]*\)", " ", line).upper()
        lines[number] = {
            f"{letter}{float(text):g}" for letter, text in re.findall(r"([GM])(\d+\.?\d*)", plain)
        }
    return lines


def test_every_word_stands_in_a_right_program() -> None:
    right = [name for name in NAMES if not expected_of(name).get("complaints")]
    found = {word for name in right for words in words_of(name).values() for word in words}
    assert WORDS - found == REFUSED
    assert found & REFUSED == set()


def test_every_word_stands_on_a_line_that_is_wrong() -> None:
    found = {
        word
        for name in NAMES
        for line, words in words_of(name).items()
        if line in {complaint[0] for complaint in expected_of(name).get("complaints", [])}
        for word in words
    }
    assert WORDS - found == set()


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("name", NAMES)
def test_a_program_reads_as_worked_by_hand(name: str, line_end: str) -> None:
    expected = expected_of(name)
    dialect = Dialect(name, **expected.get("dialect", {}))
    track = read(text_of(name).replace("\n", line_end), dialect, name=name)

    assert [[c.line, c.column, c.code] for c in track.complaints] == expected.get("complaints", [])
    assert track.units == expected["units"]

    # What a line leaves that is complained of is compared only where it was worked out.
    worked = {row[0] for row in expected["rows"]}
    passed_over = {c.line for c in track.complaints} - worked
    compare(
        without_standing_still([row for row in rows_of(track) if row.line not in passed_over]),
        expected["rows"],
    )

    kept = ~np.isin(track.line, list(passed_over))
    arcs = np.flatnonzero(kept & np.isin(track.kind, ARCS))
    centres = [
        [track.line[row], *(getattr(track, column)[row] for column in CENTRES[int(track.plane[row])])]
        for row in arcs
    ]
    np.testing.assert_allclose(
        np.reshape(centres, (-1, 3)), np.reshape(expected.get("centres", []), (-1, 3)), rtol=0, atol=EXACT
    )

    dwells = np.column_stack((track.line, track.dwell))[kept & (track.kind == Kind.DWELL)]
    np.testing.assert_allclose(dwells, np.reshape(expected.get("dwells", []), (-1, 2)), rtol=0, atol=EXACT)

    asks = [ask for ask in track.asks if ask.line not in passed_over]
    assert [(ask.line, ask.kind, ask.number) for ask in asks] == [
        tuple(ask[:3]) for ask in expected.get("asks", [])
    ]
    np.testing.assert_allclose([ask.value for ask in asks], [ask[3] for ask in expected.get("asks", [])])
    for column, values in expected.get("columns", {}).items():
        np.testing.assert_array_equal(getattr(track, column), values, err_msg=column)
    for line, column, value in expected.get("also", []):
        here = getattr(track, column)[track.line == line]
        assert here.size, (line, column)
        np.testing.assert_allclose(
            here.astype(float), float(value), rtol=0, atol=EXACT, err_msg=f"{line} {column}"
        )
