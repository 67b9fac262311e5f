"""Convex outlines against half-space intersection, a geometry engine and an integer polygon clipper."""

import math
from itertools import accumulate

import numpy as np
import pyclipper
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial import HalfspaceIntersection
from shapely.affinity import rotate

from polypocket.shape.outline import Outline, circle_outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon

#: Integer steps per mm for the clipper, and what its rounding can do to an area of these sizes, mm².
STEPS = 1e6
ROUNDING = 1e-2

directions = st.floats(-7.0, 7.0)
half_planes = st.lists(st.tuples(directions, st.floats(1.0, 90.0)), min_size=1, max_size=12)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """Draw a convex polygon with its corners on an ellipse anywhere near the origin."""
    gaps = draw(st.lists(st.floats(0.2, 1.0), min_size=3, max_size=14))
    semi_axes = draw(st.tuples(st.floats(5.0, 80.0), st.floats(5.0, 80.0)))
    x, y = draw(st.tuples(st.floats(-60.0, 60.0), st.floats(-60.0, 60.0)))
    start = draw(directions)
    angles = start + np.cumsum(gaps) / math.fsum(gaps) * math.tau
    return Outline(tuple((x + semi_axes[0] * math.cos(a), y + semi_axes[1] * math.sin(a)) for a in angles))


def polygon_of(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.vertices)


def half_plane(direction: float, distance: float) -> shapely.Polygon:
    """Return the half-plane within ``distance`` along ``direction``, as far as these tests reach."""
    return rotate(shapely.box(-1e4, -1e4, distance, 1e4), direction, origin=(0, 0), use_radians=True)


def in_steps(points: tuple[tuple[float, float], ...]) -> list[tuple[int, int]]:
    return [(round(x * STEPS), round(y * STEPS)) for x, y in points]


def assert_convex(outline: Outline) -> None:
    """Check what an outline promises of its vertices: anticlockwise, convex, none repeated."""
    count = len(outline.vertices)
    for i, (x, y) in enumerate(outline.vertices):
        (x1, y1), (x2, y2) = outline.vertices[i - 1], outline.vertices[(i + 1) % count]
        assert math.dist((x, y), (x1, y1)) > 0.0
        turn = (x - x1) * (y2 - y) - (y - y1) * (x2 - x)
        assert turn >= -1e-6


@given(half_planes)
def test_clips_leave_what_half_spaces_have_in_common(planes: list[tuple[float, float]]) -> None:
    outline = rectangle_outline(160.0, 120.0)
    spaces = [(1.0, 0.0, -80.0), (-1.0, 0.0, -80.0), (0.0, 1.0, -60.0), (0.0, -1.0, -60.0)]
    for direction, distance in planes:
        outline = outline.clip(direction, distance)
        spaces.append((math.cos(direction), math.sin(direction), -distance))
    corners = HalfspaceIntersection(np.array(spaces), np.zeros(2)).intersections
    common = shapely.MultiPoint(corners).convex_hull
    assert outline.area == pytest.approx(common.area, rel=1e-9)
    assert shapely.hausdorff_distance(polygon_of(outline), common) < 1e-6
    assert_convex(outline)


@given(outlines(), directions, st.floats(-120.0, 120.0))
def test_a_clip_is_the_intersection_with_a_half_plane(
    outline: Outline, direction: float, distance: float
) -> None:
    clipped = outline.clip(direction, distance)
    expected = shapely.intersection(polygon_of(outline), half_plane(direction, distance))
    assert clipped.area == pytest.approx(expected.area, abs=1e-6)
    assert clipped.is_empty or clipped.support(direction) <= max(distance, -1e9) + 1e-9
    assert_convex(clipped)


@given(outlines(), directions, st.floats(-60.0, 60.0))
def test_a_clip_has_the_area_that_an_integer_clipper_finds(
    outline: Outline, direction: float, distance: float
) -> None:
    clipper = pyclipper.Pyclipper()
    clipper.AddPath(in_steps(outline.vertices), pyclipper.PT_SUBJECT, True)
    edge = tuple(half_plane(direction, distance).exterior.coords[:-1])
    clipper.AddPath(in_steps(edge), pyclipper.PT_CLIP, True)
    found = clipper.Execute(pyclipper.CT_INTERSECTION)
    area = sum(abs(pyclipper.Area(path)) for path in found) / STEPS**2
    assert outline.clip(direction, distance).area == pytest.approx(area, abs=ROUNDING)


