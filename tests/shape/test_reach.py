"""Distances of paths from a rectangle: worked by hand, and against a geometry engine over any of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from polypocket.shape.reach import Box, arc_to_box, box_to_box, segment_to_box

#: 4 wide and 2 high about the origin.
BOX: Box = (-2.0, -1.0, 2.0, 1.0)
QUARTER = math.pi / 2.0

#: To 0.0001 mm, as programs have them; the engine divides by the length of a line.
coordinates = st.integers(-600_000, 600_000).map(lambda steps: steps / 1e4)
places = st.tuples(coordinates, coordinates)
angles = st.floats(-7.0, 7.0)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    (x, y), width, length = draw(places), draw(st.floats(0.1, 80.0)), draw(st.floats(0.1, 80.0))
    return x, y, x + width, y + length


@pytest.mark.parametrize(
    ("start", "end", "distance"),
    [
        ((-9.0, 4.0), (9.0, 4.0), 3.0),  # along a side
        ((5.0, 5.0), (5.0, 5.0), 5.0),  # a point: 3 and 4 off the corner (2, 1)
        ((-9.0, 0.5), (9.0, 0.5), 0.0),  # right through
        ((0.0, 0.0), (0.5, 0.5), 0.0),  # wholly inside
        ((2.0, 6.0), (7.0, 1.0), 5.0 / math.sqrt(2.0)),  # x + y = 8, and the corner (2, 1) is on x + y = 3
        ((9.0, 1.0), (2.0, 1.0), 0.0),  # up to a corner
        ((9.0, 0.0), (2.5, 0.0), 0.5),  # towards a side, and not as far
    ],
)
def test_straight(start: tuple[float, float], end: tuple[float, float], distance: float) -> None:
    assert segment_to_box(start, end, BOX) == pytest.approx(distance, abs=1e-12)
    assert segment_to_box(end, start, BOX) == pytest.approx(distance, abs=1e-12)


@pytest.mark.parametrize(
    ("centre", "radius", "start_angle", "sweep", "distance"),
    [
        ((0.0, 10.0), 6.0, -math.pi, math.pi, 3.0),  # lowest at (0, 4), 3 above the side
        ((0.0, 10.0), 6.0, 0.0, math.pi, math.sqrt(97.0)),  # the upper half: (6, 10) is 4 and 9 off (2, 1)
        ((5.0, 5.0), 2.0, math.pi, QUARTER, 3.0),  # past the direction of the corner (2, 1), 5 away
        # Round the corner (2, 1), which is √(1.5² + 3²) = 3.354 from the centre: one passes outside, one inside of it.
        ((3.5, 4.0), 3.3, math.pi, QUARTER, math.hypot(1.5, 3.0) - 3.3),
        ((3.5, 4.0), 3.6, math.pi, QUARTER, 0.0),
        ((0.0, 0.0), 5.0, 0.0, math.tau, 5.0 - math.sqrt(5.0)),  # round about it: the corners, √5 out
        ((0.0, 0.0), 1.5, 0.0, math.tau, 0.0),  # crosses the long sides
        ((0.0, 0.0), 5.0, QUARTER, 0.0, 4.0),  # no arc at all, (0, 5)
        ((9.0, 0.0), 7.5, QUARTER, QUARTER * 2.0, 0.0),  # in through the short side at (1.5, 0)
    ],
)
def test_arcs(
    centre: tuple[float, float], radius: float, start_angle: float, sweep: float, distance: float
) -> None:
    assert arc_to_box(centre, radius, start_angle, sweep, BOX) == pytest.approx(distance, abs=1e-12)
    backwards = arc_to_box(centre, radius, start_angle + sweep, -sweep, BOX)
    assert backwards == pytest.approx(distance, abs=1e-12)


def test_boxes() -> None:
    assert box_to_box((5.0, 5.0, 6.0, 9.0), BOX) == 5.0
    assert box_to_box((-math.inf, 3.0, math.inf, 3.0), BOX) == 2.0
    assert box_to_box((-math.inf, -math.inf, math.inf, math.inf), BOX) == 0.0


@given(places, places, boxes())
def test_straight_is_what_the_engine_finds(
    start: tuple[float, float], end: tuple[float, float], box: Box
) -> None:
    engine = float(shapely.distance(shapely.LineString([start, end]), shapely.box(*box)))
    assert segment_to_box(start, end, box) == pytest.approx(engine, abs=1e-9)


@given(places, st.floats(0.5, 60.0), angles, angles, boxes())
def test_arc_is_what_the_engine_finds_of_many_chords(
    centre: tuple[float, float], radius: float, start_angle: float, sweep: float, box: Box
) -> None:
    steps = 2000
    along = start_angle + sweep * np.linspace(0.0, 1.0, steps + 1)
    chords = np.column_stack((np.cos(along), np.sin(along))) * radius + centre
    # A chord stands back from its arc by r (1 - cos half a step) at the most.
    slack = radius * (1.0 - math.cos(sweep / steps / 2.0)) + 1e-9
    engine = float(shapely.distance(shapely.LineString(chords), shapely.box(*box)))
    assert arc_to_box(centre, radius, start_angle, sweep, box) == pytest.approx(engine, abs=slack)
