"""Fences and ways round them against distances and convex hulls found by a geometry engine."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.ops import substring

from polypocket.shape.around import fence, way_round
from polypocket.shape.outline import Outline, circle_outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon

Pair = tuple[float, float]

#: How far way_round steps past the fence so that it stands outside it, mm, and rounding.
SLACK = 1e-6

directions = st.floats(-7.0, 7.0)
distances = st.floats(0.5, 25.0)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """Draw what an obstacle may be: any convex polygon, a regular one, or nearly a circle."""
    kind = draw(st.sampled_from(["any", "regular", "round"]))
    if kind == "regular":
        return RegularPolygon(
            draw(st.integers(3, 16)), draw(st.floats(5.0, 80.0)), draw(directions)
        ).outline()
    if kind == "round":
        return circle_outline(draw(st.floats(5.0, 80.0)), 0.05)
    gaps = draw(st.lists(st.floats(0.2, 1.0), min_size=3, max_size=14))
    semi_axes = draw(st.tuples(st.floats(5.0, 80.0), st.floats(5.0, 80.0)))
    x, y = draw(st.tuples(st.floats(-60.0, 60.0), st.floats(-60.0, 60.0)))
    angles = draw(directions) + np.cumsum(gaps) / math.fsum(gaps) * math.tau
    return Outline(tuple((x + semi_axes[0] * math.cos(a), y + semi_axes[1] * math.sin(a)) for a in angles))


def polygon_of(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.vertices)


def beside(outline: Outline, share: float, gap: float) -> Pair:
    """Return a point ``gap`` mm from the outline, at this share of the way round it."""
    place = polygon_of(outline).buffer(gap, quad_segs=64).exterior.interpolate(share, normalized=True)
    return place.x, place.y


def hull_way(keep_out: shapely.Polygon, start: Pair, end: Pair) -> float:
    """Return the length of the shortest way round a convex polygon, mm.

    Where the straight way is barred it is the shorter part of the edge of the hull of polygon, start and end.
    """
    straight = shapely.LineString([start, end])
    if not straight.crosses(keep_out.buffer(-SLACK)):
        return float(straight.length)
    rim = shapely.union_all([keep_out, shapely.Point(start), shapely.Point(end)]).convex_hull.exterior
    one, other = sorted(rim.project(shapely.Point(point)) for point in (start, end))
    part = float(other - one)
    return min(part, float(rim.length) - part)


@given(outlines(), distances)
def test_a_fence_keeps_its_distance_everywhere(outline: Outline, distance: float) -> None:
    polygon, keep_out = polygon_of(outline), polygon_of(fence(outline, distance))
    assert keep_out.contains(polygon)
    assert keep_out.exterior.distance(polygon) >= distance - 1e-9
    assert keep_out.equals(keep_out.convex_hull) or keep_out.area == pytest.approx(keep_out.convex_hull.area)


@given(st.integers(3, 16), st.floats(20.0, 80.0), directions, st.floats(0.5, 4.0))
def test_a_fence_runs_along_long_flats_at_exactly_its_distance(
    count: int, inradius: float, first_flat: float, distance: float
) -> None:
    polygon = RegularPolygon(count, inradius, first_flat)
    assume(polygon.side > distance)
    keep_out = fence(polygon.outline(), distance)
    for flat in range(1, count + 1):
        assert keep_out.support(polygon.direction(flat)) == pytest.approx(inradius + distance, abs=1e-9)
    # No turn wider than 45°: a corner stands off by at most 1/cos(22.5°).
    furthest = max(polygon_of(polygon.outline()).distance(shapely.Point(c)) for c in keep_out.vertices)
    assert furthest <= distance / math.cos(math.pi / 8.0) + 1e-9


@pytest.mark.parametrize("error", [0.5, 0.05, 0.005])
def test_a_fence_round_a_circle_has_few_corners(error: float) -> None:
    assert len(fence(circle_outline(40.0, error), 13.0).vertices) <= 24


@given(
    outlines(),
    distances,
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 30.0),
    st.floats(0.0, 30.0),
)
def test_the_way_round_is_clear_and_the_shortest(
    outline: Outline, distance: float, share_1: float, share_2: float, further_1: float, further_2: float
) -> None:
    # A fence's corner stands off further than its distance, so that these points are surely outside it.
    keep_out = polygon_of(fence(outline, distance))
    rim = keep_out.buffer(1e-3 + further_1).exterior.interpolate(share_1, normalized=True)
    start = (rim.x, rim.y)
    rim = keep_out.buffer(1e-3 + further_2).exterior.interpolate(share_2, normalized=True)
    end = (rim.x, rim.y)
    assume(math.dist(start, end) > 1e-3)
    way = way_round(outline, distance, start, end)
    assert (way[0], way[-1]) == (start, end)
    line = shapely.LineString(way)
    assert line.distance(polygon_of(outline)) >= distance - SLACK
    assert line.length == pytest.approx(hull_way(keep_out, start, end), abs=1e-3)


@given(
    outlines(),
    distances,
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(0.05, 1.5),
    st.floats(0.05, 1.5),
)
def test_from_inside_the_fence_the_way_only_moves_away(
    outline: Outline, distance: float, share_1: float, share_2: float, near_1: float, near_2: float
) -> None:
    start = beside(outline, share_1, near_1 * distance)
    end = beside(outline, share_2, near_2 * distance)
    assume(math.dist(start, end) > 1e-3)
    polygon = polygon_of(outline)
    way = way_round(outline, distance, start, end)
    assert (way[0], way[-1]) == (start, end)
    line = shapely.LineString(way)
    gaps = [polygon.distance(shapely.Point(point)) for point in (start, end)]
    assert line.distance(polygon) >= min(distance, *gaps) - SLACK
    # Away from the beginning and towards the end: never nearer than where it stood, and clear in between.
    places = shapely.line_interpolate_point(line, np.linspace(0.0, line.length, 200))
    heights = shapely.distance(places, polygon)
    inside = heights < distance - SLACK
    if inside.all():
        return
    begin, finish = np.argmin(inside), len(inside) - 1 - np.argmin(inside[::-1])
    assert not inside[begin : finish + 1].any()
    assert (np.diff(heights[: begin + 1]) >= -SLACK).all()
    assert (np.diff(heights[finish:]) <= SLACK).all()


def test_a_clear_way_is_straight_and_a_barred_one_goes_the_shorter_side() -> None:
    square = rectangle_outline(20.0, 20.0)
    assert way_round(square, 5.0, (-30.0, 20.0), (30.0, 20.0)) == ((-30.0, 20.0), (30.0, 20.0))
    way = way_round(square, 5.0, (-30.0, 4.0), (30.0, 4.0))
    assert len(way) == 4
    assert all(y > 0.0 for _, y in way)  # the upper side is nearer
    assert substring(shapely.LineString(way), 0.0, 1.0).length == pytest.approx(1.0)
