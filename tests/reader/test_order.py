"""The order in which the words of a line are carried out: NISTIR 6556, table 8, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Event, Kind, Track

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]


def kinds(track: Track) -> list[str]:
    return [
        Event(e).name if k == Kind.EVENT else Kind(k).name
        for k, e in zip(track.kind, track.event, strict=True)
    ]


@pytest.mark.parametrize("words", list(permutations(["M0", "G1 X5", "M3 S500", "T2 M6", "M8"])))
def test_rows_come_in_the_order_of_execution_whatever_the_order_of_the_words(
    track_of: TrackOf, words: tuple[str, ...]
) -> None:
    track = track_of(" ".join(words))
    assert track.complaints == ()
    assert kinds(track)[1:-1] == ["CUTTER", "SPINDLE", "COOLANT", "FEED", "STOP"]
    assert track.tool.tolist()[1:-1] == [2] * 5
    assert track.rpm.tolist()[1:-1] == [0.0, 500.0, 500.0, 500.0, 500.0]


def test_a_dwell_comes_after_spindle_and_coolant_and_before_motion(track_of: TrackOf) -> None:
    track = track_of("G1 X5 G4 P1.5 M3 S500 M8")
    assert track.complaints == ()
    assert kinds(track)[1:-1] == ["SPINDLE", "COOLANT", "DWELL", "FEED"]
    assert track.dwell.tolist() == [0.0, 0.0, 0.0, 1.5, 0.0, 0.0]
    assert track.x.tolist()[3:5] == [1.0, 5.0]


def test_feed_distance_and_offset_hold_for_the_motion_of_their_line(track_of: TrackOf) -> None:
    track = track_of("X4 G1 F250 G91")
    assert (track.x[1], track.feed[1]) == (5.0, 250.0)
    track = track_of("X4 G0 G55")
    assert (track.x[1], track.offset[1]) == (4.0, 55.0)
    assert np.isnan(track.y[1])  # another zero: the coordinate is not known any more


def test_f_comes_before_the_units_of_its_line(places: Places) -> None:
    assert places("F100 G21 G90\nG1 X5", before="") == [(1, 1, "units")]
    assert places("G21 G90\nF100 G1 X5", before="") == []


def test_the_stop_comes_last(track_of: TrackOf) -> None:
    track = track_of("M1 G0 X5")
    assert kinds(track)[1:-1] == ["RAPID", "OPTIONAL_STOP"]
    track = track_of("M30 G0 X5", after="")
    assert track.complaints == ()
    assert kinds(track)[1:] == ["RAPID", "END"]


def test_a_cutter_change_stops_the_spindle(track_of: TrackOf) -> None:
    # NISTIR 6556 3.6.3, from memory.
    track = track_of("M3 S500\nT2 M6\nG0 X5\nM3\nG0 X6")
    assert track.rpm.tolist()[1:-1] == [500.0, 0.0, 0.0, 500.0, 500.0]


def test_spindle_speed_and_direction(track_of: TrackOf) -> None:
    track = track_of("M3\nG0 X2\nS500\nG0 X3\nM4\nG0 X4\nM5\nG0 X5\nS600 M4")
    np.testing.assert_array_equal(track.rpm[1:-1], [np.nan, np.nan, 500.0, -500.0, -500.0, 0.0, 0.0, -600.0])


def test_coolant(track_of: TrackOf) -> None:
    track = track_of("M7\nM8\nM9\nM7 M8\nM9")
    assert track.coolant.tolist()[1:-1] == [True, True, False, True, False]
    assert kinds(track)[1:-1] == ["COOLANT"] * 5


@pytest.mark.parametrize(
    ("line", "column"), [("M6", 1), ("G90 M6", 5), ("T-1", 1), ("T1.5 M3", 1), ("T100000", 1)]
)
def test_cutters_that_are_not_known(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "tool")]


def test_t_alone_changes_nothing(track_of: TrackOf) -> None:
    track = track_of("T3\nG0 X5\nM6\nG0 X6\nT0 M6")
    assert track.tool.tolist()[1:-1] == [0, 3, 3, 0]
