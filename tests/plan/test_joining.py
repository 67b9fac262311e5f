"""Cuts that roll round corners: worked by hand on a square that is made smaller by one strip."""

from __future__ import annotations

import math

import pytest

from polypocket.plan.cuts import Cut, Stretch
from polypocket.plan.joining import joined
from polypocket.plan.strips import corner_by_corner, strips
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

RADIUS = 5.0


def cuts_round_a_square(strip: float, width: float | None = None) -> tuple[Cut, ...]:
    lines = {flat: Line((flat - 1) * math.pi / 2.0, 20.0 - strip) for flat in (1, 2, 3, 4)}
    return strips(rectangle_outline(40.0, 40.0), lines, RADIUS, width or strip, corner_by_corner)


def test_one_turn_in_one_cut() -> None:
    """All four flats at 18 mm are one cut, which rolls about three corners with the cutter's radius."""
    (cut,) = joined(cuts_round_a_square(2.0), RADIUS, 2.0, 2.0 * math.sqrt(2.0) + 0.01)
    assert cut.flats == (1, 2, 3, 4)
    corners = [stretch for stretch in cut.path if stretch.centre]
    expected = [
        ((18.0, 18.0), (18.0, 23.0)),
        ((-18.0, 18.0), (-23.0, 18.0)),
        ((-18.0, -18.0), (-18.0, -23.0)),
    ]
    assert [each.centre for each in corners] == [pytest.approx(centre) for centre, _ in expected]
    assert [each.to for each in corners] == [pytest.approx(to) for _, to in expected]
    assert cut.path[0] == Stretch((pytest.approx(23.0), pytest.approx(18.0)), None)
    assert cut.before.area == pytest.approx(1600.0)
    assert cut.after.area == pytest.approx(36.0**2)


def test_no_rolling_where_the_corner_is_too_thick() -> None:
    """Measured from the new corner the old one is √2 strips away; that is more than may be taken."""
    cuts = cuts_round_a_square(2.0)
    assert joined(cuts, RADIUS, 2.0, 2.0 * math.sqrt(2.0) - 0.01) == cuts


def test_no_rolling_on_to_a_strip_that_is_too_wide() -> None:
    """What the first cut leaves past the corner is the second one's to take, and may be no wider than any strip."""
    cuts = cuts_round_a_square(2.0)
    assert joined(cuts, RADIUS, 1.99, RADIUS) == cuts


def test_no_cut_goes_round_twice() -> None:
    cuts = joined(cuts_round_a_square(4.0, 2.0), RADIUS, RADIUS, RADIUS)
    assert [each.flats for each in cuts] == [(1, 2, 3, 4), (1, 2, 3, 4)]
    assert [each.index for each in cuts] == [1, 2]


def test_flats_that_do_not_meet_stay_apart() -> None:
    """Opposite flats have no corner between them."""
    lines = {1: Line(0.0, 18.0), 2: Line(math.pi, 18.0)}
    cuts = strips(rectangle_outline(40.0, 40.0), lines, RADIUS, 2.0, corner_by_corner)
    assert joined(cuts, RADIUS, RADIUS, RADIUS) == cuts


def test_no_rolling_where_nothing_stands_at_the_corner() -> None:
    """The octagon of the square's own size: between two of its diagonal flats lies a face that is not cut."""
    lines = {flat: Line((2 * flat - 1) * math.pi / 4.0, 27.0) for flat in (1, 2, 3, 4)}
    cuts = strips(rectangle_outline(40.0, 40.0), lines, RADIUS, 2.0, corner_by_corner)
    assert len(cuts) == 4
    assert joined(cuts, RADIUS, RADIUS, RADIUS) == cuts


def pair(first: float, second: float) -> tuple[Cut, ...]:
    """Cut two faces of the square back to 18 mm, the one that faces ``first`` degrees before the other."""
    lines = {1: Line(math.radians(first), 18.0), 2: Line(math.radians(second), 18.0)}
    cuts = strips(rectangle_outline(40.0, 40.0), lines, RADIUS, 2.0, corner_by_corner)
    assert [cut.flats for cut in cuts] == [(1,), (2,)]
    return cuts


def test_directions_count_on_beyond_a_full_turn() -> None:
    """From the face towards -Y, at 270°, on to the one towards +X, at 0°, is a quarter turn anticlockwise."""
    (cut,) = joined(pair(270.0, 0.0), RADIUS, 2.0, RADIUS)
    assert cut.flats == (1, 2)
    assert [stretch.centre for stretch in cut.path if stretch.centre] == [pytest.approx((18.0, -18.0))]


def test_no_rolling_backwards() -> None:
    """From the face towards +Y to the one towards +X it would be three quarters of a turn."""
    cuts = pair(90.0, 0.0)
    assert joined(cuts, RADIUS, 2.0, RADIUS) == cuts


def test_only_what_lies_between_the_two_directions_must_be_thin() -> None:
    """A 12-gon made smaller by 2 mm: 2 / cos 15° thick at the corners, though 2 / sin 30° = 4 mm along the lines."""
    polygon = RegularPolygon(12, 20.0)
    lines = {flat: Line(polygon.direction(flat), 18.0) for flat in range(1, 13)}
    cuts = strips(polygon.outline(), lines, RADIUS, 2.0, corner_by_corner)
    (cut,) = joined(cuts, RADIUS, 2.0, 2.0 / math.cos(math.radians(15.0)))
    assert cut.flats == tuple(range(1, 13))
    assert joined(cuts, RADIUS, 2.0, 2.0 / math.cos(math.radians(15.0)) - 0.001) == cuts
