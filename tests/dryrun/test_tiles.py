"""Removal in tiles against removal from one area, one sweep after another; no source but plain overlays."""

from __future__ import annotations

import math
from collections.abc import Iterator
from random import Random
from typing import TYPE_CHECKING

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun import tiles
from polypocket.dryrun.meeting import Meeting
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import common, on_grid, thick_part, without
from polypocket.dryrun.sweeps import Sweeper, sweep
from polypocket.dryrun.tiles import Halves, Standing, Tile, apart, tiles_of, whole
from polypocket.reader import Kind

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

RADIUS = 3.0
WHOLE = (0.0, 1.0)
#: What is asserted of tiles: a thousandth of it is the grid, mm.
SAME = 1e-3
#: The block's sides, so that halves of 20, 10, 5 and 2.5 mm have their seams on whole quarters.
SIDE = 40.0
BLOCK = on_grid(shapely.box(-SIDE / 2.0, -SIDE / 2.0, SIDE / 2.0, SIDE / 2.0))
#: Places on seams and on the corners of tiles, where the cutter touches a seam from one side, and anywhere.
ON_SEAMS = [step * 2.5 for step in range(-10, 11)]
coordinates = st.one_of(
    st.sampled_from(ON_SEAMS),
    st.sampled_from([place + RADIUS for place in ON_SEAMS] + [place - RADIUS for place in ON_SEAMS]),
    st.floats(-26.0, 26.0).map(lambda place: round(place, 4)),
)
places = st.tuples(coordinates, coordinates)
NOWHERE = (math.nan, math.nan)


def line(begin: tuple[float, float], end: tuple[float, float]) -> Motion:
    return Motion(0, 1, Kind.FEED, (*begin, -2.0), (*end, -2.0), NOWHERE, 0, 300.0, 3000.0, 1, False)


def arc(centre: tuple[float, float], radius: float, start: float, turn: float) -> Motion:
    begin, end = (
        (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), -2.0)
        for angle in (start, start + turn)
    )
    kind = Kind.ARC_ANTICLOCKWISE if turn > 0.0 else Kind.ARC_CLOCKWISE
    return Motion(0, 1, kind, begin, end, centre, 0, 300.0, 3000.0, 1, False)


moves = st.one_of(
    st.builds(line, places, places),
    st.builds(lambda place, x: line(place, (x, place[1])), places, coordinates),  # along a seam
    st.builds(lambda place, y: line(place, (place[0], y)), places, coordinates),
    st.builds(
        arc,
        places,
        st.sampled_from([0.5, 3.0, 5.0, 12.5]),
        st.sampled_from([0.0, math.pi / 2.0, 1.0, -2.0]),
        st.sampled_from([-6.0, -math.pi, -1.0, 0.5, math.pi / 2.0, 5.0]),
    ),
)


