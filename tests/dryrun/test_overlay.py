"""Areas whose edges run along each other: what only touches is neither met nor removed."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.overlay import GRID, common, lost, on_grid, without
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.swept import outline_area, swept_straight

# A block as it stood before a finishing stroke of 4 mm radius that runs along the flat it has cut already. Without
# the grid its difference is empty and its intersection is the whole block (seen with GEOS 3.14.1).
BLOCK = (
    (-10.247079272684692, -23.99812441328971),
    (-18.812664504603532, -4.651289129971753),
    (-19.268321008582465, 2.0647286847721364),
    (-17.399140492071766, 8.532849532797368),
    (-13.43386179508956, 13.966799189483416),
    (-7.844114510520534, 17.720280334830143),
    (-1.309185167544555, 19.335276173155616),
    (5.378543626064939, 18.618306695892326),
    (11.42462810127495, 15.653986448004117),
    (16.088398711217575, 10.804508103990248),
    (18.812664504603532, 4.651289129971753),
    (19.268321008582465, -2.0647286847721364),
    (17.399140492071766, -8.532849532797368),
    (13.474053555033299, -13.911721093632524),
    (13.44131719021698, -13.956582444359313),
    (13.433861795089559, -13.966799189483417),
    (-1.50495653357433, -23.99812441328971),
)


def test_a_stroke_along_a_finished_flat_leaves_the_block() -> None:
    block = shapely.Polygon(BLOCK)
    stroke = swept_straight((15.326360000000001, -91.64066), (-57.543699999999994, 72.94879999999999), 4.0)
    assert without(block, stroke).area == pytest.approx(block.area, abs=1e-3)
    assert common(block, stroke).area == pytest.approx(0.0, abs=1e-3)
    assert lost(block, stroke, without(block, stroke)).area == pytest.approx(0.0, abs=1e-3)


def test_what_is_lost_is_asked_of_the_grid_where_floating_point_does_not_add_up(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The wrong answer, and none at all, that overlays in floating point may give where edges touch."""
    area, removed = shapely.box(0.0, 0.0, 10.0, 10.0), shapely.box(8.0, -1.0, 20.0, 20.0)
    exact, asked = shapely.intersection, list[bool]()

    def wrong(a: BaseGeometry, b: BaseGeometry, grid_size: float | None = None) -> BaseGeometry:
        asked.append(grid_size is not None)
        if grid_size is not None:
            return exact(a, b, grid_size=grid_size)
        if len(asked) > 2:
            raise shapely.GEOSException("side location conflict")
        return a

    monkeypatch.setattr(shapely, "intersection", wrong)
    for _ in range(2):
        assert lost(area, removed, without(area, removed)).equals(shapely.box(8.0, 0.0, 10.0, 10.0))
    assert asked == [False, True, False, True]


@settings(max_examples=100)
@given(st.integers(3, 16), st.floats(0.0, 6.3), st.floats(-14.0, 14.0), st.floats(2.0, 10.0))
def test_what_is_lost_is_what_both_have_in_common(
    sides: int, first: float, distance: float, radius: float
) -> None:
    angles = [first + i * math.tau / sides for i in range(sides)]
    area = on_grid(shapely.Polygon([(12.0 * math.cos(a), 12.0 * math.sin(a)) for a in angles]))
    removed = swept_straight((-9.0, distance), (4.0, distance), radius)
    shared = lost(area, removed, without(area, removed))
    apart = shapely.symmetric_difference(shared, common(area, removed), grid_size=GRID)
    assert apart.area <= GRID * (area.length + removed.length)


@settings(max_examples=60)
@given(
    st.integers(3, 16),
    st.floats(0.0, 6.3),
    st.floats(8.0, 40.0),
    st.floats(2.0, 10.0),
    st.sampled_from([3, 4]),
)
def test_going_round_again_on_the_same_lines_removes_nothing(
    sides: int, first: float, inradius: float, radius: float, decimals: int
) -> None:
    standing = on_grid(outline_area(rectangle_outline(2.2 * inradius, 2.2 * inradius)))
    unit = 1.0 if decimals == 3 else 25.4
    strokes = []
    for flat in range(sides):
        angle, line = first + flat * math.tau / sides, inradius + radius
        c, s = math.cos(angle), math.sin(angle)
        ends = ((line * c - a * s, line * s + a * c) for a in (-120.0, 120.0))
        begin, end = ((round(x / unit, decimals) * unit, round(y / unit, decimals) * unit) for x, y in ends)
        strokes.append(swept_straight(begin, end, radius))
    for stroke in strokes:
        standing = without(standing, stroke)
    area = standing.area
    for stroke in strokes:
        assert common(standing, stroke).area < 0.01
        standing = without(standing, stroke)
    assert standing.area == pytest.approx(area, abs=0.01)


def test_what_is_one_cell_thick_may_vanish_but_comes_to_no_line() -> None:
    """A sliver that a cutter left, 1 mm long and a millionth thick, and a body that goes through it."""
    sliver = shapely.Polygon([(0.67448, 0.181843), (0.675267, 0.182437), (0.674875, 0.182141)])
    standing = shapely.MultiPolygon([sliver, shapely.box(3.0, 3.0, 4.0, 4.0)])
    through = shapely.Polygon([(0.6751936, 0.1822958), (1.2546889, -0.1101303), (1.6371468, 1.1060977)])
    assert shapely.difference(standing, through, grid_size=GRID).geom_type == "GeometryCollection"
    left = without(standing, through)
    assert {part.geom_type for part in shapely.get_parts(left)} == {"Polygon"}
    assert without(left, shapely.box(3.0, 3.0, 3.5, 4.0)).area == pytest.approx(0.5, abs=1e-3)


def test_the_grid_moves_no_corner_further_than_half_a_cell() -> None:
    moved = on_grid(shapely.Polygon(BLOCK))
    assert shapely.hausdorff_distance(moved, shapely.Polygon(BLOCK)) <= GRID * math.sqrt(0.5) + 1e-12
