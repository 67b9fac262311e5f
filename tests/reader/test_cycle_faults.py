"""Drilling cycles that are refused, and where the blame is put: NISTIR 6556, section 3.5.16, in part from memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import pytest

from polypocket.reader import Track

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("G81 Z1 R2 G99", None),
        ("G81 G99", (1, 1, "unread")),
        ("G81 G99 X4 Z1 R2\nR3", (2, 1, "unread")),
        ("G81 G99 X4 Z1 R2\nL2", (2, 1, "unread")),
        ("G82 G99 X4 Z1 R2 P1\nP2", (2, 1, "unread")),
        ("G81 G99 X4 Z1", (1, 1, "unread")),
        ("G81 G99 X4 R2", (1, 1, "unread")),
        ("G82 G99 X4 Z1 R2", (1, 1, "unread")),
        ("G83 G99 X4 Z1 R2", (1, 1, "unread")),
        ("G81 G99 X4 Z2 R1", (1, 15, "unread")),
        ("G81 G99 X4 Z2 R2", None),
        ("G91 G81 G99 X4 Z1 R1", (1, 19, "unread")),
        ("G81 G99 X4 Z1 R2 L0", (1, 18, "unread")),
        ("G81 G99 X4 Z1 R2 L-1", (1, 18, "unread")),
        ("G81 G99 X4 Z1 R2 L1.5", (1, 18, "unread")),
        ("G81 G99 X4 Z1 R2 L1", None),
        ("G83 G99 X4 Z1 R2 Q0", (1, 18, "unread")),
        ("G83 G99 X4 Z1 R2 Q-1", (1, 18, "unread")),
        ("G82 G99 X4 Z1 R2 P-1", (1, 18, "unread")),
        ("G82 G99 X4 Z1 R2 P0", None),
        ("G81 G99 X4 Z1 R2 Q1", (1, 18, "unread")),
        ("G81 G99 X4 Z1 R2 P1", (1, 18, "unread")),
        ("G82 G99 X4 Z1 R2 P1 Q1", (1, 21, "unread")),
        ("G81 G99 X4 Z1 R2 I1", (1, 18, "unread")),
        ("G93 G81 G99 X4 Z1 R2 F5", (1, 13, "unread")),
        ("G53 G81 G99 X4 Z1 R2", (1, 1, "unread")),
        ("G82 G99 X4 Z1 R2 P1 G4", (1, 21, "unread")),
        ("G81 X4 Z1 R2\nX5", (1, 5, "unread")),
        ("G81 G99 X4 Z1 R2\nG0 X5\nG81 X6 Z1", (3, 1, "unread")),
        ("G81 G99 X4 Z1 R2\nG80\nG81 X6 R2", (3, 1, "unread")),
        ("G81 G99 X4 Z1 R2\nG82 X6 P1", (2, 1, "unread")),
        ("G81 G99 X4 Z1 R2\nG91 X1", (2, 5, "unread")),
        ("G81 G99 X4 Z1 R2\nG18 X1", (2, 5, "unread")),
        ("G55\nG81 G99 X4 Z1 R2", (2, 9, "unread")),
        ("G53 G0 Z0\nG81 G99 X4 Z1 R2", (2, 9, "unread")),
        ("G53 G0 X0\nG91 G81 G99 X4 Z-1 R0", (2, 13, "unread")),
        ("G83 G99 X4 Z-100 R2 Q0.0001", (1, 9, "unread")),
        ("G91 G81 G99 X4 Z-1 R0 L99999", (1, 13, "unread")),
    ],
)
def test_what_is_wrong_with_a_cycle(places: Places, body: str, place: tuple[int, int, str] | None) -> None:
    assert places(body) == ([] if place is None else [place])


def test_a_cycle_without_a_feed(places: Places) -> None:
    assert places("G81 G99 X4 Z1 R2", before="G21 G90 G17\nG0 X1 Y2 Z3\n") == [(1, 9, "no-feed")]


def test_a_cycle_before_its_plane_is_set(places: Places) -> None:
    assert places("G81 G99 X4 Z1 R2\nX5", before="G21 G90\nF100\nG0 X1 Y2 Z3\n") == [(1, 9, "unread")]


def test_a_cycle_with_radius_compensation_on(places: Places) -> None:
    assert (2, 1, "compensation") in places("G41 D1\nG81 G99 X4 Z1 R2")


def test_a_control_whose_cycles_may_take_other_words(places: Places) -> None:
    assert places("G81 G99 X4 Z1 R2", cycles=False) == [(1, 1, "unread")]
    assert places("G80", cycles=False) == []


def test_after_a_cycle_that_is_refused_the_height_is_not_known(places: Places) -> None:
    assert places("G81 G99 X4 Z2 R1\nG0 G90 X5\nG91 Z1") == [(1, 15, "unread"), (3, 5, "unread")]


@pytest.mark.parametrize(
    ("body", "text"),
    [
        ("G81 G99 X4 Z1", "G81 without R"),
        ("G81 G99 X4 R2", "G81 without Z"),
        ("G18 G81 G99 X4 Z1 R2", "G81 without Y"),
        ("G82 G99 X4 Z1 R2", "G82 without P"),
        ("G83 G99 X4 Z1 R2", "G83 without Q"),
        ("G93 G82 G99 X4 Z1 R2 P1 F5", "the cycle G82 in inverse-time feed; set G94"),
        ("G81 G99 X4 Z1 R2\nG41 D1\nZ0.5", "the cycle G81 while radius compensation is on"),
    ],
)
def test_what_is_said_of_a_cycle(track_of: TrackOf, body: str, text: str) -> None:
    assert text in [complaint.text for complaint in track_of(body).complaints]


def test_a_cycle_that_goes_on_with_radius_compensation_on(places: Places) -> None:
    """X and Y are refused with their motion; a Z alone would drill all the same."""
    assert (3, 1, "compensation") in places("G81 G99 X4 Z1 R2\nG41 D1\nZ0.5")


def test_r_that_is_now_below_the_bottom_and_stands_on_no_word_of_the_line(places: Places) -> None:
    assert places("G81 G99 X4 Z1 R2\nX5 Z3") == [(2, 1, "unread")]


@pytest.mark.parametrize(
    ("line", "most"),
    [
        ("G91 G81 G99 X0 Z-1 R0 L1000", True),
        ("G91 G81 G99 X0 Z-1 R0 L1001", False),
        ("G91 G83 G99 X0 Z-1 R0 Q10 L1000", True),
        ("G91 G83 G99 X0 Z-1 R0 Q10 L1001", False),  # each is one hole, if not a whole peck
        ("G83 G99 X4 Z-0.5 R0.5 Q0.001", True),
        ("G83 G99 X4 Z-0.5 R0.5 Q0.0009", False),
    ],
)
def test_a_thousand_holes_or_pecks_and_no_more(places: Places, line: str, most: bool) -> None:
    assert bool(places(line)) != most
