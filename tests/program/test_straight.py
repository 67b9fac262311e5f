"""Straight moves at one rate are written as one, and nothing else is."""

from __future__ import annotations

import math

import pytest

from polypocket.program import Arc, Dwell, Feed, Move, Point, Rapid, without_stops

START = Point(0.0, 0.0, -5.0)


def feed(x: float, y: float = 0.0, z: float | None = -5.0, rate: float = 300.0) -> Feed:
    return Feed(Point(x, y, z), rate)


def test_straight_on_at_one_rate_is_one_move() -> None:
    assert without_stops(START, [feed(1.0), feed(2.5), feed(4.0)]) == (feed(4.0),)


def test_a_leaning_line_is_straight_within_rounding() -> None:
    c, s = math.cos(0.7), math.sin(0.7)
    moves = [feed(k * c, k * s) for k in (0.1, 17.3, 140.0)]
    assert without_stops(START, moves) == (moves[-1],)


@pytest.mark.parametrize(
    "moves",
    [
        [feed(1.0), feed(2.0, rate=200.0)],  # another rate
        [feed(1.0), feed(2.0, 0.001)],  # one step beside the line
        [feed(2.0), feed(1.0)],  # back again
        [feed(1.0), feed(1.0, 1.0)],  # round a corner
        [feed(1.0), feed(2.0, z=-6.0)],  # down on the way
        [feed(1.0), feed(2.0, z=None)],  # not all axes named
        [feed(1.0), Rapid(Point(2.0, 0.0, -5.0))],
        [Rapid(Point(1.0, 0.0, -5.0)), feed(2.0)],
        [feed(1.0), Dwell(1.0), feed(2.0)],
        [Arc(Point(2.0, 0.0, -5.0), (1.0, 0.0), False, 0, 300.0), feed(3.0), feed(4.0, 1.0)],
    ],
)
def test_anything_else_stays(moves: list[Move]) -> None:
    assert without_stops(START, moves) == tuple(moves)


def test_from_nowhere_known_nothing_is_joined() -> None:
    assert without_stops(Point(), [feed(1.0), feed(2.0)]) == (feed(1.0), feed(2.0))


def test_a_run_after_a_corner_is_joined_too() -> None:
    moves = [feed(1.0), feed(1.0, 1.0), feed(1.0, 2.0)]
    assert without_stops(START, moves) == (feed(1.0), feed(1.0, 2.0))


def test_a_long_run_does_not_bend_off_by_and_by() -> None:
    """Each step leans too little to be seen by itself; together they are a curve."""
    moves = [feed(k, 1e-7 * k * k) for k in map(float, range(1, 200))]
    joined = without_stops(START, moves)
    assert len(joined) > 1
    assert joined[-1] == moves[-1]
