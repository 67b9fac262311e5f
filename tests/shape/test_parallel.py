"""Parallels and their joints, worked by hand."""

from __future__ import annotations

import math

import pytest

from polypocket.shape.parallel import (
    SHORTEST,
    Joint,
    Misfit,
    Piece,
    joint,
    tangent_point,
    turn_between,
)

HALF_TURN = math.pi


def test_a_line() -> None:
    line = Piece((1.0, 2.0), (4.0, 6.0))  # 3, 4, 5
    assert (line.length, line.radius) == (5.0, math.inf)
    assert line.start_direction == line.end_direction == pytest.approx((0.6, 0.8))
    left = line.parallel(10.0)
    assert (*left.start, *left.end) == pytest.approx((-7.0, 8.0, -4.0, 12.0))
    assert line.along((1.0 + 1.2, 2.0 + 1.6)) == pytest.approx(2.0)
    assert line.before_end((1.0 + 1.2, 2.0 + 1.6)) == pytest.approx(3.0)
    assert line.along((1.0 - 0.6, 2.0 - 0.8)) == pytest.approx(-1.0)


@pytest.mark.parametrize(("sweep", "inwards"), [(HALF_TURN, 1.0), (-HALF_TURN, -1.0)])
def test_an_arc(sweep: float, inwards: float) -> None:
    # Half a circle of 10 about (10, 0), from the origin to (20, 0); its centre is on the left if anticlockwise.
    arc = Piece((0.0, 0.0), (20.0, 0.0), (10.0, 0.0), sweep)
    assert arc.radius == 10.0
    assert arc.length == pytest.approx(10.0 * HALF_TURN)
    assert arc.start_direction == pytest.approx((0.0, -inwards), abs=1e-12)
    assert arc.end_direction == pytest.approx((0.0, inwards), abs=1e-12)
    assert arc.radius_at(3.0 * inwards) == pytest.approx(7.0)
    assert arc.radius_at(-3.0 * inwards) == pytest.approx(13.0)
    assert arc.radius_at(12.0 * inwards) == pytest.approx(-2.0)
    inner = arc.parallel(3.0 * inwards)
    assert (*inner.start, *inner.end) == pytest.approx((3.0, 0.0, 17.0, 0.0), abs=1e-12)
    assert (inner.centre, inner.sweep) == (arc.centre, sweep)
    middle = (10.0, -10.0 * inwards)
    assert arc.along(middle) == pytest.approx(10.0 * HALF_TURN / 2.0)
    assert arc.before_end(middle) == pytest.approx(10.0 * HALF_TURN / 2.0)
    assert arc.along((0.0, 1e-7 * inwards)) == 0.0  # a rounding before the start is no full turn
    assert arc.along((10.0, 10.0 * inwards)) == pytest.approx(10.0 * 1.5 * HALF_TURN)


EAST = Piece((-20.0, 0.0), (0.0, 0.0))


