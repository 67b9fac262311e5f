"""Swept areas against closed forms (elementary geometry) and against a dense set of discs."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from polypocket.shape.outline import rectangle_outline
from polypocket.shape.swept import (
    CHORD_ERROR,
    arc_sector,
    circle_sides,
    disc,
    outline_area,
    swept_arc,
    swept_box,
    swept_straight,
)

radii = st.floats(0.5, 60.0)
coordinates = st.floats(-200.0, 200.0)
angles = st.floats(-7.0, 7.0)


def rim_error(length: float) -> float:
    """Most area that polygons standing back CHORD_ERROR along curved rims of this length can miss, mm²."""
    return CHORD_ERROR * length + 1e-9


@given(radii)
def test_circle_sides_keep_the_chord_error(radius: float) -> None:
    sides = circle_sides(radius)
    assert sides % 4 == 0
    assert radius * (1.0 - math.cos(math.pi / sides)) <= CHORD_ERROR * (1.0 + 1e-9)


@given(coordinates, coordinates, coordinates, coordinates, radii)
def test_a_stadium_has_area_two_r_length_plus_pi_r_squared(
    x1: float, y1: float, x2: float, y2: float, radius: float
) -> None:
    exact = 2.0 * radius * math.dist((x1, y1), (x2, y2)) + math.pi * radius**2
    area = swept_straight((x1, y1), (x2, y2), radius).area
    assert exact - rim_error(math.tau * radius) <= area <= exact + 1e-6


@given(radii, st.floats(1.0, 80.0), angles, angles.filter(lambda sweep: 0.01 < abs(sweep) < 6.2))
def test_a_sector_has_the_area_of_a_piece_of_a_ring(
    radius: float, path_radius: float, start: float, sweep: float
) -> None:
    outer, inner = path_radius + radius, max(0.0, path_radius - radius)
    exact = abs(sweep) / 2.0 * (outer**2 - inner**2)
    area = arc_sector((3.0, -4.0), path_radius, start, sweep, radius).area
    assert exact - rim_error(abs(sweep) * (outer + inner)) <= area <= exact + 1e-6


def test_a_quarter_arc_has_round_ends() -> None:
    # a quarter of a ring of radii 15 and 25 mm, and half a disc of 5 mm at each end
    exact = math.pi / 4.0 * (25.0**2 - 15.0**2) + math.pi * 5.0**2
    area = swept_arc((0.0, 0.0), 20.0, 0.0, math.pi / 2.0, 5.0).area
    assert exact - rim_error(math.pi / 2.0 * 40.0 + math.tau * 5.0) <= area <= exact + 1e-6


@pytest.mark.parametrize(
    ("path_radius", "exact"), [(20.0, math.pi * (25.0**2 - 15.0**2)), (3.0, math.pi * 64.0)]
)
def test_a_full_turn_is_a_ring_or_a_disc(path_radius: float, exact: float) -> None:
    area = swept_arc((1.0, 2.0), path_radius, 0.3, -math.tau, 5.0).area
    assert exact - rim_error(math.tau * 2.0 * (path_radius + 5.0)) <= area <= exact + 1e-6


@settings(max_examples=25)
@given(radii, st.floats(0.5, 60.0), angles, angles.filter(lambda sweep: abs(sweep) > 0.01))
def test_an_arc_sweeps_what_the_discs_along_it_cover_and_no_more(
    radius: float, path_radius: float, start: float, sweep: float
) -> None:
    swept = swept_arc((0.0, 0.0), path_radius, start, sweep, radius)
    sweep = max(-math.tau, min(math.tau, sweep))
    for step in range(9):
        angle = start + sweep * step / 8.0
        centre = (path_radius * math.cos(angle), path_radius * math.sin(angle))
        assert swept.buffer(2.0 * CHORD_ERROR).covers(disc(centre, radius))
    # no corner of it is further from the path than the radius: nothing is claimed that is not swept
    path = shapely.LineString(
        [
            (
                path_radius * math.cos(start + sweep * i / 2000.0),
                path_radius * math.sin(start + sweep * i / 2000.0),
            )
            for i in range(2001)
        ]
    )
    sagitta = path_radius * (1.0 - math.cos(sweep / 4000.0))
    corners = shapely.points(shapely.get_coordinates(swept))
    assert shapely.distance(corners, path).max() <= radius + sagitta + 1e-6


@given(radii, st.floats(0.5, 60.0), angles, angles.filter(lambda sweep: abs(sweep) > 0.01))
def test_an_arc_is_its_sector_and_the_discs_at_its_ends(
    radius: float, path_radius: float, start: float, sweep: float
) -> None:
    swept = swept_arc((3.0, -4.0), path_radius, start, sweep, radius)
    assert swept.is_valid
    parts = [arc_sector((3.0, -4.0), path_radius, start, sweep, radius)]
    if abs(sweep) < math.tau:
        ends = (
            (3.0 + path_radius * math.cos(angle), -4.0 + path_radius * math.sin(angle))
            for angle in (start, start + sweep)
        )
        parts += [disc(end, radius) for end in ends]
    together = shapely.union_all(parts, grid_size=1e-6)
    differs = shapely.symmetric_difference(swept, together, grid_size=1e-6)
    assert differs.area <= rim_error(2.0 * math.tau * (path_radius + radius)) + 1e-3


def test_the_inner_rim_never_reaches_into_the_hole() -> None:
    swept = swept_arc((0.0, 0.0), 20.0, 0.2, 1.9, 5.0)
    assert swept.distance(Point(0.0, 0.0)) >= 15.0 - 1e-6
    assert swept_arc((0.0, 0.0), 20.0, 0.2, math.tau, 5.0).distance(Point(0.0, 0.0)) >= 15.0 - 1e-6


def test_a_box_is_swept_with_round_corners() -> None:
    exact = 30.0 * 20.0 + 2.0 * (30.0 + 20.0) * 4.0 + math.pi * 16.0
    area = swept_box((10.0, 5.0), (-20.0, -15.0), 4.0).area
    assert exact - rim_error(math.tau * 4.0) <= area <= exact + 1e-6


def test_a_box_without_width_is_a_stadium() -> None:
    assert swept_box((0.0, 0.0), (0.0, 30.0), 4.0).equals(swept_straight((0.0, 0.0), (0.0, 30.0), 4.0))
    assert swept_box((1.0, 1.0), (1.0, 1.0), 4.0).equals(disc((1.0, 1.0), 4.0))


def test_an_outline_keeps_its_area() -> None:
    assert outline_area(rectangle_outline(30.0, 20.0)).area == pytest.approx(600.0, abs=1e-9)
