"""Lengths of cutters, G43 and G49: NISTIR 6556, section 3.5.11, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Track

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]


def test_a_length_is_in_force_from_its_line_on(track_of: TrackOf) -> None:
    track = track_of("G43 H5 G0 Z10\nX7\nG43 H6 Z10\nG49\nG0 X8")
    assert track.complaints == ()
    assert track.length_register.tolist() == [0, 5, 5, 6, 0, 0]


def test_another_length_makes_the_height_unknown(track_of: TrackOf, places: Places) -> None:
    track = track_of("G43 H5\nG0 X5\nZ9\nG43 H5\nG0 X6\nG49\nG0 X7")
    assert track.complaints == ()
    np.testing.assert_array_equal(track.z, [3, np.nan, 9, 9, np.nan, np.nan])
    assert places("G43 H5\nG91 G0 Z1") == [(2, 8, "unread")]
    assert places("G49\nG91 G0 Z1") == []  # none was in force


def test_h0_is_no_length(track_of: TrackOf) -> None:
    track = track_of("G43 H0\nM0\nG43 H2\nG43 H0\nG0 Z1")
    assert track.complaints == ()
    assert track.length_register.tolist() == [0, 0, 0, 0]
    assert track.z[1] == 3.0


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("G43", (1, 1, "tool")),
        ("G43 H-1", (1, 5, "tool")),
        ("G43 H1.5", (1, 5, "tool")),
        ("G43 H100000", (1, 5, "tool")),
        ("H1", (1, 1, "unread")),
        ("G49 H1", (1, 5, "unread")),
        ("G43 H1 D1", (1, 8, "unread")),
    ],
)
def test_lengths_that_are_wrong(places: Places, line: str, place: tuple[int, int, str]) -> None:
    assert places(line) == [place]


@pytest.mark.parametrize("line", ["G43", "G43 H1.5"])
def test_after_a_length_that_is_refused_the_height_is_not_known(track_of: TrackOf, line: str) -> None:
    track = track_of(f"{line}\nM0")
    assert np.isnan(track.z[1])
