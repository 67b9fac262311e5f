"""Strips: counted by hand on the octagon in a square, and what all orders have in common."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from polypocket.model.job import NOTHING_LEFT
from polypocket.plan.cuts import Cut
from polypocket.plan.strips import Order, corner_by_corner, flat_by_flat, nearest_first, strips
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

SQUARE = rectangle_outline(40.0, 40.0)
ORDERS = [flat_by_flat, corner_by_corner, nearest_first]


def lines_of(polygon: RegularPolygon) -> dict[int, Line]:
    return {flat: Line(polygon.direction(flat), polygon.inradius) for flat in range(1, polygon.sides + 1)}


def cut(polygon: RegularPolygon, order: Order, stepover: float) -> tuple[Cut, ...]:
    return strips(SQUARE, lines_of(polygon), 5.0, stepover, order)


@pytest.mark.parametrize("order", ORDERS)
def test_octagon_in_a_square_of_its_size(order: Order) -> None:
    """Common practice, no source: each corner triangle has legs s·(1 − 1/√2), so it is s·(√2 − 1)/2 high.

    Here 40 · 0.2071 = 8.284 mm: four strips of 2 mm on each of the four corners, and one for what is over.
    """
    cuts = cut(RegularPolygon(8, 20.0), order, 2.0)
    assert len(cuts) == 4 * 5
    assert {each.flats for each in cuts} == {(2,), (4,), (6,), (8,)}
    for each in cuts:
        (line,) = each.lines
        width = 8.284271 - 4.0 * 2.0 if each.index == 1 else 2.0
        assert each.before.support(line.direction) - line.distance == pytest.approx(width)


@pytest.mark.parametrize("order", ORDERS)
@given(
    sides=st.integers(3, 16),
    share=st.floats(0.3, 1.0),
    first=st.floats(0.0, 6.3),
    stepover=st.floats(0.8, 5.0),
)
def test_any_order_leaves_the_polygon(
    order: Order, sides: int, share: float, first: float, stepover: float
) -> None:
    polygon = RegularPolygon(sides, share * 20.0 * math.cos(math.pi / sides), first)
    cuts = cut(polygon, order, stepover)
    for before, after in zip((SQUARE, *(each.after for each in cuts)), cuts, strict=False):
        assert after.before == before
    for each in cuts:
        (line,) = each.lines
        width = each.before.support(line.direction) - line.distance
        assert 0.0 < width <= stepover + 2e-6
    left = shapely.Polygon((cuts[-1].after if cuts else SQUARE).vertices)
    wanted = shapely.Polygon(polygon.vertices())
    assert left.difference(wanted.buffer(2.0 * NOTHING_LEFT)).area < 1e-9
    assert wanted.difference(left.buffer(1e-9)).area < 1e-6


def test_strips_are_counted_from_the_outside() -> None:
    cuts = cut(RegularPolygon(8, 20.0), flat_by_flat, 2.0)
    assert [(each.flats[0], each.index) for each in cuts] == [
        (flat, index) for flat in (2, 4, 6, 8) for index in (1, 2, 3, 4, 5)
    ]


def test_corner_by_corner_goes_there_and_back() -> None:
    """A 12-gon in a square: each corner has two flats, 2 and 3 the first; they take turns until flat 1 is level."""
    cuts = cut(RegularPolygon(12, 19.0), corner_by_corner, 2.0)
    assert [each.flats[0] for each in cuts][:6] == [2, 3, 2, 3, 2, 3]
    flats = [each.flats[0] for each in cuts]
    assert [flat for i, flat in enumerate(flats) if flat in (2, 5, 8, 11) and flat not in flats[:i]] == [
        2,
        5,
        8,
        11,
    ]


def test_nearest_first_begins_where_the_last_one_ended() -> None:
    """Two strips off each face of a square: the end of one is beside the beginning of the next anticlockwise."""
    cuts = cut(RegularPolygon(4, 17.0), nearest_first, 2.0)
    assert [(each.flats[0], each.index) for each in cuts] == [
        (flat, index) for index in (1, 2) for flat in (1, 2, 3, 4)
    ]


def test_a_sliver_is_no_strip_of_its_own() -> None:
    """3387 strips of 0.0005 mm are 1.6935 mm; what binary fractions leave over those is not one more."""
    lines = {1: Line(0.0, 18.3065)}
    assert len(strips(SQUARE, lines, 5.0, 20.0 - 19.9995, flat_by_flat)) == 3387


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
