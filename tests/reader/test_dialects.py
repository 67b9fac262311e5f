"""Traits in which controls differ: ISO 6983-1 and EIA RS-274-D, from memory."""

from __future__ import annotations

from typing import TypeAlias

import pytest

from polypocket.reader import Dialect, read

Place: TypeAlias = tuple[int, int, str]


def places(text: str, **traits: object) -> list[tuple[int, int, str]]:
    track = read(text, Dialect("plain", **traits))  # type: ignore[arg-type]
    return [(c.line, c.column, c.code) for c in track.complaints]


def test_units_words_of_the_dialect() -> None:
    text = "G70 G90\nG0 X1\nM30"
    assert places(text, inch_word=70, millimetre_word=71) == []
    assert places(text) == [(1, 1, "unread"), (2, 4, "units")]
    assert places("G20 G90\nM30", inch_word=70, millimetre_word=71) == [(1, 1, "unread")]
    assert read(text, Dialect("d", inch_word=70, millimetre_word=71)).x[0] == 25.4
    assert read("G71 G90\nG0 X1\nM30", Dialect("d", inch_word=70, millimetre_word=71)).units == "mm"


def test_units_words_of_one_group() -> None:
    assert places("G70 G71\nM30", inch_word=70, millimetre_word=71) == [(1, 5, "unread")]


def test_every_line_carries_a_number() -> None:
    text = "%\n(valve stem)\nN10 G21 G90\n\n G0 X1\n/N30 G0 X2\nN40 M30\n%"
    assert places(text, line_numbers=True) == [(5, 2, "unread")]
    assert places(text) == []


@pytest.mark.parametrize("letter", list("XYZ"))
def test_decimal_points_are_demanded_on_axes(letter: str) -> None:
    assert places(f"G21 G90\nG0 {letter}5\nM30", decimal_point=True) == [(2, 4, "unread")]
    assert places(f"G21 G90\nG0 {letter}5.\nM30", decimal_point=True) == []


@pytest.mark.parametrize(
    ("centre", "wrong"), [("I5.", False), ("I5", True), ("I5. J0", True), ("R5", True), ("R5.", False)]
)
def test_decimal_points_are_demanded_on_centres(centre: str, wrong: bool) -> None:
    text = f"G21 G90 G17\nF100\nG0 X1. Y2.\nG2 X11. {centre}\nM30"
    column = 13 if "J" in centre else 9
    assert places(text, decimal_point=True) == ([(4, column, "unread")] if wrong else [])


def test_decimal_points_are_demanded_on_pecks() -> None:
    text = "G21 G90 G17\nF100\nG0 X1. Y2. Z3.\nG83 G99 X4. Z1. R2. Q{}\nM30"
    assert places(text.format("1."), decimal_point=True) == []
    assert places(text.format("1"), decimal_point=True) == [(4, 21, "unread")]


def test_decimal_points_are_not_demanded_elsewhere() -> None:
    assert places("N10 G21 G90\nF100 S500 T1 M6\nG4 P1\nM30", decimal_point=True) == []


def test_after_a_word_without_its_point_the_axis_is_not_known() -> None:
    assert places("G21 G90\nG0 X5\nG91 X1.\nM30", decimal_point=True) == [(2, 4, "unread"), (3, 5, "unread")]


def test_the_line_length_is_the_dialects() -> None:
    text = "G21 G90\nG0 X1.000 Y2.000 Z3.000\nM30"
    assert places(text, line_length=23) == []
    assert places(text, line_length=22) == [(2, 23, "unread")]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("%\n:1234\nG21\nM30\n%", None),
        ("%\n\n : 12 34 (valve stem)\nG21\nM30\n%", None),
        ("%\nG21\nM30\n%", None),
        ("%\n:\nG21\nM30\n%", (2, 1, "unread")),
        ("%\n:12.5\nG21\nM30\n%", (2, 4, "unread")),
        ("%\n:1234 G21\nM30\n%", (2, 1, "unread")),
        ("%\n:1234\n:1234\nM30\n%", (3, 1, "unread")),
        ("%\nG21\n:1234\nM30\n%", (3, 1, "unread")),
        (":1234\nG21\nM30", (1, 1, "unread")),
    ],
)
def test_the_program_number(text: str, place: Place | None) -> None:
    assert places(text, program_number=True) == ([] if place is None else [place])


def test_the_program_number_needs_no_line_number() -> None:
    assert places("%\n:1234\nN10 G21\nN20 M30\n%", program_number=True, line_numbers=True) == []


def test_the_program_number_only_where_the_dialect_has_one() -> None:
    assert places("%\n:1234\nG21\nM30\n%") == [(2, 1, "unread")]
