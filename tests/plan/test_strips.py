"""Strips: counted by hand on the octagon in a square, and what all orders have in common."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from polypocket.plan.cuts import Cut
from polypocket.plan.strips import (
    NOTHING_LEFT,
    Order,
    corner_by_corner,
    equal_width,
    flat_by_flat,
    nearest_first,
    round_and_round,
    strips,
)
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

SQUARE = rectangle_outline(40.0, 40.0)
ORDERS = [flat_by_flat, round_and_round, corner_by_corner, nearest_first]


def lines_of(polygon: RegularPolygon) -> dict[int, Line]:
    return {flat: Line(polygon.direction(flat), polygon.inradius) for flat in range(1, polygon.sides + 1)}


def cut(
    polygon: RegularPolygon, order: Order, stepover: float, width: float | None = None
) -> tuple[Cut, ...]:
    return strips(SQUARE, lines_of(polygon), 5.0, stepover, order, width)


@pytest.mark.parametrize(
    ("depth", "widest", "expected"),
    [(6.0, 2.0, 2.0), (6.0, 2.5, 2.0), (6.0, 7.0, 6.0), (0.5, 2.0, 0.5), (0.3, 0.1, 0.1)],
)
def test_equal_width(depth: float, widest: float, expected: float) -> None:
    assert equal_width(depth, widest) == pytest.approx(expected)


@pytest.mark.parametrize("order", ORDERS)
def test_octagon_in_a_square_of_its_size(order: Order) -> None:
    """Common practice, no source: each corner triangle has legs s·(1 − 1/√2), so it is s·(√2 − 1)/2 high.

    Here 40 · 0.2071 = 8.284 mm, which takes five strips of at most 2 mm on each of the four corners.
    """
    cuts = cut(RegularPolygon(8, 20.0), order, 2.0)
    assert len(cuts) == 4 * 5
    assert {each.flats for each in cuts} == {(2,), (4,), (6,), (8,)}
    for each in cuts:
        (line,) = each.lines
        assert each.before.support(line.direction) - line.distance == pytest.approx(8.284271 / 5.0)


@pytest.mark.parametrize("order", ORDERS)
@given(
    sides=st.integers(3, 16),
    share=st.floats(0.3, 1.0),
    first=st.floats(0.0, 6.3),
    stepover=st.floats(0.8, 5.0),
    common=st.booleans(),
)
def test_any_order_leaves_the_polygon(
    order: Order, sides: int, share: float, first: float, stepover: float, common: bool
) -> None:
    polygon = RegularPolygon(sides, share * 20.0 * math.cos(math.pi / sides), first)
    cuts = cut(polygon, order, stepover, stepover if common else None)
    for before, after in zip((SQUARE, *(each.after for each in cuts)), cuts, strict=False):
        assert after.before == before
    for each in cuts:
        (line,) = each.lines
        width = each.before.support(line.direction) - line.distance
        assert NOTHING_LEFT < width <= stepover + 1e-9
    left = shapely.Polygon((cuts[-1].after if cuts else SQUARE).vertices)
    wanted = shapely.Polygon(polygon.vertices())
    assert left.difference(wanted.buffer(2.0 * NOTHING_LEFT)).area < 1e-9
    assert wanted.difference(left.buffer(1e-9)).area < 1e-6


def test_strips_are_counted_from_the_outside() -> None:
    cuts = cut(RegularPolygon(8, 20.0), flat_by_flat, 2.0)
    assert [(each.flats[0], each.index) for each in cuts] == [
        (flat, index) for flat in (2, 4, 6, 8) for index in (1, 2, 3, 4, 5)
    ]


def test_round_and_round_takes_each_flat_in_turn() -> None:
    cuts = cut(RegularPolygon(8, 20.0), round_and_round, 2.0)
    assert [(each.flats[0], each.index) for each in cuts] == [
        (flat, index) for index in (1, 2, 3, 4, 5) for flat in (2, 4, 6, 8)
    ]


def test_nearest_first_begins_where_the_last_one_ended() -> None:
    """Beside a corner of the hexagon lies the next flat anticlockwise; the one after it is further off."""
    cuts = cut(RegularPolygon(6, 16.0), nearest_first, 5.0)
    flats = [each.flats[0] for each in cuts]
    assert sorted(set(flats)) == [1, 2, 3, 4, 5, 6]
    assert all((b - a) % 6 <= 1 for a, b in pairwise(flats))


def test_nothing_to_cut() -> None:
    assert (
        strips(
            Outline(RegularPolygon(6, 10.0).vertices()),
            lines_of(RegularPolygon(6, 10.0)),
            5.0,
            2.0,
            flat_by_flat,
        )
        == ()
    )
