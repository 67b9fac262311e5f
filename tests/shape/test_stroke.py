"""First contact and the end of a stroke against distances found by a geometry engine.

Distance from a convex set is a convex function, so that over a convex polygon it is greatest at a corner: a path has
swept a polygon exactly when no corner is further from it than the radius.
"""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate

from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line, clear_of, first_contact

#: Beyond everything in these tests, mm.
FAR = 1000.0

directions = st.floats(-7.0, 7.0)
radii = st.floats(1.0, 40.0)
#: How much of a cutter's radius a stroke takes off; 1 is the most that a stepover may be.
shares = st.floats(0.01, 1.0)


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """Draw a convex polygon with its corners on an ellipse anywhere near the origin."""
    gaps = draw(st.lists(st.floats(0.2, 1.0), min_size=3, max_size=14))
    semi_axes = draw(st.tuples(st.floats(5.0, 80.0), st.floats(5.0, 80.0)))
    x, y = draw(st.tuples(st.floats(-60.0, 60.0), st.floats(-60.0, 60.0)))
    angles = draw(directions) + np.cumsum(gaps) / math.fsum(gaps) * math.tau
    return Outline(tuple((x + semi_axes[0] * math.cos(a), y + semi_axes[1] * math.sin(a)) for a in angles))


def line_through(outline: Outline, direction: float, depth: float) -> Line:
    """Return the line that cuts ``depth`` mm of the outline off."""
    return Line(direction, outline.support(direction) - depth)


def path(line: Line, start: float, end: float, radius: float) -> shapely.LineString:
    return shapely.LineString([line.point(start, radius), line.point(end, radius)])


def beyond(outline: Outline, line: Line) -> shapely.Polygon:
    """Return the part of the outline outside the line."""
    outside = rotate(
        shapely.box(line.distance, -1e4, 1e4, 1e4), line.direction, origin=(0, 0), use_radians=True
    )
    return shapely.intersection(shapely.Polygon(outline.vertices), outside)


def furthest(polygon: shapely.Polygon, from_path: shapely.LineString) -> float:
    return float(shapely.distance(shapely.points(shapely.get_coordinates(polygon)), from_path).max())


@given(outlines(), directions, radii, shares, st.sampled_from([0.0, 0.1, 1.0, 7.5]))
def test_first_contact_is_the_first_place_at_that_distance(
    outline: Outline, direction: float, radius: float, share: float, gap: float
) -> None:
    line = line_through(outline, direction, share * radius)
    polygon = shapely.Polygon(outline.vertices)
    u = first_contact(outline, line, radius, gap)
    assert polygon.distance(shapely.Point(line.point(u, radius))) == pytest.approx(radius + gap, abs=1e-8)
    assert polygon.distance(path(line, u - FAR, u, radius)) >= radius + gap - 1e-8
    assert polygon.distance(shapely.Point(line.point(u + 1e-3, radius))) < radius + gap


@given(outlines(), directions, radii, shares)
def test_clear_of_is_where_nothing_is_left_beyond_the_line(
    outline: Outline, direction: float, radius: float, share: float
) -> None:
    line = line_through(outline, direction, share * radius)
    u = clear_of(outline, line, radius)
    material = beyond(outline, line)
    assert furthest(material, path(line, u - FAR, u, radius)) <= radius + 1e-7
    assert furthest(material, path(line, u - FAR, u - 0.05, radius)) > radius + 1e-7


@given(outlines(), directions, radii, shares)
def test_sweeping_from_contact_is_enough(
    outline: Outline, direction: float, radius: float, share: float
) -> None:
    line = line_through(outline, direction, share * radius)
    start = first_contact(outline, line, radius)
    end = max(start, clear_of(outline, line, radius))
    swept = path(line, start, end, radius)
    assert furthest(beyond(outline, line), swept) <= radius + 1e-7
    # and nothing inside the line is touched
    kept = outline.clip(line.direction, line.distance)
    assert kept.is_empty or shapely.Polygon(kept.vertices).distance(swept) >= radius - 1e-9


@pytest.mark.parametrize("turn", range(4))
def test_a_square_is_met_a_chord_before_its_corner_and_left_with_it(turn: int) -> None:
    # A disc of 6 mm that takes 2 mm off an edge has its centre 4 mm outside it: the corner is met √(36 − 16) mm
    # before the centre is level with it. The last of the strip is swept with the centre level with the far corner.
    square = rectangle_outline(50.0, 50.0)
    line = Line(turn * math.pi / 2.0, 23.0)
    assert first_contact(square, line, 6.0) == pytest.approx(-25.0 - math.sqrt(20.0), abs=1e-9)
    assert first_contact(square, line, 6.0, 1.0) == pytest.approx(-25.0 - math.sqrt(33.0), abs=1e-9)
    # √ turns rounding of 1e-14 mm² into 1e-7 mm.
    assert clear_of(square, line, 6.0) == pytest.approx(25.0, abs=1e-6)


def test_what_is_never_met_is_told() -> None:
    square = rectangle_outline(50.0, 50.0)
    with pytest.raises(ValueError, match="never comes that close"):
        first_contact(square, Line(0.0, 25.5), 6.0, 0.4)
    assert first_contact(square, Line(0.0, 25.5), 6.0, 0.6) < -25.0
    with pytest.raises(ValueError, match="nothing lies beyond"):
        clear_of(square, Line(0.0, 25.5), 6.0)
    with pytest.raises(ValueError, match="further out than the path"):
        clear_of(square, Line(0.0, 18.0), 6.0)


@given(directions, st.floats(-50.0, 50.0), st.floats(-50.0, 50.0), st.floats(-20.0, 20.0))
def test_points_on_a_line(direction: float, distance: float, u: float, outside: float) -> None:
    line = Line(direction, distance)
    x, y = line.point(u, outside)
    assert line.along((x, y)) == pytest.approx(u, abs=1e-9)
    height = shapely.Point(x, y).distance(path(line, -FAR, FAR, 0.0))
    assert height == pytest.approx(abs(outside), abs=1e-9)


@given(outlines(), directions, radii)
def test_the_part_beyond_a_line(outline: Outline, direction: float, depth: float) -> None:
    line = line_through(outline, direction, depth)
    assert line.beyond(outline).area == pytest.approx(beyond(outline, line).area, abs=1e-6)


@given(st.integers(3, 16), st.floats(5.0, 80.0), directions)
def test_lines_of_neighbouring_flats_meet_at_a_corner(count: int, inradius: float, first_flat: float) -> None:
    polygon = RegularPolygon(count, inradius, first_flat)
    lines = [Line(polygon.direction(flat), inradius) for flat in range(1, count + 1)]
    for i, vertex in enumerate(polygon.vertices()):
        assert lines[i].corner(lines[(i + 1) % count]) == pytest.approx(vertex, abs=1e-8)


def test_parallel_lines_do_not_meet() -> None:
    with pytest.raises(ZeroDivisionError):
        Line(0.3, 10.0).corner(Line(0.3, 12.0))
