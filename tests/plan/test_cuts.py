"""One cut along one flat: worked by hand on a square, and its mirror image."""

from __future__ import annotations

import math

import pytest

from polypocket.plan.clearances import LEAST_GAP, OVERRUN, SIDE
from polypocket.plan.cuts import Cut, Stretch, beginning, cut_along, mirror_outline, mirrored
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.stroke import Line

SQUARE = rectangle_outline(40.0, 40.0)


@pytest.fixture
def cut() -> Cut:
    """Two millimetres off the face towards +X, with a cutter of 5 mm radius."""
    return cut_along(1, 1, Line(0.0, 18.0), SQUARE, 5.0)


def test_worked_by_hand(cut: Cut) -> None:
    """The cutter's centre runs along X23 towards +Y. It meets the corner X20 Y-20 4 mm before it (3, 4, 5).

    The corner X18 Y20 of what stays is touched last, when the centre is abreast of it.
    """
    assert cut.contact == pytest.approx((23.0, -24.0))
    assert cut.path == (Stretch((pytest.approx(23.0), pytest.approx(20.0 + OVERRUN)), None),)
    assert cut.leave == pytest.approx((24.0, 20.0 + OVERRUN + SIDE))
    assert cut.before == SQUARE
    assert cut.after.extents() == pytest.approx((-20.0, -20.0, 18.0, 20.0))


@pytest.mark.parametrize("climb", [False, True])
def test_comes_near_in_time(cut: Cut, climb: bool) -> None:
    """Where the working feed begins the cutter is still clear of the corner; where it is approached by even more."""
    here = mirrored(cut) if climb else cut
    corner = 20.0, 20.0 if climb else -20.0
    approach, start = beginning(here, 5.0)
    assert approach[0] == start[0] == pytest.approx(23.0)
    assert math.dist(start, corner) - 5.0 >= LEAST_GAP - 1e-9
    assert math.dist(start, here.contact) >= SIDE - 1e-9
    assert math.dist(approach, corner) - 5.0 >= SIDE - 1e-9
    assert math.dist(approach, here.contact) >= math.dist(start, here.contact)


def test_mirror_image(cut: Cut) -> None:
    other = mirrored(cut)
    assert not other.anticlockwise
    assert other.flats == (-1,)
    assert other.contact == pytest.approx((23.0, 24.0))
    assert other.path[0].to == pytest.approx((23.0, -20.0 - OVERRUN))
    assert other.after.area == pytest.approx(cut.after.area)
    assert mirrored(other) == cut


def test_a_mirrored_outline_runs_anticlockwise(cut: Cut) -> None:
    assert mirror_outline(cut.after).area == pytest.approx(18.0 * 40.0 + 20.0 * 40.0)