@pytest.fixture(autouse=True)
def small_tiles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tiles so small that seams matter."""
    monkeypatch.setattr(tiles, "MOST_CORNERS", 12)


def leaves(standing: Standing) -> Iterator[Tile]:
    if isinstance(standing, Halves):
        yield from leaves(standing.below)
        yield from leaves(standing.above)
    else:
        yield standing


def assert_same(a: BaseGeometry, b: BaseGeometry) -> None:
    """The areas differ nowhere by more than rounding: what one has more than the other is thinner than ``SAME``."""
    assert a.is_valid
    assert a.is_empty == b.is_empty
    differs = shapely.symmetric_difference(a, b, grid_size=1e-6)
    assert differs.buffer(-SAME / 2.0).is_empty
    if not a.is_empty:
        assert shapely.hausdorff_distance(a.boundary, b.boundary) <= SAME


@settings(max_examples=40)
@given(st.lists(moves, min_size=1, max_size=10))
def test_what_is_left_in_tiles_is_what_is_left_one_by_one(motions: list[Motion]) -> None:
    standing, plain = tiles_of(BLOCK), BLOCK
    for motion in motions:
        area = sweep(motion, WHOLE, RADIUS)
        meets = Meeting(standing, Sweeper(motion, RADIUS), WHOLE)
        met, plainly = meets.met, thick_part(common(area, plain))
        # an area met that is hardly thicker than contact may round to none
        if met is None or plainly.is_empty:
            assert plainly.area < 0.01
            assert met is None or met.area < 0.01
        else:
            assert met.area == pytest.approx(plainly.area, abs=0.01)
            assert met.bounds == pytest.approx(plainly.bounds, abs=0.01)
        standing, plain = meets.left, without(plain, area)
    left = whole(standing)
    assert left.area == pytest.approx(plain.area, abs=0.002 * len(motions))
    differs = shapely.symmetric_difference(left, plain, grid_size=1e-6)
    assert differs.buffer(-SAME / 2.0).is_empty


def wander(seed: int, count: int) -> list[Motion]:
    """Short moves along a curved path that often turns, from a corner of the block."""
    random, place, heading = Random(seed), (-24.0, -24.0), 0.6
    found: list[Motion] = []
    for _ in range(count):
        heading += random.uniform(-0.6, 0.6)
        if max(abs(place[0]), abs(place[1])) > 25.0:
            heading = math.atan2(-place[1], -place[0])
        step = random.uniform(0.2, 2.0)
        end = place[0] + step * math.cos(heading), place[1] + step * math.sin(heading)
        found.append(line(place, (round(end[0], 4), round(end[1], 4))))
        place = found[-1].end[:2]
    return found


@pytest.mark.parametrize("seed", range(2))
def test_a_wandering_path_leaves_the_same_outline(seed: int) -> None:
    standing, plain = tiles_of(BLOCK), BLOCK
    for motion in wander(seed, 80):
        standing = Meeting(standing, Sweeper(motion, RADIUS), WHOLE).left
        plain = without(plain, sweep(motion, WHOLE, RADIUS))
    assert isinstance(standing, Halves)
    assert len(list(leaves(standing))) > 10
    assert_same(whole(standing), plain)


def test_seams_leave_no_corner_in_a_straight_edge() -> None:
    # A disc's many corners in the middle make the tiles; the turned block's edges cross their seams.
    block = on_grid(shapely.affinity.rotate(shapely.box(-20.0, -15.0, 20.0, 15.0), 17.0))
    holed = without(block, shapely.Point(0.3, 0.2).buffer(8.0, quad_segs=16))
    standing = tiles_of(holed)
    assert len(list(leaves(standing))) > 10
    left = whole(standing)
    assert left.geom_type == "Polygon"
    assert len(left.interiors) == 1
    assert shapely.get_num_coordinates(left) == shapely.get_num_coordinates(holed)
    assert shapely.hausdorff_distance(left, holed) <= 1e-6


def test_tiles_fit_without_overlap() -> None:
    standing = tiles_of(without(BLOCK, shapely.Point(1.0, 2.0).buffer(12.0)))
    parts = [tile.area for tile in leaves(standing)]
    assert sum(part.area for part in parts) == pytest.approx(
        whole(standing).area, abs=1e-4
    )  # corners move to the grid
    assert all(part.geom_type in ("Polygon", "MultiPolygon") for part in parts)


def test_a_move_touches_only_the_tiles_near_it() -> None:
    standing = tiles_of(without(BLOCK, shapely.Point(0.0, 0.0).buffer(15.0)))
    swept = Sweeper(line((18.0, 18.0), (19.0, 25.0)), 1.0)
    left = Meeting(standing, swept, WHOLE).left
    before, after = set(leaves(standing)), set(leaves(left))
    assert before - after
    assert all(not apart(tile.bounds, swept.bounds) for tile in before - after)


def test_nothing_is_left_of_what_is_cut_away() -> None:
    standing = tiles_of(without(BLOCK, shapely.Point(0.0, 0.0).buffer(15.0)))
    for y in range(-22, 24, 4):
        standing = Meeting(standing, Sweeper(line((-30.0, y), (30.0, y)), RADIUS), WHOLE).left
    assert whole(standing).is_empty


def test_a_thin_piece_on_a_seam_is_as_thick_as_without() -> None:
    # 8 µm are met, 4 µm on either side of the seam at X0: each half alone would be thinner than contact
    strip = on_grid(shapely.box(-0.004, -20.0, 0.004, 20.0))
    halves = Halves(
        0,
        0.0,
        Tile(shapely.box(-0.004, -20.0, 0.0, 20.0)),
        Tile(shapely.box(0.0, -20.0, 0.004, 20.0)),
    )
    swept = Sweeper(line((0.0, -30.0), (0.0, 30.0)), RADIUS)
    in_tiles, plain = (Meeting(each, swept, WHOLE).met for each in (halves, Tile(strip)))
    assert in_tiles is not None
    assert plain is not None
    assert in_tiles.area == pytest.approx(plain.area, rel=1e-3)


def programs(shop: Shop, random: Random) -> str:
    """The square's program with one number changed, or the hexagon's cut too deep or turned."""
    axis, old = random.choice([("X", "23."), ("Y", "23."), ("X", "-23."), ("Y", "-23.")])
    new = float(old) + random.choice([-1.0, 1.0]) * 10.0 ** random.uniform(-3.0, 0.7)
    return shop.program.replace(f"G1 {axis}{old}\n", f"G1 {axis}{new:.4f}\n")


def found(shop: Shop, text: str, hexagon: bool) -> tuple[object, ...]:
    verdict = shop.run(text, shop.hexagon() if hexagon else shop.job())
    sizes = [round(size, 5) if size else size for size in verdict.as_cut[0].across_flats]
    return [(each.code, each.line) for each in verdict.findings], sizes, verdict.as_cut[0].not_cut


@pytest.mark.parametrize("seed", range(6))
def test_findings_do_not_depend_on_the_tiles(shop: Shop, seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    random = Random(seed)
    hexagon = seed % 3 == 0
    if hexagon:
        turn, depth = random.uniform(-0.3, 0.3), random.choice([-6.0, -5.9, -6.5])
        text = shop.hexagon_program(17.0 + random.uniform(-0.3, 0.3), depth, lambda flat: turn * (flat % 2))
    else:
        text = programs(shop, random)
    in_tiles = found(shop, text, hexagon)
    monkeypatch.setattr(tiles, "MOST_CORNERS", 10**9)
    assert found(shop, text, hexagon) == in_tiles
