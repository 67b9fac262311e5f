"""Regular polygons against handbook tables, a standard's sizes and exact arithmetic."""

import math

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from polypocket.shape.outline import rectangle_outline
from polypocket.shape.polygon import RegularPolygon

# Machinery's Handbook, 31st ed., p. 82: sides, R/r, S/R, S/r (R circumradius, r inradius, S side), to 4 decimals.
# The row of 11 sides is not in the table; it was computed.
HANDBOOK = [
    (3, 2.0000, 1.7321, 3.4641),
    (4, 1.4142, 1.4142, 2.0000),
    (5, 1.2361, 1.1756, 1.4531),
    (6, 1.1547, 1.0000, 1.1547),
    (7, 1.1099, 0.8678, 0.9631),
    (8, 1.0824, 0.7654, 0.8284),
    (9, 1.0642, 0.6840, 0.7279),
    (10, 1.0515, 0.6180, 0.6498),
    (11, 1.0422, 0.5635, 0.5873),
    (12, 1.0353, 0.5176, 0.5359),
]
PRINTED = 0.5e-4

# ISO 4014 (product grade A; from 46 up grade B) and ISO 4032, from secondary tables: width across flats s, s min,
# width across corners e min, and 2s/√3 to 3 decimals, all mm.
ISO_HEXAGONS = [
    (7.0, 6.78, 7.66, 8.083),
    (8.0, 7.78, 8.79, 9.238),
    (10.0, 9.78, 11.05, 11.547),
    (13.0, 12.73, 14.38, 15.011),
    (16.0, 15.73, 17.77, 18.475),
    (18.0, 17.73, 20.03, 20.785),
    (24.0, 23.67, 26.75, 27.713),
    (30.0, 29.67, 33.53, 34.641),
    (36.0, 35.38, 39.98, 41.569),
    (46.0, 45.0, 50.85, 53.116),
    (55.0, 53.8, 60.79, 63.509),
    (75.0, 73.1, 82.6, 86.603),
]

sides = st.integers(3, 40)
odd_sides = st.integers(1, 20).map(lambda half: 2 * half + 1)
inradii = st.floats(0.5, 500.0)
directions = st.floats(-7.0, 7.0)


def with_circumradius(count: int, radius: float) -> RegularPolygon:
    return RegularPolygon(count, radius * math.cos(math.pi / count))


@pytest.mark.parametrize(
    ("count", "circumradius_per_inradius", "side_per_circumradius", "side_per_inradius"), HANDBOOK
)
def test_ratios_of_the_handbook(
    count: int, circumradius_per_inradius: float, side_per_circumradius: float, side_per_inradius: float
) -> None:
    polygon = RegularPolygon(count, 25.0)
    assert polygon.circumradius / 25.0 == pytest.approx(circumradius_per_inradius, abs=PRINTED)
    assert polygon.side / polygon.circumradius == pytest.approx(side_per_circumradius, abs=PRINTED)
    assert polygon.side / 25.0 == pytest.approx(side_per_inradius, abs=PRINTED)


def test_twelve_sides_in_a_circle_of_8_cm() -> None:
    # Machinery's Handbook, 31st ed.: side 4.141 cm, area printed as 191.98 cm²; 3·R² = 192 exactly.
    polygon = with_circumradius(12, 80.0)
    assert polygon.side == pytest.approx(41.41, abs=0.005)
    assert polygon.area == pytest.approx(19200.0, abs=1e-9)
    assert polygon.area == pytest.approx(19198.0, abs=2.5)


def test_hexagon_in_a_circle_of_6_inches() -> None:
    # Machinery's Handbook, from memory: area 23.38 in², inradius 2.598 in.
    polygon = with_circumradius(6, 3.0 * 25.4)
    assert polygon.area / 25.4**2 == pytest.approx(23.38, abs=0.005)
    assert polygon.inradius / 25.4 == pytest.approx(2.598, abs=0.0005)
    assert polygon.side == pytest.approx(3.0 * 25.4, abs=1e-9)  # dividers step round the circle six times


def test_octagon_in_a_circle_of_100_mm() -> None:
    # Machinery's Handbook, from memory: inradius 46.194 mm.
    assert with_circumradius(8, 50.0).inradius == pytest.approx(46.194, abs=0.0005)


