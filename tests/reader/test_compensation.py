"""G40, G41, G42 and D: NISTIR 6556 3.5.10 and appendix B, from memory; the stricter rules are the house's."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import pytest

from polypocket.reader import Event, Kind, Track

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

# Before every body: G21 G90 G17, F100, and the cutter at (1, 2, 3).
SOUND = "G41 D7 G1 X10 Y0\nX20\nG3 X30 Y10 J10\nG1 Z-1\nG4 P1\nG1 Y20\nG40 X0 Y0\nX5"


def test_a_sound_contour(track_of: TrackOf) -> None:
    track = track_of(SOUND)
    assert track.complaints == ()
    rows = slice(1, 9)  # one motion lies before, the end behind
    assert track.compensation_side[rows].tolist() == [1, 1, 1, 1, 1, 1, 0, 0]
    assert track.radius_register[rows].tolist() == [7, 7, 7, 7, 7, 7, 0, 0]
    # the programmed coordinates stay
    assert track.x[rows].tolist() == [10.0, 20.0, 30.0, 30.0, 30.0, 30.0, 0.0, 5.0]
    assert track.kind[rows].tolist()[2:5] == [Kind.ARC_ANTICLOCKWISE, Kind.FEED, Kind.DWELL]
    assert track_of(SOUND.replace("G41", "G42")).compensation_side[rows].tolist()[:2] == [2, 2]


@pytest.mark.parametrize(
    "body",
    [
        "G41 D1\nG0 X10\nG1 Y5\nG40\nG0 X0 Y0",  # a rapid start and end; the modal word on its own line
        "G41 D1\nG40\nX5",  # off before it was followed
        "G40\nG40 X5",  # off while off
        "G41 D1 X5 F50\nG1 Y9\nG0 Z9\nG40\nG53 G0 Z0\nG0 X0 Y0",  # Z in between
        "G41 D1 G1 X9\nG17 Y9\nG40 M30",  # G17 in G17; the end turns nothing off that is on
        "G41 D1 G1 X9\nG91 Y9\nG90 G40 X5 Y5",  # increments along the path
        "G41 D1 G1 X9\nM8\nM5\n(SET Z 5)\nY9\nG40 X5 Y5",
        "G41 D1 G1 X9\nY9\nG40 X5 Y5\nG42 D2 X9\nY9\nG40 X5 Y5",
        "G40 G54",
        "G41 D99999 X5",
    ],
)
def test_accepted(places: Places, body: str) -> None:
    assert places(body if "M30" in body else body + "\nG90 G40\nG1 X0 Y0") == []


def test_without_d_the_cutter_in_the_spindle_names_the_register(track_of: TrackOf, places: Places) -> None:
    body = "G41 G1 X5\nY9\nG40 X9 Y9"
    assert places(body) == [(1, 1, "compensation")]
    assert places(f"T3 M6\n{body}") == [(2, 1, "compensation")]
    assert places(body, register_of_cutter=True) == [(1, 1, "compensation")]
    track = track_of(f"T3 M6\n{body}", register_of_cutter=True)
    assert (track.complaints, track.radius_register.max()) == ((), 3)
    track = track_of(f"(CUTTER 4 DIAMETER 10)\n{body}", register_of_cutter=True)
    assert (track.complaints, track.radius_register.max()) == ((), 4)
    track = track_of("T3 M6\nG41 D8 G1 X5\nG40 X9 Y9", register_of_cutter=True)
    assert (track.complaints, track.radius_register.max()) == ((), 8)


@pytest.mark.parametrize("number", ["-1", "0", "-0", "1.5", "100000"])
@pytest.mark.parametrize("word", ["G41", "G42"])
def test_a_register_is_a_whole_number_from_1(places: Places, word: str, number: str) -> None:
    assert places(f"{word} D{number} G1 X5\nG40 X9 Y9") == [(1, 5, "compensation")]
    assert places(f"{word} D{number} G1 X5\nG40 X9 Y9", register_of_cutter=True) == [(1, 5, "compensation")]


@pytest.mark.parametrize("body", ["D1", "G40 D1", "G0 X5 D1"])
def test_d_without_g41_or_g42(places: Places, body: str) -> None:
    assert places(body) == [(1, body.index("D") + 1, "unread")]


ON = "G41 D1 G1 X9\nY9\n"


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G41 D1", 1),
        ("G42 D1 X5", 1),
        ("X5 G41 D2", 4),
        ("G18", 1),
        ("G19 X5", 1),
        ("G20", 1),
        ("G21", 1),
        ("G54", 1),
        ("G59.3 X5", 1),
        ("T2 M6", 4),
        ("(CUTTER 2 DIAMETER 6)", 1),
        ("(FLAT 2 TO FIXED JAW)", 1),
        ("(SET SWIVEL 30)", 1),
        ("G53 G0 X5", 1),
        ("G53 G0 Z5", 1),
        ("G0 X5", 4),
        ("G0 Y5 Z5", 4),
    ],
)
def test_refused_while_on(places: Places, line: str, column: int) -> None:
    after = "\nG40 G1 X0 Y0"
    assert places(ON + after) == []
    # another unit is refused anyway, and takes the feed with it
    found = [place for place in places(ON + line + after) if place[2] not in ("units", "no-feed")]
    assert found == [(3, column, "compensation")]
    # without compensation the line itself is sound
    assert "compensation" not in {code for _, _, code in places(line if "G4" not in line else "X5")}


@pytest.mark.parametrize("line", ["G92 X0", "G92.1", "G28 Z0", "G30 Z0", "G10 L2 P1 X0", "G81 X5 Y5 Z-1 R2"])
@pytest.mark.parametrize("before", [ON, ON + "G40\n"], ids=["on", "not yet left"])
def test_shifts_returns_and_cycles_beside_compensation(places: Places, before: str, line: str) -> None:
    number = before.count("\n") + 1
    assert (number, 1, "compensation") in places(f"{before}{line}\nG40 G1 X0 Y0")
    assert "compensation" not in {code for _, _, code in places(line)}


@pytest.mark.parametrize("end", ["M2", "M30"])
def test_no_program_ends_with_compensation_on(places: Places, track_of: TrackOf, end: str) -> None:
    assert places(ON, after=f"{end}\n") == [(3, 1, "compensation")]
    assert places(ON + "G40\n", after=f"{end}\n") == []
    assert track_of(ON, after=f"{end}\n").event[-1] == Event.END


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G18 G41 D1\nG17 G40", (1, 5)),
        ("G19\nG42 D1\nG40 G17", (2, 1)),
    ],
)
def test_in_another_plane(places: Places, body: str, place: tuple[int, int]) -> None:
    assert (*place, "compensation") in places(body)


def test_before_the_plane_is_set(places: Places) -> None:
    assert places("G41 D1 G1 X5\nG40 X9 Y9", before="G21 G90\nF100\nG0 X1 Y2\n") == [(1, 1, "compensation")]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G41 D1 G3 X9 Y2 I4", (1, 11)),
        ("G41 D1\nG1 Z1\nG2 X9 Y2 I4", (3, 4)),
        ("G41 D1 G1 X1 Y2", (1, 11)),
        ("G41 D1 G1 Y2 Z5", (1, 11)),
        ("G41 D1 G1 X1.000009 Y1.999991", (1, 11)),
        (ON + "G40 G3 X5 Y9 I-2", (3, 8)),
        (ON + "G40\nG1 Z1\nG2 X5 Y9 I-2", (5, 4)),
    ],
)
def test_the_first_and_last_moves_are_lines_that_go_somewhere(
    places: Places, body: str, place: tuple[int, int]
) -> None:
    assert places(body + "\nG40") == [(*place, "compensation")]


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("G40 X5", (3, 5)),
        ("G40\nG0 Y5", (4, 4)),
        ("G40 G91 X5 Y5", (3, 9)),
        ("G40\nG53 G0 X5", (4, 8)),
        ("G40\nG53 G0 X5 Y5", (4, 8)),
        ("G40 X9 Y9", (3, 5)),
        ("G40\nG0 X9 Y9", (4, 4)),
        ("G40\nG41 D1", (4, 1)),
        ("G40\nG55\nG1 X5 Y5", (4, 1)),
    ],
)
def test_the_move_after_g40_says_all_of_where_it_goes(
    places: Places, line: str, place: tuple[int, int]
) -> None:
    assert places(ON + line + "\nG40") == [(*place, "compensation")]
