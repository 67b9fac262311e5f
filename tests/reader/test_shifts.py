"""Shifted coordinates: NISTIR 6556, section 3.5.18, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.reader import Dialect, Track, read

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

PLAIN = Dialect("plain")


def test_published_example(track_of: TrackOf) -> None:
    # NISTIR 6556 3.5.18: at X4 with no offset in force, G92 X7 makes the offset -3.
    track = track_of("G0 X4\nG92 X7\nG0 Y5\nX8")
    assert track.complaints == ()
    assert track.line.tolist() == [3, 4, 6, 7, 8]  # it moves nothing
    assert track.shift_x.tolist() == [0, 0, -3, -3, 0]
    assert track.x.tolist() == [1, 4, 7, 8, 5]  # M30 takes the shift away: X8 is then X5
    assert track.y.tolist() == [2, 2, 5, 5, 5]
    assert (track.shift_y.tolist(), track.shift_z.tolist()) == ([0] * 5, [0] * 5)


def test_shifts_add_up(track_of: TrackOf) -> None:
    track = track_of("G92 X0 Y0 Z0\nG0 X5\nG92 X1\nG0 Y1")
    assert track.complaints == ()
    assert track.shift_x.tolist()[1:3] == [1, 5]
    assert track.shift_y.tolist()[1:3] == [2, 2]
    assert track.shift_z.tolist()[1:3] == [3, 3]


def test_inches_shift_by_inches() -> None:
    track = read("G20 G90\nG0 X1\nG92 X3\nG0 X4\nM30", PLAIN)
    assert track.complaints == ()
    assert (track.shift_x[1], track.x[1]) == (pytest.approx(-50.8), pytest.approx(101.6))


def test_the_words_are_coordinates_in_g91_too(track_of: TrackOf) -> None:
    track = track_of("G91 G92 X7\nG0 X1")
    assert track.complaints == ()
    assert (track.x[1], track.shift_x[1]) == (8.0, -6.0)


@pytest.mark.parametrize(
    ("words", "after"), [("G92.1", 0.0), ("G92.2", 0.0), ("G92.2\nG92.3", -6.0), ("G92.1\nG92.3", 0.0)]
)
def test_the_shift_is_taken_away_and_up_again(track_of: TrackOf, words: str, after: float) -> None:
    track = track_of(f"G92 X7\n{words}\nM0\nG0 X8")
    assert track.complaints == ()
    assert track.shift_x.tolist()[1:3] == [after] * 2
    assert track.x.tolist()[1:3] == [1.0 - after, 8.0]


def test_the_shift_outlives_another_work_offset(track_of: TrackOf) -> None:
    track = track_of("G92 X7\nG55\nG0 X1 Y1\nG92 X2\nG0 Y2")
    assert track.complaints == ()
    assert track.shift_x.tolist()[1:3] == [-6.0, -7.0]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G92", (1, 1, "unread")),
        ("G0 G92 X7", (1, 4, "unread")),
        ("G92 G0 X7", (1, 1, "unread")),
        ("G92 X7 I1", (1, 8, "unread")),
        ("G92 X7 R1", (1, 8, "unread")),
        ("G92 X7 W1", (1, 8, "unread")),
        ("G92.1 X7", (1, 7, "unread")),
        ("G92.2 Z7", (1, 7, "unread")),
        ("G92.3", (1, 1, "unread")),
        ("G92 X1\nG92.3 X7", (2, 7, "unread")),
        ("G55\nG92 X7", (2, 5, "unread")),
        ("G53 G0 Z0\nG92 X7 Z1", (2, 8, "unread")),
        ("G28\nG92 X7", (2, 5, "unread")),
    ],
)
def test_shifts_that_are_wrong(places: Places, body: str, place: tuple[int, int, str]) -> None:
    assert places(body) == [place]


def test_an_axis_that_is_not_named_need_not_be_known(places: Places) -> None:
    assert places("G53 G0 Z0\nG92 X7\nG0 Y1") == []


def test_g80_may_stand_beside_it(places: Places) -> None:
    assert places("G80 G92 X7\nG0 X1") == []


def test_units_are_wanted_but_no_distance_mode(places: Places) -> None:
    assert places("G92 X7", before="G90\nG0 X1\n") == [(0, 4, "units")]
    assert places("G92 X7", before="G90\n") == [(1, 5, "unread")]


def test_a_shift_with_radius_compensation_on(places: Places) -> None:
    # From memory.
    assert (2, 1, "compensation") in places("G41 D1\nG92 X7")


def test_after_a_shift_that_is_refused_no_position_is_known(track_of: TrackOf) -> None:
    track = track_of("G92 X7 W1\nM0")
    assert np.isnan([track.x[1], track.y[1], track.z[1]]).all()
    assert track.shift_x[1] == 0.0


MICROMETRES = st.integers(-99_999, 99_999)


@given(st.lists(st.tuples(st.booleans(), st.sampled_from("XYZ"), MICROMETRES), min_size=1, max_size=12))
@settings(max_examples=60)
def test_a_shift_changes_coordinates_and_no_place(steps: list[tuple[bool, str, int]]) -> None:
    """Each move is repeated in a program without shifts, at the coordinates worked out in whole micrometres."""
    here, shift = {"X": 0, "Y": 0, "Z": 0}, {"X": 0, "Y": 0, "Z": 0}
    shifted, plain = ["G21 G90", "G0 X0 Y0 Z0"], ["G21 G90", "G0 X0 Y0 Z0"]
    for is_shift, axis, value in steps:
        if is_shift:
            shift[axis] = here[axis] - value
            shifted.append(f"G92 {axis}{value / 1000:.3f}")
        else:
            here[axis] = value + shift[axis]
            shifted.append(f"G0 {axis}{value / 1000:.3f}")
            plain.append(f"G0 {axis}{here[axis] / 1000:.3f}")
    one, other = read("\n".join([*shifted, "M30"]), PLAIN), read("\n".join([*plain, "M30"]), PLAIN)
    assert one.complaints == other.complaints == ()
    for axis in "xyz":
        places = getattr(one, axis) + getattr(one, f"shift_{axis}")
        np.testing.assert_allclose(places, getattr(other, axis), rtol=0, atol=1e-9)
