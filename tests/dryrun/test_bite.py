"""Width and side of a cut against elementary geometry."""

import math

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.bite import Bite, bite_of
from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import thick_part
from polypocket.dryrun.sweeps import Sweeper, sweep
from polypocket.reader import Kind

R = 5.0


def motion(kind: Kind, begin: tuple[float, float], end: tuple[float, float], **other: object) -> Motion:
    given = {"centre": (math.nan, math.nan), "turns": 0, "rate": 300.0, "rpm": 3000.0, "tool": 1}
    return Motion(0, 1, kind, (*begin, -2.0), (*end, -2.0), compensated=False, **given | other)


def bite(each: Motion, stock: BaseGeometry) -> Bite:
    region = thick_part(sweep(each, (0.0, 1.0), R).intersection(stock))
    return bite_of(Sweeper(each, R), [Piece(-2.0, 0.0, region)])


@pytest.mark.parametrize("turned", [0.0, 0.3, 1.0, 2.2, 3.0, 4.4, 5.9])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_straight_cut_along_an_edge(turned: float, side: float) -> None:
    # travel along +X on the line y = 0; the stock's edge is 1.8 mm inside the rim of the sweep
    stock = shapely.box(-20.0, 3.2, 20.0, 30.0) if side > 0.0 else shapely.box(-20.0, -30.0, 20.0, -3.2)
    stock = shapely.affinity.rotate(stock, turned, origin=(0.0, 0.0), use_radians=True)
    c, s = math.cos(turned), math.sin(turned)
    result = bite(motion(Kind.FEED, (-40.0 * c, -40.0 * s), (40.0 * c, 40.0 * s)), stock)
    assert result.width == pytest.approx(1.8, abs=1e-5)
    assert result.is_left == (side > 0.0)
    assert result.height == 2.0
    assert max(result.left, result.right) == pytest.approx(1.8 * 40.0, rel=0.005)
    assert min(result.left, result.right) == pytest.approx(0.0, abs=1e-3)


def test_a_slot_is_as_wide_as_the_cutter() -> None:
    result = bite(motion(Kind.FEED, (-40.0, 0.0), (40.0, 0.0)), shapely.box(-20.0, -30.0, 20.0, 30.0))
    assert result.width == pytest.approx(2.0 * R, abs=1e-5)
    assert result.left == pytest.approx(result.right, rel=1e-5)


@pytest.mark.parametrize("anticlockwise", [True, False])
@pytest.mark.parametrize(("allowance", "width"), [(0.2, 0.2), (2.0, 2.0), (3.5, 7.0)])
def test_a_corner_of_a_triangle_that_is_rolled_round(
    anticlockwise: bool, allowance: float, width: float
) -> None:
    # Rolling about the corner of a part in the origin, with an allowance a on both flats. The cut along the flat
    # before clears what is within r of the cutter's centre at the tangent point, and leaves the point furthest from
    # the corner at ρ = a/cos β = 2r·cos(120° − β); or, where a > r/2, the stock's own corner at β = 60°. When the
    # rim reaches it, it is ρ·cos δ from the rim's inner side, with cos δ = ρ/2r (a triangle with two sides r).
    # On the end's tangent the strip on the next flat lies ahead, a wide.
    angle = math.radians(120.0)
    cleared = math.acos(min(1.0, allowance / R - math.cos(angle)))
    furthest = allowance / math.cos((angle - cleared) / 2.0)
    width = max(allowance, furthest**2 / (2.0 * R))
    c, s = math.cos(math.radians(120.0)), math.sin(math.radians(120.0))
    corner = (allowance, allowance * math.tan(math.radians(60.0)))
    far = (corner[0] - 60.0 * s, corner[1] + 60.0 * c)
    stock = shapely.Polygon([corner, far, (-50.0, -40.0), (allowance, -40.0)])
    first = motion(Kind.FEED, (R, -60.0), (R, 0.0))
    arc = motion(Kind.ARC_ANTICLOCKWISE, (R, 0.0), (R * c, R * s), centre=(0.0, 0.0))
    if not anticlockwise:
        first = motion(Kind.FEED, (R * c - 60.0 * s, R * s + 60.0 * c), (R * c, R * s))
        arc = motion(Kind.ARC_CLOCKWISE, (R * c, R * s), (R, 0.0), centre=(0.0, 0.0))
    result = bite(arc, stock.difference(sweep(first, (0.0, 1.0), R)))
    assert result.width == pytest.approx(width, abs=0.008)
    assert result.is_left == anticlockwise


@pytest.mark.parametrize(("kind", "left"), [(Kind.ARC_CLOCKWISE, True), (Kind.ARC_ANTICLOCKWISE, False)])
def test_clockwise_round_the_inside_of_a_pocket_is_conventional(kind: Kind, left: bool) -> None:
    # two teaching sources (seen): clockwise inside a pocket, anticlockwise round an outside shape
    wall = shapely.box(-40.0, -40.0, 40.0, 40.0).difference(
        shapely.Point(0.0, 0.0).buffer(19.0, quad_segs=400)
    )
    result = bite(motion(kind, (15.0, 0.0), (15.0, 0.0), centre=(0.0, 0.0)), wall)
    assert result.is_left == left
    # the rim of 5 mm about (15, 0) meets the old wall of 19 mm where x = (15² + 19² − 5²)/(2·15) = 18.7
    assert result.width == pytest.approx(20.0 - 18.7, abs=0.005)


def test_round_an_outside_the_cut_is_narrower_than_the_layer() -> None:
    # a disc of 11 mm is turned down to 10: the rim of 5 mm about (15, 0) meets 11 mm where x = (225 + 121 − 25)/30
    stock = shapely.Point(0.0, 0.0).buffer(11.0, quad_segs=400)
    result = bite(motion(Kind.ARC_ANTICLOCKWISE, (15.0, 0.0), (15.0, 0.0), centre=(0.0, 0.0)), stock)
    assert result.is_left
    assert result.width == pytest.approx(10.7 - 10.0, abs=0.005)
