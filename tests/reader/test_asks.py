"""What comments ask of a person; the forms are this project's own."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Event, Kind, Track
from polypocket.units import MM_PER_INCH

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]


def test_a_height(track_of: TrackOf) -> None:
    track = track_of("M0 (SET Z -10.500)\nG0 X5")
    assert track.complaints == ()
    assert track.event.tolist()[1:3] == [Event.STOP, Event.ASK]
    assert track.z.tolist() == [3.0, 3.0, -10.5, -10.5, -10.5]
    (ask,) = track.asks
    assert (ask.line, ask.row, ask.kind, ask.number, ask.value, ask.text) == (
        4,
        2,
        "height",
        0,
        -10.5,
        "SET Z -10.500",
    )


@pytest.mark.parametrize(("axis", "number"), [("x", 0), ("y", 1)])
def test_an_axis_without_a_drive(track_of: TrackOf, axis: str, number: int) -> None:
    track = track_of(f"(SET {axis.upper()} 42.310)\nG0 Z5")
    assert track.complaints == ()
    column = (track.x, track.y)[number]
    assert column.tolist()[1:] == [42.31, 42.31, 42.31]
    (ask,) = track.asks
    assert (ask.kind, ask.row, ask.value, ask.text) == (axis, 1, 42.31, f"SET {axis.upper()} 42.310")


def test_an_axis_that_comes_from_further_out(track_of: TrackOf) -> None:
    """Two places one after the other, on one line: where it is brought first, and where it stays."""
    track = track_of("(SET Y -1.5 FROM -2)\nG0 X5", before="G20 G90\n")
    assert track.complaints == ()
    assert [each / MM_PER_INCH for each in track.y.tolist()] == pytest.approx([-2.0, -1.5, -1.5, -1.5])
    assert [each.row for each in track.asks] == [1]
    assert track.line.tolist() == [2, 2, 3, 4]


def test_a_dial(track_of: TrackOf) -> None:
    track = track_of("(SET Y -42)\n(Y 8 TURNS 20.5 DIVISIONS MINUS)\n(X 0 TURNS 3 DIVISIONS PLUS)")
    assert track.complaints == ()
    assert [(each.kind, each.number, each.value) for each in track.asks[1:]] == [
        ("dial y", 8, -20.5),
        ("dial x", 0, 3.0),
    ]
    assert track.y.tolist()[-1] == -42.0


def test_a_height_in_inches(track_of: TrackOf) -> None:
    track = track_of("(SET Z -.5)", before="G20 G90\n")
    assert track.asks[0].value == track.z[0] == -0.5 * MM_PER_INCH


def test_a_height_takes_part_in_incremental_moves(track_of: TrackOf) -> None:
    track = track_of("(SET Z 10)\nG91 G0 Z1", before="G21 G90\n")
    assert track.complaints == ()
    assert track.z.tolist() == [10.0, 11.0, 11.0]


@pytest.mark.parametrize("body", ["(SET Z 5)", "(SET X 5)", "(SET Y 5 FROM 6)", "(CUTTER 2 DIAMETER 6)"])
def test_lengths_before_the_units_are_known(track_of: TrackOf, places: Places, body: str) -> None:
    assert places(body, before="") == [(1, 1, "units")]
    assert math.isnan(track_of(body, before="").asks[0].value)


def test_a_swivel(track_of: TrackOf) -> None:
    track = track_of("(SET SWIVEL 30)\n(SET SWIVEL -12.5)")
    assert track.complaints == ()
    assert [ask.kind for ask in track.asks] == ["swivel", "swivel"]
    assert [ask.value for ask in track.asks] == pytest.approx([math.pi / 6, math.radians(-12.5)])


def test_a_cutter(track_of: TrackOf) -> None:
    track = track_of("(CUTTER 2 DIAMETER 6.000)\nG0 X5")
    assert track.complaints == ()
    assert track.tool.tolist() == [0, 2, 2, 2]
    assert track.event[1] == Event.CUTTER
    assert (track.asks[0].kind, track.asks[0].number, track.asks[0].value) == ("cutter", 2, 6.0)


def test_a_flat(track_of: TrackOf) -> None:
    track = track_of("(FLAT 3 TO FIXED JAW)")
    assert track.complaints == ()
    assert (track.asks[0].kind, track.asks[0].number) == ("flat", 3)
    assert math.isnan(track.asks[0].value)


def test_a_spindle(track_of: TrackOf) -> None:
    track = track_of(
        "(START SPINDLE 4000 CLOCKWISE)\nG0 X5\n(START SPINDLE 300.5 ANTICLOCKWISE)\nG0 X6\nM5\n"
        "(START SPINDLE .5 CLOCKWISE)"
    )
    assert track.complaints == ()
    assert [ask.value for ask in track.asks] == [4000.0, -300.5, 0.5]
    np.testing.assert_array_equal(track.rpm, [0, 4000, 4000, -300.5, -300.5, 0, 0.5, 0])
    assert track.kind[1] == Kind.EVENT


def test_case_and_blanks_do_not_matter(track_of: TrackOf) -> None:
    track = track_of("(  set   z\t-10.5 )\n(Start Spindle 100 clockwise)")
    assert track.complaints == ()
    assert [ask.kind for ask in track.asks] == ["height", "spindle"]


@pytest.mark.parametrize(
    "comment",
    [
        "SET",
        "SET Z",
        "SET Z ABOUT 5",
        "SET Z -10.5 MM",
        "SET Z -10,5",
        "SET Z 1E3",
        "SET Z " + "1" * 40,
        "SET Z ٣",
        "SET X",
        "SET A 5",
        "SET X 5 FROM",
        "SET X FROM 5",
        "SET X 5 TO 6",
        "SET Z 5 FROM 6",
        "SET X 5 Y 6",
        "Y 8 TURNS",
        "Y 8 TURNS 15",
        "Y 8 TURNS 15 DIVISIONS",
        "Y 8 TURNS -15 DIVISIONS PLUS",
        "Y 8 TURNS 15 DIVISIONS UP",
        "SET SWIVEL",
        "SET SWIVEL 30 DEGREES",
        "SET UP THE WORK",
        "CUTTER",
        "CUTTER 2",
        "CUTTER 0 DIAMETER 6",
        "CUTTER 2 DIAMETER 0",
        "CUTTER 2 DIAMETER -6",
        "CUTTER 2.5 DIAMETER 6",
        "CUTTER 999999999999999999999 DIAMETER 6",
        "CUTTER: 12 MM",
        "FLAT 3",
        "FLAT 0 TO FIXED JAW",
        "FLAT 3 TO MOVING JAW",
        "START SPINDLE",
        "START SPINDLE 4000",
        "START SPINDLE 0 CLOCKWISE",
        "START SPINDLE -5 CLOCKWISE",
        "START SPINDLE 4000 COUNTERCLOCKWISE",
        "set z",
    ],
)
def test_what_begins_like_an_ask_but_is_none(track_of: TrackOf, places: Places, comment: str) -> None:
    assert places(f"G0 X5\n  ({comment})") == [(2, 3, "unread")]
    assert track_of(f"({comment})").asks == ()


@pytest.mark.parametrize(
    "comment",
    ["VALVE STEM", "SETTING", "CUTTERS", "FLATS", "START", "DO NOT SET Z 5", "PASSED", "SETZ 5", ""],
)
def test_other_comments_ask_nothing(track_of: TrackOf, comment: str) -> None:
    track = track_of(f"({comment})")
    assert track.complaints == ()
    assert track.asks == ()
    assert track.comments[0].text == comment
    assert len(track) == 2


def test_the_number_of_the_pass(track_of: TrackOf) -> None:
    track = track_of(
        "(PASS 12 SECTION 2 FLAT 3)\nG0 X5\nX6\n(pass 13)G0 X7\nX8 (PASS 14)\nX9\n(PASS X)\n(PASS 1.5)\nX10"
    )
    assert track.complaints == ()
    assert track.pass_number.tolist() == [0, 12, 12, 13, 13, 14, 14, 14]


def test_asks_before_and_after_the_words_of_their_line(track_of: TrackOf) -> None:
    track = track_of("(SET Z 7) G0 X5 (SET Z 8)")
    assert track.z.tolist()[1:4] == [7.0, 7.0, 8.0]
    assert track.event.tolist()[1:4] == [Event.ASK, Event.NONE, Event.ASK]
    assert [ask.row for ask in track.asks] == [1, 3]


def test_asks_after_the_end_are_not_heard(track_of: TrackOf) -> None:
    track = track_of("M30 (SET Z 5)", after="")
    assert track.asks == ()
    assert [comment.text for comment in track.comments] == ["SET Z 5"]


def test_the_row_of_an_optional_ask(track_of: TrackOf) -> None:
    assert track_of("/(SET Z 5)").optional.tolist() == [False, True, False]


def test_a_person_stops_the_spindle(track_of: TrackOf) -> None:
    track = track_of(
        "(START SPINDLE 900 ANTICLOCKWISE)\nG0 X1\n(stop  Spindle)\nG0 X2\n(START SPINDLE 500 CLOCKWISE)"
    )
    assert track.rpm.tolist()[1:] == [-900.0, -900.0, 0.0, 0.0, 500.0, 0.0]
    assert [(asked.kind, asked.value) for asked in track.asks] == [
        ("spindle", -900.0),
        ("spindle", 0.0),
        ("spindle", 500.0),
    ]
