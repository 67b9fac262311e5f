"""Lines, words, numbers and comments: NISTIR 6556, Appendix E and section 3.3, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Track
from polypocket.reader.words import MOST_CHARACTERS, read_number, read_words

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]


def test_case_and_blanks_do_not_matter_published_example(track_of: TrackOf) -> None:
    # NISTIR 6556 3.3.2: "g0x +0. 12 34y 7" is "g0 x+0.1234 y7".
    odd, plain = track_of("g0x +0. 12 34y 7"), track_of("g0 x+0.1234 y7")
    assert odd.complaints == plain.complaints == ()
    assert (odd.x[1], odd.y[1]) == (plain.x[1], plain.y[1]) == (0.1234, 7.0)


def test_tabs_are_blanks(track_of: TrackOf) -> None:
    track = track_of("G0\tX\t1\t0.\t5")
    assert track.complaints == ()
    assert track.x[1] == 10.5


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0.0),
        ("+7", 7.0),
        ("-7", -7.0),
        ("7.", 7.0),
        (".5", 0.5),
        ("-.5", -0.5),
        ("007.250", 7.25),
        ("0.1234", 0.1234),
    ],
)
def test_numbers_that_are_right(text: str, value: float) -> None:
    assert read_number(text) == value


@pytest.mark.parametrize("text", ["", "+", "-", ".", "-.", "1.2.3", "1-2", "--1", "+-1", "1+", "1..2"])
def test_numbers_that_are_wrong(text: str) -> None:
    assert read_number(text) is None


@pytest.mark.parametrize("number", ["", "-", ".", "1.2.3", "1-2", "--1"])
def test_a_wrong_number_is_told_at_its_letter(places: Places, number: str) -> None:
    assert places(f"G0 Y1 X{number}") == [(1, 7, "unread")]


def test_no_exponent(places: Places) -> None:
    # The E is a letter that no control of this kind knows.
    assert places("G0 X1E2") == [(1, 6, "unread")]


def test_digits_without_end_are_refused_and_do_no_harm(places: Places) -> None:
    assert places("G0 X" + "1" * MOST_CHARACTERS, line_length=99_999) == []
    assert places("G0 X" + "1" * 6000, line_length=99_999) == [(1, 4, "unread")]
    assert places("G0 X0." + "0" * 6000, line_length=99_999) == [(1, 4, "unread")]


def test_comments_do_not_change_the_line(track_of: TrackOf) -> None:
    track = track_of("(a) G0 (b) X5 (c) Y6 (d)")
    assert track.complaints == ()
    assert (track.x[1], track.y[1]) == (5.0, 6.0)
    assert [(c.line, c.column, c.text) for c in track.comments] == [
        (4, 1, "a"),
        (4, 8, "b"),
        (4, 15, "c"),
        (4, 22, "d"),
    ]


def test_a_comment_parts_a_word_from_what_follows(places: Places) -> None:
    assert places("G1(a)5 X3") == [(1, 6, "unread")]


def test_a_comment_parts_a_letter_from_its_number(places: Places) -> None:
    assert places("G0 X(a)5") == [(1, 4, "unread")]


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G0 X5 (open", 7),
        ("G0 X5 (outer (inner) )", 7),
        ("G0 X5 )", 7),
        ("(", 1),
        ("G0 X5 ; aside", 7),
    ],
)
def test_comments_that_are_wrong(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


@pytest.mark.parametrize(
    "character", ["\0", "\x07", "\x0b", "\x0c", "\r ", "\x1a", "é", "×", "\ufeff", "\u2028", "٣"]
)
def test_characters_that_a_control_does_not_know(places: Places, character: str) -> None:
    assert places(f"G0 X5 {character}") == [(1, 7, "unread")]
    assert places(f"(say {character} )") == []


def test_lines_may_end_in_cr_lf(track_of: TrackOf) -> None:
    track = track_of("G0 X5\r\nG0 X6\r")
    assert track.complaints == ()
    assert track.line.tolist() == [3, 4, 5, 6]


@pytest.mark.parametrize(
    "line", ["N0 G0 X5", "N99999 G0 X5", "n 1 2 G0 X5", "/N10 G0 X5", " / N10 G0 X5", "N10", "/", ""]
)
def test_line_numbers_that_are_right(places: Places, line: str) -> None:
    assert places(line) == []


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("N100000 G0 X5", 1),
        ("N000010 G0 X5", 1),
        ("N-1 G0 X5", 1),
        ("N+1 G0 X5", 1),
        ("N1.5 G0 X5", 1),
        ("N G0 X5", 1),
        ("G0 N10 X5", 4),
        ("(a) N10 G0 X5", 5),
        ("N10 N20 G0 X5", 5),
    ],
)
def test_line_numbers_that_are_wrong(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


def test_line_numbers_need_not_rise(places: Places) -> None:
    # NISTIR 6556 3.3.2 (from memory): they may repeat and fall.
    assert places("N20 G0 X5\nN10 G0 X6\nN10 G0 X7") == []


@pytest.mark.parametrize(("line", "column"), [("N10 /G0 X5", 5), ("G0 X5 /", 7), ("//G0 X5", 2)])
def test_block_delete_stands_first(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


def test_block_delete_is_kept_and_the_block_carried_out(track_of: TrackOf) -> None:
    track = track_of("/G0 X5\nG0 Y6")
    assert track.optional.tolist() == [False, True, False, False]
    assert track.x.tolist() == [1.0, 5.0, 5.0, 5.0]


def test_a_line_has_at_most_256_characters(places: Places) -> None:
    assert places("G0 X5" + " " * 251) == []
    assert places("G0 X5" + " " * 252) == [(1, 257, "unread")]
    assert places("(" + "a" * 254 + ")") == []
    assert places("(" + "a" * 255 + ")") == [(1, 257, "unread")]


def test_the_line_end_does_not_count(places: Places) -> None:
    assert places("G0 X5" + " " * 251 + "\r") == []


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("#1=5", 1),
        ("G0 X#1", 5),
        ("G0 X #1", 6),
        ("G0 X[1+2]", 5),
        ("G0 X-[1]", 4),
        ("G0 XSIN[30]", 4),
        ("O100", 1),
        ("O<name> CALL", 1),
        ("G0 X5 O1", 7),
        ("5", 1),
        ("G0 X5 *7", 7),
        ("%X", 1),
        (":12", 1),
    ],
)
def test_what_cannot_be_read_has_its_column(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


def test_the_rest_of_the_line_is_handed_over() -> None:
    fault = read_words("G0 X5 [1] Y6").fault
    assert fault is not None
    assert fault.rest == "[1] Y6"


def test_axes_in_the_part_that_was_not_read_are_not_known(track_of: TrackOf) -> None:
    track = track_of("G0 X5 Z#3 Y6\nG0 X7")
    assert track.line.tolist() == [3, 5, 6]  # the refused line makes no motion
    assert (track.x[1], np.isnan(track.y[1]), np.isnan(track.z[1])) == (7.0, True, True)


def test_all_lines_are_reported_together(places: Places) -> None:
    body = "G0 X\nG0 X5\nG0 [\nQ5\nG0 X6"
    assert places(body) == [(1, 4, "unread"), (3, 4, "unread"), (4, 1, "unread")]


def test_many_letters_without_numbers_are_read_in_a_blink(places: Places) -> None:
    assert places("G" * 50_000, line_length=60_000) == [(1, 1, "unread")]
    assert places("X" + " 1" * 25_000, line_length=60_000) == [(1, 1, "unread")]


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("G0 X", "X has no number"),
        ("G0 X1.2.3", "'1.2.3' after X is not a number"),
        ("G0 X" + "1" * 33, "the number of X has more than 32 characters"),
        ("N123456", "N wants one to five digits, not '123456'"),
        ("#1=5", "variables are not carried out; write the number itself"),
        ("(a", "the comment is not closed"),
        ("(a (b) c)", "comments do not nest"),
        ("G0 X5 é", "the character U+00E9 cannot be read outside a comment"),
        ("G0 X5 *", "the character '*' cannot be read outside a comment"),
        ("#1=5", "variables are not carried out; write the number itself"),
        ("G0 X=5", "X has no number"),
        ("=", "variables are not carried out; write the number itself"),
        ("G1 X[1+2]", "expressions are not carried out; write the number itself"),
        ("O100 SUB", "O words (subprograms, program names) are not carried out"),
        ("G73 X1", "the cycle G73 is not carried out"),
        ("G76 X1", "the cycle G76 is not carried out"),
        ("G10 L2 P1 X0", "offsets set by the program (G10) are not carried out"),
        ("G66 P1", "subprograms and macros are not carried out"),
        ("G84", "the cycle G84 is not carried out"),
        ("M98", "subprograms are not carried out"),
        ("G5", "G5 is not known to the dialect plain"),
        ("G0 U5", "U5: this letter is not known"),
        ("G0 A5", "A5: rotary axes are not carried out"),
    ],
)
def test_a_complaint_says_what_is_wrong(track_of: TrackOf, line: str, text: str) -> None:
    assert [complaint.text for complaint in track_of(line).complaints][:1] == [text]


def test_which_axes_have_words(track_of: TrackOf) -> None:
    """Were it only to where they stand; line 4 is the first after three of the beginning."""
    track = track_of("(Z1)\nX5\nG92 Y3\nX6 Y3")
    assert track.axis_words == {"X": 3, "Y": 3, "Z": 3}
    assert track_of("(Z1)\nG0 X5\nG92 Y3\nX6 Y3", before="G21 G90\n").axis_words == {"X": 3, "Y": 4}
    assert track_of("(SET Z 4)\nM8", before="G21 G90\n").axis_words == {}