@pytest.mark.parametrize("degrees", [1.0, 45.0, 90.0, 120.0, 170.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_two_lines(degrees: float, side: float) -> None:
    turn = side * math.radians(degrees)
    away = Piece((0.0, 0.0), (50.0 * math.cos(turn), 50.0 * math.sin(turn)))
    # Towards the parallels each loses r tan(t/2); away from them both end beside the corner.
    found = joint(EAST, away, 1.5 * side)
    assert isinstance(found, Joint)
    cut = 1.5 * math.tan(abs(turn) / 2.0)
    assert found.before == found.after == pytest.approx((-cut, 1.5 * side))
    assert (found.first_cut, found.second_cut) == pytest.approx((cut, cut))
    found = joint(EAST, away, -1.5 * side)
    assert isinstance(found, Joint)
    assert found.before == pytest.approx((0.0, -1.5 * side))
    assert found.after == pytest.approx((1.5 * side * math.sin(turn), -1.5 * side * math.cos(turn)))
    assert (found.first_cut, found.second_cut) == (0.0, 0.0)


def test_a_corner_without_room() -> None:
    # 8 tan 60° = 13.856 is cut off each; the second is 10 long.
    away = Piece((0.0, 0.0), (10.0 * math.cos(2.0 * math.pi / 3.0), 10.0 * math.sin(2.0 * math.pi / 3.0)))
    found = joint(EAST, away, 8.0)
    assert isinstance(found, Misfit)
    assert found.missing == pytest.approx(8.0 * math.sqrt(3.0) - 10.0)


@pytest.mark.parametrize("distance", [3.0, -3.0])
def test_straight_back(distance: float) -> None:
    assert joint(EAST, Piece((0.0, 0.0), (-5.0, 0.0)), distance) == Misfit(None)


@pytest.mark.parametrize("turn", [0.0, 1e-7, -1e-7])
def test_a_turn_that_is_rounding_makes_no_arc(turn: float) -> None:
    found = joint(EAST, Piece((0.0, 0.0), (9.0, 9.0 * turn)), 4.0)
    assert isinstance(found, Joint)
    assert found.before == found.after == pytest.approx((0.0, 4.0), abs=SHORTEST)


def test_a_line_and_an_arc_that_cross_twice_end_at_the_corner() -> None:
    # The chord of 16 of a circle of 10 about (0, 6), and the long way back. 2 within: y = 2 meets the circle of 8
    # at x = ±√(8² − 4²) = ±6.9282, both on the two parallels.
    chord = Piece((-8.0, 0.0), (8.0, 0.0))
    arc = Piece((8.0, 0.0), (-8.0, 0.0), (0.0, 6.0), 2.0 * math.pi - 2.0 * math.asin(0.8))
    found = joint(chord, arc, 2.0)
    assert isinstance(found, Joint)
    assert found.before == found.after == pytest.approx((math.sqrt(48.0), 2.0))
    found = joint(arc, chord, 2.0)
    assert isinstance(found, Joint)
    assert found.before == pytest.approx((-math.sqrt(48.0), 2.0))


def test_a_crossing_beyond_the_corner_is_none() -> None:
    # Up into a clockwise half circle of 10 about (10, 0): y = 2 meets the circle of 12 at x = 10 ∓ √(12² − 2²), which
    # is −1.8322 or 21.8322. The line is only 1 long, and the second lies beyond its end.
    arc = Piece((0.0, 0.0), (20.0, 0.0), (10.0, 0.0), -HALF_TURN)
    found = joint(Piece((-1.0, 0.0), (0.0, 0.0)), arc, 2.0)
    assert isinstance(found, Misfit)
    assert found.missing == pytest.approx(math.sqrt(140.0) - 10.0 - 1.0)
    found = joint(EAST, arc, 2.0)
    assert isinstance(found, Joint)
    assert found.before == pytest.approx((10.0 - math.sqrt(140.0), 2.0))


def test_arcs_whose_parallels_do_not_meet() -> None:
    # Circles of 10 about (∓6, 0); 5 within they are 5, and 12 − 10 = 2 apart.
    angle = 2.0 * math.asin(0.8)
    right = Piece((0.0, -8.0), (0.0, 8.0), (-6.0, 0.0), angle)
    left = Piece((0.0, 8.0), (0.0, -8.0), (6.0, 0.0), angle)
    assert joint(right, left, 5.0) == Misfit(pytest.approx(2.0))
    found = joint(right, left, 2.0)
    assert isinstance(found, Joint)
    assert found.before == pytest.approx((0.0, math.sqrt(28.0)))


def test_a_line_whose_parallel_misses_the_arc_s() -> None:
    # The chord y = 0 cuts off a cap 4 high of the circle of 10 about (0, −6). 3 above the chord the circle of 7
    # reaches up to y = 1 only: 2 apart.
    arc = Piece((8.0, 0.0), (-8.0, 0.0), (0.0, -6.0), 2.0 * math.asin(0.8))
    assert joint(Piece((-8.0, 0.0), (8.0, 0.0)), arc, 3.0) == Misfit(pytest.approx(2.0))


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_the_tangent_point(side: float) -> None:
    # The right triangle 5, 12, 13.
    assert tangent_point((-13.0, 0.0), (0.0, 0.0), 5.0 * side) == pytest.approx(
        (-25.0 / 13.0, 60.0 / 13.0 * side)
    )


def test_turns() -> None:
    assert turn_between((1.0, 0.0), (0.0, 1.0)) == pytest.approx(math.pi / 2.0)
    assert turn_between((0.0, 1.0), (1.0, 0.0)) == pytest.approx(-math.pi / 2.0)
