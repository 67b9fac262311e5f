"""Measurements of the part as cut against polygons whose lines are known beforehand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from polypocket.dryrun.as_cut import face_of
from polypocket.dryrun.part import Flat, levels_of
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.swept import outline_area

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop


@given(
    st.integers(3, 24),
    st.floats(-3.0, 3.0),
    st.floats(5.0, 100.0),
    st.floats(-0.03, 0.03),
    st.floats(-0.4, 0.4),
)
def test_a_line_that_is_known_is_measured_exactly(
    sides: int, first: float, distance: float, turned: float, moved: float
) -> None:
    outline = rectangle_outline(600.0, 600.0)
    for flat in range(sides):
        normal, reach = first + flat * math.tau / sides, distance
        if flat == 0:
            normal, reach = normal + turned, reach + moved * math.pi / sides
        outline = outline.clip(normal, reach)
    face = face_of(Flat(1, 1, first, distance, True), outline_area(outline), sides)
    assert face is not None
    assert face.normal == pytest.approx(first + turned, abs=1e-9)
    assert face.distance == pytest.approx(distance + moved * math.pi / sides, abs=1e-9)


def test_a_face_in_pieces_with_rounding_is_one_line() -> None:
    # 40 edges along x = 18, each corner off by at most a micrometre: least squares, weighted by length
    y = np.linspace(-18.0, 18.0, 41)
    x = 18.0 + np.random.default_rng(1).uniform(-0.001, 0.001, 41)
    ring = [*zip(x, y, strict=True), (-18.0, 18.0), (-18.0, -18.0)]
    face = face_of(Flat(1, 1, 0.0, 18.0, True), shapely.Polygon(ring), 4)
    slope, meets = np.polyfit(y, x, 1)  # an independent fit, of the corners
    assert face is not None
    assert face.normal == pytest.approx(-math.atan(slope), abs=1e-5)
    assert face.distance == pytest.approx(meets, abs=1e-4)


def test_a_face_that_is_not_there_is_not_made_up() -> None:
    assert face_of(Flat(1, 1, 0.0, 18.0, True), shapely.box(-18.0, -18.0, 12.0, 18.0), 4) is None
    assert face_of(Flat(1, 1, 0.0, 18.0, True), shapely.Polygon(), 4) is None


def test_the_largest_piece_is_measured() -> None:
    pieces = shapely.MultiPolygon([shapely.box(-18.0, -18.0, 18.0, 18.0), shapely.box(18.5, 0.0, 18.6, 20.0)])
    face = face_of(Flat(1, 1, 0.0, 18.0, True), pieces, 4)
    assert face is not None
    assert face.distance == 18.0


def test_flats_of_the_stock_are_left_and_not_looked_for_beyond_nominal(shop: Shop) -> None:
    # An octagon on the four faces of the square: flats 1, 3, 5, 7 stay. It measures the square's side, 40 mm
    # (common practice, no source); a corner's leg of 40·(1 − 1/√2) = 11.716 mm is cut off.
    sections = [{"sides": 8, "across_flats": 40.0, "from_stock": True, "depth": 6.0}]
    job = shop.job(sections=sections, cut__stepover=5.0, cut__finish_allowance=0.0)
    level = levels_of(job)[0]
    assert [flat.number for flat in level.flats if flat.is_cut] == [2, 4, 6, 8]
    lines = ["G21 G17 G90 G94 G40 G49 G54", "(CUTTER 1 DIAMETER 10.000) M0", "S3000 M3", "G0 Z10.", "F300."]
    for flat in range(4):
        angle = math.radians(45.0 + 90.0 * flat)
        c, s = math.cos(angle), math.sin(angle)
        for reach in (24.0, 20.0):
            for out, along, word in (
                (reach + 20.0, -40.0, "G0"),
                (reach + 5.0, -30.0, "G1"),
                (reach + 5.0, 30.0, "G1"),
            ):
                lines.append(f"{word} X{out * c - along * s:.3f} Y{out * s + along * c:.3f}")
                if word == "G0":
                    lines.append("G0 Z-6.")
            lines.append("G0 Z10.")
    result = shop.run("\n".join([*lines, "M5", "M30"]), job)
    assert result.findings == ()
    as_cut = result.as_cut[0]
    assert as_cut.not_cut == (1, 3, 5, 7)
    assert as_cut.across_flats == pytest.approx([40.0] * 8, abs=0.002)
    assert as_cut.normals == pytest.approx([math.radians(45.0 * flat) for flat in range(8)], abs=1e-4)
    assert as_cut.worst_angle_error == pytest.approx(0.0, abs=1e-4)


def test_levels_are_what_the_sections_have_in_common(shop: Shop) -> None:
    sections = [
        {"sides": 4, "across_flats": 38.0, "depth": 9.0},
        {"sides": 6, "across_flats": 30.0, "depth": 4.0},
    ]
    levels = levels_of(shop.job(sections=sections))
    assert [(level.low, level.high, level.feature) for level in levels] == [
        (-4.0, 0.0, "section 2"),
        (-9.0, -4.0, "section 1"),
        (-20.0, -9.0, "the stock"),
    ]
    # area of a hexagon 30 mm across flats: 2·√3·15² mm²
    assert levels[0].finished.area == pytest.approx(2.0 * math.sqrt(3.0) * 15.0**2)
    assert levels[1].finished.area == pytest.approx(38.0**2)
    assert levels[2].allowed.area == pytest.approx(41.0**2)
