"""The shortest way among boxes against every way over at most four corners, judged by a geometry engine."""

from __future__ import annotations

import math
from itertools import pairwise, permutations
from random import Random

import pytest
import shapely

from polypocket.shape.among import way_among
from polypocket.shape.around import fence, way_round
from polypocket.shape.outline import Outline, rectangle_outline

Pair = tuple[float, float]
ROOM = (-1000.0, -1000.0, 1000.0, 1000.0)


def box(x: float, y: float, width: float, length: float) -> Outline:
    return Outline(((x + width, y), (x + width, y + length), (x, y + length), (x, y)))


def length_of(way: tuple[Pair, ...]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(way))


def is_clear(a: Pair, b: Pair, fences: list[shapely.Polygon]) -> bool:
    line = shapely.LineString((a, b))
    return not any(line.intersects(each.buffer(-1e-6)) for each in fences)


def shortest(start: Pair, end: Pair, fences: list[shapely.Polygon]) -> float:
    """Return the length of the shortest way over at most four corners, trying all."""
    corners = [corner for each in fences for corner in each.exterior.coords[:-1]]
    clear = {(a, b): is_clear(a, b, fences) for a in (*corners, start) for b in (*corners, end) if a != b}
    best = math.inf
    for count in range(5):
        for chosen in permutations(corners, count):
            way = (start, *chosen, end)
            if all(clear[leg] for leg in pairwise(way)):
                best = min(best, length_of(way))
    return best


@pytest.mark.parametrize("seed", range(12))
def test_the_shortest_of_all_ways(seed: int) -> None:
    random = Random(seed)
    obstacle = rectangle_outline(20.0, 20.0)
    other = box(random.uniform(13.0, 20.0), random.uniform(-30.0, 10.0), 10.0, random.uniform(20.0, 50.0))
    fences = [shapely.Polygon(fence(obstacle, 2.0).vertices), shapely.Polygon(other.vertices)]
    start, end = (-20.0, random.uniform(-15.0, 15.0)), (40.0, random.uniform(-15.0, 15.0))
    way = way_among(obstacle, 2.0, [other], ROOM, start, end)
    assert way is not None
    assert (way[0], way[-1]) == (start, end)
    assert all(is_clear(a, b, fences) for a, b in pairwise(way))
    assert length_of(way) == pytest.approx(shortest(start, end, fences), abs=1e-5)


def test_alone_it_is_the_way_round() -> None:
    obstacle = rectangle_outline(30.0, 20.0)
    for start, end in (
        ((-30.0, 4.0), (30.0, 4.0)),
        ((-20.0, 12.0), (15.5, -9.0)),
        ((0.0, 14.0), (5.0, 15.0)),
    ):
        among = way_among(obstacle, 5.0, [], ROOM, start, end)
        assert among is not None
        assert length_of(among) == pytest.approx(length_of(way_round(obstacle, 5.0, start, end)), abs=1e-6)


def test_the_room_shuts_off_the_shorter_side() -> None:
    """Without the room it goes over the top, y = 15; with a room that ends at y = 14 below, which is longer."""
    obstacle = rectangle_outline(20.0, 20.0)
    start, end = (-20.0, 4.0), (20.0, 4.0)
    free = way_among(obstacle, 5.0, [], ROOM, start, end)
    shut = way_among(obstacle, 5.0, [], (-1000.0, -1000.0, 1000.0, 14.0), start, end)
    assert free is not None and max(y for _, y in free) == pytest.approx(15.0)
    assert shut is not None and max(y for _, y in shut) == 4.0
    assert length_of(shut) > length_of(free)


@pytest.mark.parametrize(("axis", "sign"), [(1, 1.0), (1, -1.0), (0, 1.0), (0, -1.0)])
@pytest.mark.parametrize(("end", "shut"), [(15.0, False), (15.0 - 5e-7, False), (15.0 - 5e-6, True)])
def test_each_side_of_the_room(axis: int, sign: float, end: float, shut: bool) -> None:
    """The fence's corners stand 15 out; the room ends there on one side, which is the shorter by 4 mm each way."""
    across, along = 4.0 * sign, 20.0
    start, to = ((-along, across), (along, across)) if axis == 1 else ((across, -along), (across, along))
    room = list(ROOM)
    room[axis + 2 if sign > 0.0 else axis] = end * sign
    way = way_among(rectangle_outline(20.0, 20.0), 5.0, [], (room[0], room[1], room[2], room[3]), start, to)
    assert way is not None
    heights = [point[axis] * sign for point in way]
    assert (min(heights), max(heights)) == pytest.approx((-15.0, 4.0) if shut else (4.0, 15.0))


def test_among_four_walls() -> None:
    """From -40 to 20, then from -20 to 40, and again: below, (12, -40) and (36, -40), 121.873; above, 124.395."""
    walls = [box(12.0 + 10.0 * i, -40.0 + 20.0 * (i % 2), 4.0, 60.0) for i in range(4)]
    way = way_among(rectangle_outline(10.0, 10.0), 2.0, walls, ROOM, (-20.0, 0.0), (60.0, 0.0))
    assert way is not None
    assert way == ((-20.0, 0.0), (12.0, -40.0), (36.0, -40.0), (60.0, 0.0))
    assert length_of(way) == pytest.approx(math.hypot(32.0, 40.0) + 24.0 + math.hypot(24.0, 40.0))


def test_no_way() -> None:
    """A wall across the whole room."""
    wall = box(15.0, -2000.0, 2.0, 4000.0)
    assert way_among(rectangle_outline(10.0, 10.0), 1.0, [wall], ROOM, (-20.0, 0.0), (40.0, 0.0)) is None
