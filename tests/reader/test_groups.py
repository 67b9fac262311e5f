"""Modal groups and repeated words: NISTIR 6556, table 4 and section 3.3.4, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from typing import TypeAlias

import pytest

from polypocket.reader import Dialect, Track, read

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

# The groups of table 4, written out again here.
G_GROUPS = {
    "motion": ["0", "1", "2", "3", "80", "81", "82", "83", "84", "85", "86", "87", "88", "89"],
    "plane": ["17", "18", "19"],
    "distance": ["90", "91"],
    "feed mode": ["93", "94"],
    "units": ["20", "21"],
    "radius compensation": ["40", "41", "42"],
    "length compensation": ["43", "49"],
    "return": ["98", "99"],
    "work offset": ["54", "55", "56", "57", "58", "59", "59.1", "59.2", "59.3"],
    "path": ["61", "61.1", "64"],
    "not modal": ["4", "10", "28", "30", "53", "92", "92.1", "92.2", "92.3"],
}
M_GROUPS = {
    "stop": ["0", "1", "2", "30", "60"],
    "tool change": ["6"],
    "spindle": ["3", "4", "5"],
    "mist coolant": ["7", "9"],
    "flood coolant": ["8", "9"],
    "overrides": ["48", "49"],
}
PLAIN = Dialect("plain")


def texts(line: str) -> list[str]:
    return [complaint.text for complaint in read(line + "\nM30\n", PLAIN).complaints]


def clashes(letter: str, groups: dict[str, list[str]]) -> list[tuple[str, str, str]]:
    pairs = [(name, a, b) for name, codes in groups.items() for a, b in combinations(codes, 2)]
    twice = [(name, code, code) for name, codes in groups.items() for code in codes]
    return [
        (name, f"{letter}{a}", f"{letter}{b}")
        for name, a, b in pairs + twice
        if (letter, a, b) != ("M", "9", "9")
    ]


@pytest.mark.parametrize(("name", "first", "second"), clashes("G", G_GROUPS) + clashes("M", M_GROUPS))
def test_two_words_of_one_group(name: str, first: str, second: str) -> None:
    track = read(f"{first} {second}\nM30\n", PLAIN)
    at_second = [c for c in track.complaints if c.column == len(first) + 2 and "modal group" in c.text]
    assert [(c.line, c.code) for c in at_second] == [(1, "unread")]
    assert at_second[0].text == f"{second} and {first} are of one modal group ({name})"


def test_m9_twice() -> None:
    assert texts("M9 M9") == ["M9 and M9 are of one modal group (mist coolant)"]


@pytest.mark.parametrize("line", ["M7 M8", "M8 M7"])
def test_m7_with_m8_is_allowed(line: str) -> None:
    assert texts(line) == []


def test_words_of_different_groups_stand_together(places: Places) -> None:
    assert places("G1 G17 G90 G94 G21 G40 G49 G98 G54 G64 X5") == []
    assert places("T1 M6 M3 M8 M48 S500") == []


def test_at_most_four_m_words(places: Places) -> None:
    assert places("T1 M6 M3 M7 M8 S500") == []
    assert places("T1 M6 M3 M7 M8 M48 S500") == [(1, 16, "unread")]


@pytest.mark.parametrize("letter", list("FSTXYZ"))
def test_any_other_letter_at_most_once(places: Places, letter: str) -> None:
    assert places(f"G0 {letter}1 {letter}1 {'X2' if letter in 'FST' else ''}") == [(1, 7, "unread")]


@pytest.mark.parametrize("letter", list("IJRP"))
def test_any_other_letter_at_most_once_in_arcs_and_dwells(places: Places, letter: str) -> None:
    line = f"G4 P1 {letter}1" if letter == "P" else f"G2 X5 {letter}1 {letter}1"
    assert places(line) == [(1, line.rindex(letter) + 1, "unread")]


@pytest.mark.parametrize(
    ("written", "plain"), [("G01", "G1"), ("G001.0", "G1"), ("g 0 1", "G1"), ("G+1", "G1")]
)
def test_ways_to_write_a_code(track_of: TrackOf, written: str, plain: str) -> None:
    assert track_of(f"{written} X5").kind.tolist() == track_of(f"{plain} X5").kind.tolist()


@pytest.mark.parametrize(
    "word",
    [
        "G5",
        "G1.1",
        "G1.05",
        "G59.4",
        "G59.11",
        "G-1",
        "G-0",
        "G100",
        "G54.1",
        "G70",
        "G71",
        "G999999999",
        "G0.0001",
    ],
)
def test_g_words_that_are_not_known(places: Places, word: str) -> None:
    assert places(f"X5 {word}") == [(1, 4, "unread")]


@pytest.mark.parametrize("word", ["M10", "M3.5", "M-3", "M62", "M19", "M99999999", "M29.999"])
def test_m_words_that_are_not_known(places: Places, word: str) -> None:
    assert places(f"G0 X5 {word}") == [(1, 7, "unread")]


@pytest.mark.parametrize("letter", list("ABCEUVW"))
def test_letters_that_are_not_carried_out(places: Places, letter: str) -> None:
    assert places(f"G0 X5 {letter}5") == [(1, 7, "unread")]


@pytest.mark.parametrize("letter", list("IJKRPQLHD"))
def test_letters_that_nothing_on_the_line_takes(places: Places, letter: str) -> None:
    assert places(f"G0 X5 {letter}5") == [(1, 7, "unread")]
    assert places(f"{letter}5") == [(1, 1, "unread")]


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G10 L2 P1 X0 Y0 Z0", 1),
        ("G73 X5 Z1 R2 Q1", 1),
        ("G76 X5 Z1 R2", 1),
        ("G65 P100", 1),
        ("G66 P100", 1),
        ("M98 P100", 1),
        ("M99", 1),
        ("G90 M60", 5),
        *[(f"G0 G9{i}", 4) for i in (5, 6, 7)],
    ],
)
def test_words_that_are_not_carried_out(places: Places, line: str, column: int) -> None:
    assert (1, column, "unread") in places(line)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G10 L2 P1 X0", 1),
        ("G84 X4 Y5 Z1 R2", 1),
        ("G73 X4 Y5 Z1 R2 Q1", 1),
    ],
)
def test_what_is_not_carried_out_is_told_once_and_not_its_words(
    places: Places, line: str, column: int
) -> None:
    assert places(line) == [(1, column, "unread")]


@pytest.mark.parametrize("cycle", [73, 76, *range(84, 90)])
def test_cycles_are_told_with_every_line_that_repeats_them(places: Places, cycle: int) -> None:
    assert places(f"G{cycle} X4 Y5 Z-1 R3\nX6\nG80\nG0 X7") == [(1, 1, "unread"), (2, 1, "unread")]


def test_g80_cancels_the_motion_mode(places: Places) -> None:
    assert places("G80\nX5") == [(2, 1, "unread")]
    assert places("G80\nG0 X5") == []
    assert places("G80 X5") == [(1, 5, "unread")]


@pytest.mark.parametrize(
    "line", ["M48", "M49", "G61", "G61.1", "G64", "G94", "G40", "G49", "G80", "G98", "G99", "M1", "M0"]
)
def test_words_that_are_accepted(places: Places, line: str) -> None:
    assert places(line) == []


def test_after_a_return_to_a_reference_point_no_position_is_known(places: Places) -> None:
    assert places("G28 X1 Y2 Z9\nG91\nG0 X1") == [(3, 4, "unread")]
