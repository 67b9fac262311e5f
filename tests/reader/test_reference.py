"""Returns to reference points: NISTIR 6556, section 3.5.8, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Frame, Kind, Track

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

NAN = float("nan")


@pytest.mark.parametrize("word", ["G28", "G30"])
def test_by_way_of_a_point_to_the_reference_point(track_of: TrackOf, word: str) -> None:
    track = track_of(f"G1 X5\n{word} X1 Y2 Z9\nX6")
    assert track.complaints == ()
    number = int(word[1:])
    assert track.kind.tolist()[1:-1] == [Kind.FEED, Kind.RAPID, Kind.RAPID, Kind.FEED]
    assert track.reference.tolist() == [0, 0, 0, number, 0, 0]
    assert track.frame.tolist()[1:-1] == [Frame.WORK, Frame.WORK, Frame.MACHINE, Frame.WORK]
    np.testing.assert_array_equal(track.x[2:5], [1, NAN, 6])
    np.testing.assert_array_equal(track.y[2:5], [2, NAN, NAN])
    np.testing.assert_array_equal(track.z[2:5], [9, NAN, NAN])


def test_the_point_is_incremental_in_g91(track_of: TrackOf) -> None:
    track = track_of("G91 G28 X1 Y1 Z5")
    assert track.complaints == ()
    assert (track.x[1], track.y[1], track.z[1]) == (2.0, 3.0, 8.0)


@pytest.mark.parametrize(
    ("line", "point"),
    [
        ("G28 X0 Y0 Z0", (0.0, 0.0, 0.0)),  # a place, where G90 is in force
        ("G91 G28 X0 Y0 Z5", (1.0, 2.0, 8.0)),
        ("G91 G28 X0 Y-1 Z0", (1.0, 1.0, 3.0)),
    ],
)
def test_a_point_of_which_some_or_all_are_nought(
    track_of: TrackOf, line: str, point: tuple[float, float, float]
) -> None:
    track = track_of(line)
    assert track.complaints == ()
    assert track.reference.tolist() == [0, 0, 28, 0]
    assert (track.x[1], track.y[1], track.z[1]) == point


def test_the_text_does_not_tell_where_the_reference_point_is(track_of: TrackOf) -> None:
    """Whatever the machine's coordinates were before, and in none of the axes."""
    track = track_of("G53 G0 X10 Y20 Z30\nG28")
    assert track.complaints == ()
    assert track.reference.tolist() == [0, 0, 28, 0]
    assert np.isnan([track.x[2], track.y[2], track.z[2]]).all()


@pytest.mark.parametrize(
    ("body", "before"),
    [
        ("G28", "G21 G90 G17\n"),
        ("G28", ""),
        ("G91 G28 X0 Y0 Z0", "G21 G90\nG0 X1 Y2 Z3\n"),
        ("G91 G28 X0 Y0 Z0", "G21\n"),
        ("G28 X1 Y2 Z3", "G21 G90\nG0 X1 Y2 Z3\n"),
        ("G80 G28", "G21\n"),
    ],
)
def test_where_it_stands_already_there_is_no_point_to_go_by(
    track_of: TrackOf, body: str, before: str
) -> None:
    track = track_of(body, before=before)
    assert track.complaints == ()
    assert track.reference.tolist()[-2:] == [28, 0]
    assert np.count_nonzero(track.line == before.count("\n") + 1) == 1


def test_a_control_that_takes_all_axes_may_be_told_some(track_of: TrackOf, places: Places) -> None:
    track = track_of("G28 Z9", reference_all_axes=True)
    assert track.complaints == ()
    assert (track.x[1], track.y[1], track.z[1]) == (1.0, 2.0, 9.0)
    assert track.reference.tolist() == [0, 0, 28, 0]
    assert places("G28 Z9") == [(1, 1, "unread")]
    assert places("G30 X1 Y2") == [(1, 1, "unread")]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G0 G28 X1 Y2 Z9", (1, 4, "unread")),
        ("G28 G81 X1 Y2 Z9", (1, 1, "unread")),
        ("G28 X1 Y2 Z9 R3", (1, 14, "unread")),
        ("G28 X1 Y2 Z9 P1", (1, 14, "unread")),
        ("G55\nG91 G28 X1 Y2 Z9", (2, 9, "unread")),
        ("G28 X1 Y2 Z9 W1", (1, 14, "unread")),
        ("G28\nG91 G0 X1", (2, 8, "unread")),
    ],
)
def test_returns_that_are_wrong(places: Places, body: str, place: tuple[int, int, str]) -> None:
    assert places(body) == [place]


@pytest.mark.parametrize("body", ["G0 G28 X1 Y2 Z9", "G55\nG91 G28 X1 Y2 Z9", "G28 Z9"])
def test_after_a_return_that_is_refused_no_position_is_known(track_of: TrackOf, body: str) -> None:
    track = track_of(f"{body}\nM0")
    assert track.reference.tolist() == [0, 0, 0]
    assert np.isnan([track.x[1], track.y[1], track.z[1]]).all()


def test_a_return_with_radius_compensation_on(places: Places) -> None:
    # From memory.
    assert (2, 1, "compensation") in places("G41 D1\nG28")
    assert (1, 8, "compensation") in places("G41 D1 G28")  # on the very line that turns it on


def test_units_and_distance_mode_are_wanted_for_the_point(places: Places) -> None:
    assert places("G28 X1 Y2 Z3", before="G17\n") == [(1, 1, "units"), (1, 1, "unread")]
