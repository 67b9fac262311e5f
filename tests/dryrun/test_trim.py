"""What the short cuts of the dry run leave out, against what they leave it out of."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from polypocket.dryrun.motions import Motion
from polypocket.dryrun.sweeps import Sweeper, sweep
from polypocket.dryrun.trim import facing_straight, trimmed
from polypocket.reader import Kind

RADIUS = 6.0
places = st.tuples(st.floats(-40.0, 40.0), st.floats(-40.0, 40.0))
blocks = st.builds(
    lambda corners, turned: shapely.affinity.rotate(shapely.box(*corners[0], *corners[1]), turned),
    st.tuples(places, places).filter(lambda ends: min(abs(a - b) for a, b in zip(*ends, strict=True)) > 0.1),
    st.floats(0.0, 90.0),
)
angles = st.floats(-6.2, 6.2).filter(lambda sweep: abs(sweep) > 0.01)


def line(begin: tuple[float, float], end: tuple[float, float], kind: Kind = Kind.FEED) -> Motion:
    nan = (math.nan, math.nan)
    return Motion(0, 1, kind, (*begin, -2.0), (*end, -2.0), nan, 0, 300.0, 3000.0, 1, False)


def arc(centre: tuple[float, float], radius: float, start: float, turn: float) -> Motion:
    begin, end = (
        (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), -2.0)
        for angle in (start, start + turn)
    )
    kind = Kind.ARC_ANTICLOCKWISE if turn > 0.0 else Kind.ARC_CLOCKWISE
    return Motion(0, 1, kind, begin, end, centre, 0, 300.0, 3000.0, 1, False)


motions = st.one_of(
    st.builds(line, places, places),
    st.builds(line, places, places, st.just(Kind.RAPID)),
    st.builds(arc, places, st.sampled_from([0.5, 5.9995, 6.0, 6.0005, 20.0]), st.floats(-3.1, 3.1), angles),
)


@given(motions, blocks, st.floats(-3.2, 3.2))
def test_a_trimmed_area_is_the_same_where_the_other_is(
    motion: Motion, block: shapely.Polygon, direction: float
) -> None:
    area = sweep(motion, (0.0, 1.0), RADIUS, independent=True)
    short = trimmed(area, shapely.get_coordinates(block), direction)
    assert short.is_valid
    assert shapely.get_num_coordinates(short) <= shapely.get_num_coordinates(area)
    differs = shapely.symmetric_difference(area, short, grid_size=1e-6)
    assert shapely.intersection(differs, block, grid_size=1e-6).area == pytest.approx(0.0, abs=1e-3)


@given(st.tuples(places, places).filter(lambda ends: math.dist(*ends) > 1e-3), blocks)
def test_a_line_s_area_is_the_same_where_the_other_is(
    ends: tuple[tuple[float, float], tuple[float, float]], block: shapely.Polygon
) -> None:
    area = sweep(line(*ends), (0.0, 1.0), RADIUS)
    short = facing_straight(*ends, RADIUS, shapely.get_coordinates(block))
    assert short.is_valid
    assert shapely.get_num_coordinates(short) <= shapely.get_num_coordinates(area)
    differs = shapely.symmetric_difference(area, short, grid_size=1e-6)
    assert shapely.intersection(differs, block, grid_size=1e-6).area == pytest.approx(0.0, abs=1e-3)


def test_a_stroke_along_a_block_loses_the_rim_on_the_other_side() -> None:
    area = sweep(line((-60.0, 0.0), (60.0, 0.0)), (0.0, 1.0), RADIUS)
    short = trimmed(area, shapely.get_coordinates(shapely.box(-20.0, 4.0, 20.0, 40.0)), 0.0)
    assert shapely.get_num_coordinates(short) < 12 < shapely.get_num_coordinates(area)


@given(motions, blocks)
def test_nothing_is_swept_nearer_than_the_gap(motion: Motion, block: shapely.Polygon) -> None:
    gap = Sweeper(motion, RADIUS, independent=True).gap(block)
    area = sweep(motion, (0.0, 1.0), RADIUS, independent=True)
    if gap > 1e-6:
        assert not area.intersects(block)
        assert area.distance(block) >= gap - 2e-6
    # it is a good measure too: at most the sagittas of the path and the rims off
    elif not area.intersects(block):
        assert gap >= -0.05


def test_what_is_met_in_one_share_is_not_taken_for_another() -> None:
    swept = Sweeper(line((0.0, 0.0), (30.0, 0.0)), RADIUS)
    block = shapely.box(28.0, -10.0, 50.0, 10.0)
    corners = shapely.get_coordinates(block)
    assert not swept.facing((0.0, 0.5), corners).intersects(block)
    assert swept.facing((0.5, 1.0), corners).intersects(block)