def test_octagon_in_a_square() -> None:
    # Common practice, no source: half the diagonal swung from each corner marks an octagon that measures the square's
    # side across flats; each corner triangle that comes off has legs of side·(1 − 1/√2).
    square = 100.0
    octagon = RegularPolygon.from_across_flats(8, square)
    cut = rectangle_outline(square, square)
    for flat in range(2, 9, 2):
        cut = cut.clip(octagon.direction(flat), octagon.inradius)
    leg = square * (1.0 - 1.0 / math.sqrt(2.0))
    assert cut.area == pytest.approx(square**2 - 4.0 * leg**2 / 2.0, abs=1e-9)
    marks = {(50.0, 50.0 - leg), (50.0 - leg, 50.0)}
    assert all(any(math.dist(mark, corner) < 1e-9 for corner in octagon.vertices()) for mark in marks)
    assert cut.area == pytest.approx(octagon.area, abs=1e-9)


@pytest.mark.parametrize(("across_flats", "least_flats", "least_corners", "sharp"), ISO_HEXAGONS)
def test_hexagons_of_bolts_and_nuts(
    across_flats: float, least_flats: float, least_corners: float, sharp: float
) -> None:
    across_corners = RegularPolygon.from_across_flats(6, across_flats).across_corners
    assert across_corners == pytest.approx(sharp, abs=0.5e-3)
    # e min allows rounded corners: it is 1.13 · s min, to 0.01 mm, and not the sharp hexagon's 2s/√3.
    assert least_flats * 1.13 <= least_corners + 0.01
    assert least_corners <= across_corners
    assert least_corners < RegularPolygon.from_across_flats(6, least_flats).across_corners


@pytest.mark.parametrize("count", range(3, 17))
def test_lengths_area_and_corners_are_the_exact_ones(count: int) -> None:
    exact = sympy.RegularPolygon(sympy.Point(0, 0), 37, count)
    polygon = RegularPolygon(count, float(exact.apothem), 2.0 / 7.0)
    assert polygon.circumradius == pytest.approx(37.0, rel=1e-12)
    assert polygon.across_corners == pytest.approx(74.0, rel=1e-12)
    assert polygon.across_flats == pytest.approx(2.0 * float(exact.apothem), rel=1e-12)
    assert polygon.side == pytest.approx(float(exact.length), rel=1e-12)
    assert polygon.area == pytest.approx(float(exact.area), rel=1e-12)
    assert polygon.step == pytest.approx(float(exact.exterior_angle), rel=1e-12)
    # The exact polygon has its first corner on +X; ours has flat 1 at 2/7 rad and its first corner half a step on.
    turned = exact.rotate(sympy.pi / count + sympy.Rational(2, 7))
    assert isinstance(turned, sympy.Polygon)
    corners = {(round(float(corner.x), 9), round(float(corner.y), 9)) for corner in turned.vertices}
    assert {(round(x, 9), round(y, 9)) for x, y in polygon.vertices()} == corners
    first = 37 * sympy.exp(sympy.I * (sympy.pi / count + sympy.Rational(2, 7)))
    assert complex(*polygon.vertices()[0]) == pytest.approx(complex(first), abs=1e-11)


@given(odd_sides, inradii, directions)
def test_flat_to_corner_is_the_height_over_a_flat(count: int, inradius: float, first_flat: float) -> None:
    polygon = RegularPolygon(count, inradius, first_flat)
    outline = polygon.outline()
    height = outline.support(first_flat) + outline.support(first_flat + math.pi)
    assert polygon.flat_to_corner == pytest.approx(height, rel=1e-12)
    again = RegularPolygon.from_flat_to_corner(count, polygon.flat_to_corner, first_flat)
    assert again.inradius == pytest.approx(inradius, rel=1e-12)


@given(sides, inradii, directions)
def test_every_flat_faces_its_direction_at_the_inradius(
    count: int, inradius: float, first_flat: float
) -> None:
    polygon = RegularPolygon(count, inradius, first_flat)
    outline = polygon.outline()
    assert outline.area == pytest.approx(polygon.area, rel=1e-12)
    for flat in range(1, count + 1):
        assert outline.support(polygon.direction(flat)) == pytest.approx(inradius, rel=1e-12)
        # Flat k runs from the corner after flat k − 1 to the one after flat k.
        before, after = polygon.vertices()[flat - 2], polygon.vertices()[flat - 1]
        run = math.atan2(after[1] - before[1], after[0] - before[0])
        assert math.remainder(run - math.pi / 2.0 - polygon.direction(flat), math.tau) == pytest.approx(
            0.0, abs=1e-9
        )


@pytest.mark.parametrize(("count", "inradius"), [(2, 10.0), (0, 10.0), (6, 0.0), (6, -1.0), (6, math.nan)])
def test_what_is_no_polygon_is_refused(count: int, inradius: float) -> None:
    with pytest.raises(ValueError, match=r"at least 3 sides|is positive"):
        RegularPolygon(count, inradius)


def test_flat_to_corner_is_refused_on_even_counts() -> None:
    with pytest.raises(ValueError, match="flats opposite flats"):
        RegularPolygon.from_flat_to_corner(6, 20.0)
