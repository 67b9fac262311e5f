"""Ways between strokes on a square: round the outside, over the top, and never through the block."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
import shapely

from polypocket.cutting.time import Kinematics
from polypocket.plan.cuts import cut_along
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke, stroke_of
from polypocket.plan.ways import Way, way_between
from polypocket.program import Feed, Point, Rapid
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.stroke import Line

MakeMethod = Callable[..., Method]

SQUARE = rectangle_outline(40.0, 40.0)


def two_strokes(method: Method, turn: float, first: float, second: float) -> tuple[Stroke, Stroke]:
    """A stroke along the flat towards +X, and one along a flat turned from it, each at its own height."""
    one = cut_along(1, 1, Line(0.0, 18.0), SQUARE, method.radius)
    # What stands further down has not been cut yet.
    outline = one.after if second == first else SQUARE
    line = Line(turn, outline.support(turn) - 2.0)
    other = cut_along(2, 1, line, outline, method.radius)
    return stroke_of("", first, "rough", one, method), stroke_of("", second, "rough", other, method)


def points_of(stroke: Stroke, way: Way) -> list[tuple[float, float, float]]:
    x, y = stroke.cut.path[-1].to
    points = [(x, y, stroke.level)]
    for move in (way.lead_out, *way.link):
        assert isinstance(move, Feed | Rapid)
        x, y, z = (old if new is None else new for old, new in zip(points[-1], move.to, strict=True))
        points.append((x, y, z))
    return points


@pytest.mark.parametrize("turn", [0.0, 0.8, math.pi / 2.0, math.pi, 5.0])
@pytest.mark.parametrize(("first", "second"), [(-5.0, -5.0), (-5.0, -8.0)])
@pytest.mark.parametrize("backlash", [(0.0, 0.0), (0.1, 0.05)])
def test_arrives_without_touching_the_block(
    method: MakeMethod, turn: float, first: float, second: float, backlash: tuple[float, float]
) -> None:
    how = method(backlash=backlash)
    before, after = two_strokes(how, turn, first, second)
    points = points_of(before, way_between(before, after, how))
    assert points[-1] == pytest.approx((*after.arrivals[-1], second))
    stands = shapely.Polygon(after.cut.before.vertices)
    for a, b in pairwise(points):
        if min(a[2], b[2]) < 0.0:
            path = shapely.LineString([a[:2], b[:2]]) if a[:2] != b[:2] else shapely.Point(a[:2])
            beside = shapely.Polygon(before.cut.after.vertices) if min(a[2], b[2]) >= first else stands
            assert path.distance(beside) >= how.radius - 1e-6


def test_the_quicker_way_is_taken(method: MakeMethod) -> None:
    """With a slow Z the cutter goes round; where feeds are slow and rapids quick it goes over the top."""
    plain = method()
    before, after = two_strokes(plain, math.pi, -1.0, -1.0)
    slow_z = method(kinematics=_rapids(10.0, 10.0))
    assert all(z == -1.0 for _, _, z in points_of(before, way_between(before, after, slow_z)))
    slow_feed = method(feed_max=100.0, kinematics=_rapids(9000.0, 9000.0))
    assert max(z for _, _, z in points_of(before, way_between(before, after, slow_feed))) == plain.crossing


def test_no_rapid_goes_down_and_across_at_once(method: MakeMethod) -> None:
    how = method(feed_max=100.0)
    before, after = two_strokes(how, math.pi, -5.0, -5.0)
    way = way_between(before, after, how)
    here = Point(*before.cut.leave, before.level)
    for move in way.link:
        across = (move.to.x, move.to.y) != (here.x, here.y)
        if isinstance(move, Rapid) and across:
            assert min(here.z or 0.0, move.to.z or 0.0) == how.crossing
        here = move.to


def _rapids(across: float, up: float) -> Kinematics:
    return Kinematics((across, across, up), (250.0, 250.0, 250.0), True, 1500.0)
