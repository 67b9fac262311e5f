"""Where a zero may not be: worked by hand for a box and short ways."""

from __future__ import annotations

import math

import pytest
import shapely

from polypocket.shape.hindrance import hindrance

Pair = tuple[float, float]

#: From 10 to 30 and from 20 to 40.
BOX = (10.0, 20.0, 30.0, 40.0)
#: Within this of the true edge a place may be either, mm.
EITHER = 0.02


@pytest.mark.parametrize(
    ("edge", "out"),
    [
        # On a way from the zero to 5 beside it, the centre is nearer than 3 to the box from here on:
        ((10.0 - 5.0 - 3.0, 30.0), (-1.0, 0.0)),
        ((30.0 + 3.0, 30.0), (1.0, 0.0)),
        ((20.0, 20.0 - 3.0), (0.0, -1.0)),
        ((20.0, 40.0 + 3.0), (0.0, 1.0)),
        # Off a corner it is on a circle of 3 about that.
        ((30.0 + 3.0 * 0.6, 40.0 + 3.0 * 0.8), (0.6, 0.8)),
        ((5.0 - 3.0 * 0.8, 20.0 - 3.0 * 0.6), (-0.8, -0.6)),
    ],
)
def test_a_short_way_beside_a_box(edge: Pair, out: Pair) -> None:
    area = hindrance(BOX, [((0.0, 0.0), (5.0, 0.0))], 3.0)
    (x, y), (dx, dy) = edge, out
    assert area.contains(shapely.Point(edge))
    assert not area.contains(shapely.Point(x + EITHER * dx, y + EITHER * dy))


def test_the_hull_of_one_way_but_not_of_several() -> None:
    """Three corners shut off what is between them; two ways leave what is between: (60, 0) to (-60, 0) of the box."""
    between = shapely.Point(-40.0, 10.0)  # its way's middle, (60, 20), is in the box's middle
    ends = (0.0, 0.0), (120.0, 40.0)
    assert hindrance(BOX, [ends], 1.0).contains(between)
    assert not hindrance(BOX, [ends[:1], ends[1:]], 1.0).contains(between)
    turned = [((0.0, 0.0), (120.0, 0.0), (60.0, 60.0))]
    assert hindrance(BOX, turned, 1.0).contains(between)


def test_without_ways_nothing_is_forbidden() -> None:
    assert hindrance(BOX, [], 3.0).is_empty


def test_the_polygon_holds_the_circle() -> None:
    """One of 100 mm, the largest that the constants are for, about the corner (30, 40)."""
    area = hindrance(BOX, [((0.0, 0.0),)], 100.0)
    for i in range(901):
        angle = math.pi / 2.0 * i / 900
        point = shapely.Point(30.0 + 100.0 * math.cos(angle), 40.0 + 100.0 * math.sin(angle))
        assert area.contains(point)
