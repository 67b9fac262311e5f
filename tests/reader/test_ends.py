"""Where a program ends: NISTIR 6556, sections 3.2 and 3.6.1, in part from memory."""

from __future__ import annotations

from typing import TypeAlias

import pytest

from polypocket.reader import Dialect, Event, Track, read

Place: TypeAlias = tuple[int, int, str]

PLAIN = Dialect("plain")
MOVE = "G21 G90 G0 X1"


def places(track: Track) -> list[tuple[int, int, str]]:
    return [(c.line, c.column, c.code) for c in track.complaints]


@pytest.mark.parametrize(
    "text",
    [
        f"{MOVE}\nM2",
        f"{MOVE}\nM30\n\n",
        f"%\n{MOVE}\n%\n",
        f"\n \t% \n{MOVE}\n % \n",
        f"%\n{MOVE}\nM30\n%",
        f"%\r\n{MOVE}\r\nM2\r\n%\r\n",
    ],
)
def test_ends_that_are_right(text: str) -> None:
    track = read(text, PLAIN)
    assert places(track) == []
    assert track.x[0] == 1.0


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (MOVE, (1, 1, "end")),
        (f"{MOVE}\n\n(no more)\n\n", (3, 1, "end")),
        ("", (1, 1, "end")),
        ("\n\n", (1, 1, "end")),
        (f"{MOVE}\nM0\nM1", (3, 1, "end")),
        ("%", (1, 1, "end")),
        (f"%\n{MOVE}\n", (2, 1, "end")),
        (f"%\n{MOVE}\nM30\n", (3, 1, "end")),
        (f"{MOVE}\n  %\n", (2, 3, "end")),
    ],
)
def test_ends_that_are_wrong(text: str, place: Place) -> None:
    assert places(read(text, PLAIN)) == [place]


@pytest.mark.parametrize("end", ["M2", "M30", "M30 (done)"])
def test_nothing_after_the_end_is_carried_out(end: str) -> None:
    track = read(f"{MOVE}\n{end}\nG0 X5\nwhat is this?\n(SET Z 5)\n", PLAIN)
    assert places(track) == []
    assert track.x.tolist() == [1.0, 1.0]
    assert track.asks == ()


def test_nothing_after_the_closing_percent_is_carried_out() -> None:
    track = read(f"%\n{MOVE}\n%\nG0 X5\n%\n#1=5\nM30", PLAIN)
    assert places(track) == []
    assert len(track) == 1


def test_text_between_the_end_and_the_closing_percent_is_not_carried_out() -> None:
    track = read(f"%\n{MOVE}\nM30\nG0 X5 [\n%\n", PLAIN)
    assert places(track) == []
    assert len(track) == 2


@pytest.mark.parametrize(
    "text", [f"%\n{MOVE} %\n%", f"%\n{MOVE}\n%5\n%", f"(a)\n%a\n{MOVE}\nM30", f"%%\n{MOVE}\nM30"]
)
def test_a_percent_stands_alone_on_its_line(text: str) -> None:
    assert [c.code for c in read(text, PLAIN).complaints] == ["unread"]


@pytest.mark.parametrize("end", ["M2", "M30"])
def test_m2_and_m30_reset(end: str) -> None:
    # NISTIR 6556 3.6.1, from memory: to G54, G17, G90, G94, G40, M5, G1, M9. The end's row shows it.
    track = read(f"G21 G18 G91 G55 G93 G41 D3\nS500 M3\nM8\nM7\n{end}\n", PLAIN)
    assert track.event[-1] == Event.END
    before, after = -2, -1
    assert (track.offset[before], track.offset[after]) == (55.0, 54.0)
    assert (track.plane[before], track.plane[after]) == (18, 17)
    assert (track.feed_mode[before], track.feed_mode[after]) == (93, 94)
    assert (track.compensation_side[before], track.compensation_side[after]) == (1, 0)
    assert (track.radius_register[before], track.radius_register[after]) == (3, 0)
    assert (track.rpm[before], track.rpm[after]) == (500.0, 0.0)
    assert (track.coolant[before], track.coolant[after]) == (True, False)


def test_the_number_of_columns_rows_and_the_name() -> None:
    track = read(f"{MOVE}\nM30", PLAIN, name="valve stem", file=3)
    assert (track.name, track.units, len(track)) == ("valve stem", "mm", 2)
    assert track.file.tolist() == [3, 3]
    assert read(MOVE, PLAIN).file.tolist() == [0]


def test_a_program_without_rows() -> None:
    track = read("", PLAIN)
    assert (len(track), track.units, track.x.shape) == (0, None, (0,))
    assert track.coolant.dtype == bool


def test_an_end_that_a_switch_may_skip() -> None:
    # No source: with the switch on, what stands after it would be carried out.
    track = read(f"{MOVE}\n/N5 M30\nG0 X5\n", PLAIN)
    assert places(track) == [(2, 5, "end")]
    assert len(track) == 2


@pytest.mark.parametrize(
    ("end", "expected"), [("M30\n%", []), ("M2\n%", []), ("%", [(3, 1, "end")]), ("M0\n%", [(4, 1, "end")])]
)
def test_where_only_a_word_ends_a_program(end: str, expected: list[Place]) -> None:
    assert places(read(f"%\n{MOVE}\n{end}\n", Dialect("worded", end_word=True))) == expected
