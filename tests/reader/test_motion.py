"""Straight motion, modes, frames and dwells: NISTIR 6556, section 3.5, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Dialect, Frame, Kind, Track, read
from polypocket.units import MM_PER_INCH

Place: TypeAlias = tuple[int, int, str]
Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

PLAIN = Dialect("plain")
NAN = float("nan")


def test_axes_are_not_known_until_commanded() -> None:
    track = read("G21 G90\nG0 Z5\nX1\nY2\nM30", PLAIN)
    assert track.complaints == ()
    np.testing.assert_array_equal(track.x, [NAN, 1, 1, 1])
    np.testing.assert_array_equal(track.y, [NAN, NAN, 2, 2])
    np.testing.assert_array_equal(track.z, [5, 5, 5, 5])


def test_the_motion_mode_stays_in_force(track_of: TrackOf) -> None:
    track = track_of("G1 X5\nY6\nG0\tX7\nY8 Z9")
    assert track.kind.tolist()[1:-1] == [Kind.FEED, Kind.FEED, Kind.RAPID, Kind.RAPID]
    assert track.line.tolist() == [3, 4, 5, 6, 7, 8]


def test_axis_words_with_no_motion_mode_in_force() -> None:
    track = read("G21 G90 F100\nX5\nG1 Y5\nM30", PLAIN)
    assert [(c.line, c.column, c.code) for c in track.complaints if c.code == "unread"] == [(2, 1, "unread")]
    assert track.x[0] == 5.0  # it follows, so that later lines are not blamed


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G0", 1),
        ("G1", 1),
        ("G90 G1 F50", 5),
        ("G2", 1),
        ("G3 I1", 1),
        ("G53", 1),
        ("G53 G0", 5),
        ("G0 G4 P1", 1),
    ],
)
def test_motion_words_without_axis_words(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


@pytest.mark.parametrize("line", ["G1 X5", "G2 X5 I2", "G3 X5 R3", "G1 X5 F0"])
def test_feed_motion_at_no_feed(places: Places, track_of: TrackOf, line: str) -> None:
    before = "G21 G90 G17\nG0 X1 Y2 Z3\n"
    assert places(line, before=before) == [(1, 4, "no-feed")]
    assert places(f"F100 {line.removesuffix('F0')}", before=before) == []


def test_no_feed_is_told_once_until_the_next_f(places: Places) -> None:
    before = "G21 G90\n"
    assert places("G1 X5\nX6\nX7", before=before) == [(1, 4, "no-feed")]
    assert places("G1 X5\nX6 F0\nX7 F10\nF0 X8", before=before) == [
        (1, 4, "no-feed"),
        (2, 1, "no-feed"),
        (4, 4, "no-feed"),
    ]


def test_rapids_need_no_feed(places: Places) -> None:
    assert places("G0 X5", before="G21 G90\n") == []


@pytest.mark.parametrize(("line", "column"), [("F-1", 1), ("G1 X5 F-100", 7), ("S-1 M3", 1), ("M3 S-0.5", 4)])
def test_negative_feed_and_speed(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


def test_a_negative_feed_leaves_the_feed_as_it_was(track_of: TrackOf) -> None:
    assert track_of("G1 X5 F-200").feed[1] == 100.0


@pytest.mark.parametrize(
    ("line", "column"), [("G4 P-1", 4), ("G4", 1), ("G4 P", 4), ("G4 X1", 1), ("P1", 1), ("G4 P1 X5", 7)]
)
def test_dwells_that_are_wrong(places: Places, line: str, column: int) -> None:
    assert (1, column, "unread") in places(line)


def test_dwells_in_seconds(track_of: TrackOf) -> None:
    track = track_of("G4 P2.5\nG4 P0\nG4 P1 G0 X5")
    assert track.complaints == ()
    assert track.kind.tolist()[1:-1] == [Kind.DWELL, Kind.DWELL, Kind.DWELL, Kind.RAPID]
    assert track.dwell.tolist()[1:-1] == [2.5, 0.0, 1.0, 0.0]


def test_incremental_and_absolute(track_of: TrackOf) -> None:
    track = track_of("G91 G0 X10 Y-1\nX10\nG90 X10\nG91 Z0.5")
    assert track.complaints == ()
    assert track.x.tolist() == [1.0, 11.0, 21.0, 10.0, 10.0, 10.0]
    assert track.y.tolist() == [2.0, 1.0, 1.0, 1.0, 1.0, 1.0]
    assert track.z.tolist() == [3.0, 3.0, 3.0, 3.0, 3.5, 3.5]


def test_an_incremental_move_from_an_unknown_position(places: Places) -> None:
    before = "G21 G90\nG0 X1\n"
    assert places("G91 G0 X2 Y3\nY4\nG90 Y1\nG91 Y1", before=before) == [(1, 11, "unread"), (2, 1, "unread")]


def test_what_is_known_follows_an_incremental_move_that_is_refused(track_of: TrackOf) -> None:
    track = track_of("G91 G0 X2 Y3\nX4", before="G21 G90\nG0 X1\n")
    assert [(c.line, c.column) for c in track.complaints] == [(3, 11)]
    assert track.x.tolist() == [1.0, 7.0, 7.0]


def test_distance_mode_not_set_is_told_once(places: Places) -> None:
    assert places("G0 X1\nX2\nG90\nX3", before="G21\n") == [(1, 4, "unread")]
    assert places("G91\nG90 G0 X1", before="G21\n") == []


def test_units_not_set_are_told_once(places: Places) -> None:
    assert places("G0 X1\nX2\nG21\nX3", before="G90\n") == [(1, 4, "units")]
    assert places("F10\nG1 X2", before="G90\n") == [(1, 1, "units")]
    assert places("M3 S500\nT1 M6\nG4 P1\nM0", before="") == []


@pytest.mark.parametrize(("word", "scale", "units"), [("G20", MM_PER_INCH, "inch"), ("G21", 1.0, "mm")])
def test_lengths_and_feeds_are_millimetres(word: str, scale: float, units: str) -> None:
    track = read(f"{word} G90\nG1 X1 Y-2.5 Z.5 F10\nM30", PLAIN)
    assert track.complaints == ()
    assert track.units == units
    assert (track.x[0], track.y[0], track.z[0]) == (1.0 * scale, -2.5 * scale, 0.5 * scale)
    assert track.feed[0] == 10.0 * scale


def test_units_may_be_said_again_but_not_change(places: Places, track_of: TrackOf) -> None:
    assert places("G21\nG21") == []
    assert places("G20\nG0 X1") == [(1, 1, "units")]
    assert track_of("G20\nG0 X1").units == "mm"
    assert places("G20\nG1 X1") == [(1, 1, "units"), (2, 4, "no-feed")]  # whether F goes over is not known


@pytest.mark.parametrize("offset", [54, 55, 56, 57, 58, 59, 59.1, 59.2, 59.3])
def test_work_offsets(track_of: TrackOf, offset: float) -> None:
    track = track_of(f"G{offset}\nG0 X5")
    assert track.complaints == ()
    assert track.offset.tolist() == [54.0, offset, 54.0]


def test_another_work_offset_makes_coordinates_unknown(track_of: TrackOf, places: Places) -> None:
    track = track_of("G55\nG0 X5\nG54\nG0 Y6")
    np.testing.assert_array_equal(track.x[:3], [1, 5, NAN])
    np.testing.assert_array_equal(track.y[:3], [2, NAN, 6])
    assert places("G55\nG91 G0 X1") == [(2, 8, "unread")]
    assert places("G54\nG91 G0 X1") == []  # the same zero


def test_g53_moves_in_machine_coordinates_for_one_line(track_of: TrackOf) -> None:
    track = track_of("G53 G0 Z0\nG53 X15 Y-1\nX5")
    assert track.complaints == ()
    assert track.frame.tolist() == [Frame.WORK, Frame.MACHINE, Frame.MACHINE, Frame.WORK, Frame.WORK]
    # An axis that was not commanded in a frame is not known in it.
    np.testing.assert_array_equal(track.x[:4], [1, NAN, 15, 5])
    np.testing.assert_array_equal(track.y[:4], [2, NAN, -1, NAN])
    np.testing.assert_array_equal(track.z[:4], [3, 0, 0, NAN])


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G2 X5 I2\nG53 X5 Y5", (2, 1, "unread")),
        ("G53 G2 X5 Y5", (1, 1, "unread")),
        ("G80\nG53 X5", (2, 1, "unread")),
        ("G91\nG53 G0 X5", (2, 1, "unread")),
        ("G0 G53 Z0\nG91 Z1", (2, 5, "unread")),
    ],
)
def test_g53_that_is_wrong(places: Places, body: str, place: Place) -> None:
    assert places(body) == [place]


def test_g53_with_radius_compensation_on(places: Places) -> None:
    # NISTIR 6556 3.5.12, from memory.
    assert places("G41 D1\nG53 G0 X5\nG40\nG1 X0 Y0\nG53 G0 X5") == [(2, 1, "compensation")]


def test_an_event_row_carries_the_position(track_of: TrackOf) -> None:
    track = track_of("M0\nG0 X5\nM8")
    assert track.x.tolist() == [1.0, 1.0, 5.0, 5.0, 5.0]
    assert np.isnan(track.centre_x).all()


def test_a_refused_line_makes_no_motion_but_its_modes_hold(track_of: TrackOf) -> None:
    track = track_of("G91 G1 X5 F50 W3\nY1")
    assert [c.column for c in track.complaints] == [15]
    assert track.line.tolist() == [3, 5, 6]
    assert (track.x[1], track.y[1], track.feed[1]) == (6.0, 3.0, 50.0)


def test_inverse_time_feed_is_kept_apart(track_of: TrackOf) -> None:
    track = track_of("G93 G1 X5 F2\nG0 X7\nG1 F3 X6\nG94\nG1 X6 F50")
    assert track.complaints == ()
    assert track.feed_mode.tolist()[1:-1] == [93, 93, 93, 94]
    np.testing.assert_array_equal(track.feed[1:-1], [2.0, NAN, 3.0, 50.0])


def test_inverse_time_has_no_units(places: Places) -> None:
    assert places("G93 F2\nG21 G90 G0 X0 Y0 Z0\nG1 X5 F2", before="") == []
    inches = read("G20 G90 G93\nG1 X5 F2\nM30", PLAIN)
    assert (inches.complaints, inches.feed[0]) == ((), 2.0)


@pytest.mark.parametrize(
    ("line", "column"), [("G1 X6", 4), ("X6", 1), ("G2 X7 I1", 4), ("G3 X7 R1", 4), ("G1 X6 F0", 4)]
)
def test_in_inverse_time_every_feed_move_wants_its_own_feed(places: Places, line: str, column: int) -> None:
    # NISTIR 6556 3.5.19, from memory: a G1, G2 or G3, told or in force, on a line without F is an error.
    assert places(f"G93\nG1 X5 F2\n{line}\nG1 X8\nG0 X9") == [(3, column, "no-feed"), (4, 4, "no-feed")]


def test_a_feed_does_not_outlive_its_mode(places: Places) -> None:
    assert places("G93\nG1 X5") == [(2, 4, "no-feed")]
    assert places("G94\nG1 X5") == []
    assert places("G93 F5\nG1 X5") == [(2, 4, "no-feed")]


def test_the_registers_of_compensations_are_kept(track_of: TrackOf) -> None:
    track = track_of("G41 D3\nG43 H5\nM0\nG40\nG49\nM0")
    assert track.radius_register.tolist() == [0, 3, 0, 0]
    assert track.length_register.tolist() == [0, 5, 0, 0]
    assert track.compensation_side.tolist() == [0, 1, 0, 0]
    assert track_of("G42 D3\nM0").compensation_side[1] == 2
    assert track_of("G41 D-3\nM0\nG41 D100000\nM0").radius_register.tolist() == [0, 0, 0, 0]


def test_a_speed_or_a_feed_of_nothing_is_not_negative(places: Places) -> None:
    assert places("S0 F0") == []


def test_a_dwell_that_may_be_a_motion_is_neither(track_of: TrackOf) -> None:
    assert track_of("G4 P1 X5").kind.tolist() == [Kind.RAPID, Kind.EVENT]


def test_a_line_that_is_too_long_makes_no_motion(track_of: TrackOf) -> None:
    assert track_of("G0 X5" + " " * 300).line.tolist() == [3, 5]


def test_a_pallet_change_is_no_end(track_of: TrackOf) -> None:
    track = track_of("M60\nG0 X5")
    assert [c.text for c in track.complaints] == ["the pallet change (M60) is not carried out"]
    assert track.x.tolist() == [1.0, 5.0, 5.0]


def test_the_plane_is_xy_until_another_is_said() -> None:
    assert read("G21 G90\nG0 X1\nG19 X2\nM30", PLAIN).plane.tolist() == [17, 19, 17]