@given(outlines(), directions)
def test_clipping_off_everything_leaves_nothing(outline: Outline, direction: float) -> None:
    lowest = -outline.support(direction + math.pi)
    nothing = outline.clip(direction, lowest - 1.0)
    assert nothing.is_empty
    assert nothing.area == 0.0
    assert nothing.clip(direction, 5.0).is_empty
    assert outline.clip(direction, outline.support(direction) + 1.0) is outline


@given(outlines(), directions, st.lists(st.floats(0.0, 3.1), max_size=12))
def test_supports_are_each_direction_s(outline: Outline, first: float, turns: list[float]) -> None:
    ways = list(accumulate(turns, initial=first))
    expected = [outline.support(direction) for direction in ways]
    assert outline.supports(ways) == pytest.approx(expected, abs=1e-9)


def test_nothing_has_no_support() -> None:
    with pytest.raises(ValueError):
        Outline(()).support(0.0)


@given(outlines(), directions)
def test_support_is_the_extent_of_the_turned_outline(outline: Outline, direction: float) -> None:
    turned = rotate(polygon_of(outline), -direction, origin=(0, 0), use_radians=True)
    assert outline.support(direction) == pytest.approx(turned.bounds[2], abs=1e-9)
    assert outline.extents() == pytest.approx(polygon_of(outline).bounds, abs=1e-12)


@given(outlines(), st.floats(0.01, 40.0))
def test_grown_is_a_mitred_offset(outline: Outline, distance: float) -> None:
    grown = outline.grown(distance)
    offset = polygon_of(outline).buffer(distance, join_style="mitre", mitre_limit=1e6)
    assert grown.area == pytest.approx(offset.area, rel=1e-6)
    assert polygon_of(grown).exterior.distance(polygon_of(outline)) == pytest.approx(distance, abs=1e-6)
    assert_convex(grown)


@given(st.integers(3, 16), st.floats(5.0, 80.0), directions, st.floats(0.01, 20.0))
def test_grown_has_the_area_that_an_integer_offset_finds(
    count: int, inradius: float, first_flat: float, distance: float
) -> None:
    polygon = RegularPolygon(count, inradius, first_flat)
    offset = pyclipper.PyclipperOffset(10.0)  # a mitre's limit: three sides need 2
    offset.AddPath(in_steps(polygon.vertices()), pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    (path,) = offset.Execute(distance * STEPS)
    grown = polygon.outline().grown(distance)
    assert grown.area == pytest.approx(abs(pyclipper.Area(path)) / STEPS**2, abs=ROUNDING)
    assert grown.area == pytest.approx(RegularPolygon(count, inradius + distance).area, rel=1e-9)


@given(outlines(), outlines())
def test_what_sticks_out_is_how_much_the_outline_must_grow(outer: Outline, inner: Outline) -> None:
    by = outer.sticks_out(inner)
    assume(abs(by) > 1e-3)
    if by < 0.0:
        assert polygon_of(outer).exterior.distance(polygon_of(inner)) == pytest.approx(-by, abs=1e-9)
        assert polygon_of(outer).contains(polygon_of(inner))
        return
    assert polygon_of(outer.grown(by + 1e-6)).covers(polygon_of(inner))
    assert not polygon_of(outer.grown(by - 1e-6)).covers(polygon_of(inner))


def test_what_touches_from_inside_does_not_stick_out() -> None:
    square = rectangle_outline(80.0, 80.0)
    assert square.sticks_out(RegularPolygon(8, 40.0).outline()) == pytest.approx(0.0, abs=1e-12)
    assert square.sticks_out(RegularPolygon(8, 40.5).outline()) == pytest.approx(0.5, abs=1e-12)


@given(st.floats(0.5, 500.0), st.floats(0.001, 0.1))
def test_a_circle_lies_inside_its_outline_and_nearly_fills_it(radius: float, error: float) -> None:
    outline = circle_outline(radius, error)
    assert polygon_of(outline).exterior.distance(shapely.Point(0, 0)) == pytest.approx(radius, rel=1e-9)
    furthest = max(math.hypot(x, y) for x, y in outline.vertices)
    assert furthest <= radius + error + 1e-9
    assert_convex(outline)


@given(st.floats(0.5, 300.0), st.floats(0.5, 300.0))
def test_a_rectangle_is_a_box_about_the_origin(width: float, length: float) -> None:
    box = shapely.box(-width / 2.0, -length / 2.0, width / 2.0, length / 2.0)
    outline = rectangle_outline(width, length)
    assert polygon_of(outline).equals(box)
    assert outline.area == pytest.approx(width * length)
