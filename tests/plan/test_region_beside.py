"""What a keep-out on the table takes out of the region, for single motions worked by hand (``beside.py``).

The cutter's radius is 5; with a holder of 40 mm 35 above its tip where a test says so.
"""

from __future__ import annotations

import math
import random

import pytest

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.extent import Step
from polypocket.plan.region import misfits_of
from polypocket.program import Arc, Point, Rapid
from tests.plan.beside import NAN, ROOM, Triple, box, gate_key, mill_with, region, step, with_holder

#: On this side of an edge, or on the other: more than what the forbidden places are larger than need be, mm.
SIDE = 0.02


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return gate_key()


#: A zero in the middle of the box: over or in it, whatever the heights.
INSIDE = (110.0, -150.0, -10.0)


@pytest.mark.parametrize(
    ("start", "to", "lowest"),
    [
        ((0.0, 0.0, 10.0), (0.0, 0.0, -5.0), -5.0),
        ((0.0, 0.0, -5.0), (1.0, 0.0, 10.0), -5.0),
        ((0.0, 0.0, -5.0), (0.0, 0.0, 10.0), -5.0),
        ((0.0, 0.0, NAN), (0.0, 0.0, -5.0), -5.0),  # straight down, from wherever it was
    ],
)
def test_only_what_is_lower_than_the_top_counts(
    job: BlockJob, start: Triple, to: Triple, lowest: float
) -> None:
    """With the zero at -80 the tip gets down to -85."""
    for top, free in ((-80.0 + lowest, True), (-79.9 + lowest, False)):
        found = region(job, mill_with(box(top)), step(start, to))
        assert found.low == (0.0, -300.0, -80.0)
        assert found.holds(INSIDE) == free


@pytest.mark.parametrize(
    ("start", "to"),
    [
        ((5.0, 0.0, NAN), (0.0, 0.0, -5.0)),  # aslant, from nobody knows how low
        ((0.0, 5.0, NAN), (0.0, 0.0, -5.0)),
        ((0.0, 0.0, NAN), (5.0, 0.0, NAN)),
    ],
)
def test_a_height_that_is_not_known_is_the_lowest(job: BlockJob, start: Triple, to: Triple) -> None:
    found = region(job, mill_with(box(-159.0)), step(start, to))
    assert not found.holds(INSIDE)
    assert found.holds((50.0, -150.0, -10.0))


def test_from_wherever_it_stands(job: BlockJob) -> None:
    """Up to 20: with the zero at -80 that is -60, at -10 it is 10. Where it may meet the box it may from everywhere."""
    up = step((NAN, NAN, NAN), (NAN, NAN, 20.0))
    assert region(job, mill_with(box(-60.0)), up).low[2] == -80.0
    raised = region(job, mill_with(box(-59.9)), up)
    assert raised.low[2] == -10.0
    assert raised.holds(INSIDE)
    for start, to in (
        ((NAN, 0.0, 0.0), (0.0, 0.0, -30.0)),
        ((0.0, NAN, 0.0), (0.0, 0.0, -30.0)),
        ((NAN, 0.0, NAN), (NAN, 5.0, 20.0)),  # Y moves, so that it does not go straight up
    ):
        mill = mill_with(box())
        none = region(job, mill, step(start, to))
        assert none.is_empty
        (misfit,) = misfits_of(ROOM, [step(start, to)], none, job, mill, 0.0)
        assert misfit == ("x", 0.0, ROOM.low[0].step, ROOM.high[0].step, "keep-out")


def test_the_highest_zero_where_the_upper_half_leaves_nothing(job: BlockJob) -> None:
    """At -80 the cutter is at -85, at -10 at -15; a wall all over up to -16."""
    wall = box(-16.0, x=(-500.0, 500.0), y=(-500.0, 500.0))
    found = region(job, mill_with(wall), step((0.0, 0.0, -5.0), (1.0, 0.0, -5.0)))
    assert (found.low, found.high) == ((0.0, -300.0, -10.0), (300.0, 0.0, -10.0))
    assert not found.is_empty


def edges(job: BlockJob, mill: Mill, at: tuple[float, float], out: tuple[float, float], *steps: Step) -> bool:
    """Whether the region begins at a place, going that way."""
    found = region(job, mill, *steps)
    inside, outside = (
        found.holds((at[0] + side * out[0], at[1] + side * out[1], -50.0)) for side in (-SIDE, SIDE)
    )
    return outside and not inside


def test_a_straight_way(job: BlockJob) -> None:
    """40 along X: its end is 5 before the box from 55, its beginning 5 behind it from 125."""
    way = step((0.0, 0.0, -5.0), (40.0, 0.0, -5.0))
    mill = mill_with(box())
    for at, out in (
        ((55.0, -150.0), (-1.0, 0.0)),
        ((125.0, -150.0), (1.0, 0.0)),
        ((90.0, -165.0), (0.0, -1.0)),
        ((90.0, -135.0), (0.0, 1.0)),
    ):
        assert edges(job, mill, at, out, way)


def test_the_holder_above_what_the_cutter_clears(job: BlockJob) -> None:
    """Its nose is at -80 - 5 + 35 = -50."""
    at = step((0.0, 0.0, -5.0), (0.0, 0.0, -5.0))
    held = with_holder(job)
    assert edges(held, mill_with(box(-49.9)), (80.0, -150.0), (-1.0, 0.0), at)
    assert edges(held, mill_with(box(-50.0)), (95.0, -150.0), (-1.0, 0.0), at)
    assert edges(job, mill_with(box(-49.9)), (95.0, -150.0), (-1.0, 0.0), at)


def test_each_cutter_as_wide_as_it_is(job: BlockJob) -> None:
    (cutter,) = job.cutters
    wide = cutter.model_copy(update={"number": 2, "diameter": 30.0})
    both = job.model_copy(update={"cutters": (cutter, wide)})
    for number, radius in ((1, 5.0), (2, 15.0)):
        at = step((0.0, 0.0, -5.0), (0.0, 0.0, -5.0), cutter=number)
        assert edges(both, mill_with(box()), (100.0 - radius, -150.0), (-1.0, 0.0), at)


def test_a_rapid_whose_axes_go_each_by_itself(job: BlockJob) -> None:
    """From (3, -2) to (43, 28) it may be anywhere in between: 3 beside the box with either corner, while the straight
    way passes it far off."""
    aslant = (3.0, -2.0, -5.0), (43.0, 28.0, -5.0)
    rapid, feed = step(*aslant, Rapid(Point(43.0, 28.0))), step(*aslant)
    each_by_itself = mill_with(box(), rapid_path="independent")
    for zero in ((54.0, -148.0, -50.0), (120.0, -178.0, -50.0)):
        assert not region(job, each_by_itself, rapid).holds(zero)
        assert region(job, mill_with(box()), rapid).holds(zero)
        assert region(job, each_by_itself, feed).holds(zero)
    for at, out in (
        ((95.0 - 43.0, -163.0), (-1.0, 0.0)),
        ((125.0 - 3.0, -163.0), (1.0, 0.0)),
        ((87.0, -165.0 - 28.0), (0.0, -1.0)),
        ((87.0, -135.0 + 2.0), (0.0, 1.0)),
    ):
        assert edges(job, each_by_itself, at, out, rapid)


def arc(clockwise: bool, turns: int = 0, end: tuple[float, float] = (10.0, 50.0)) -> Step:
    """About (10, 20) with a radius of 30, from +X of it to +Y."""
    to = (*end, -5.0)
    return step((40.0, 20.0, -5.0), to, Arc(Point(*to), (10.0, 20.0), clockwise, turns, 100.0))


def bulge(way: Step, job: BlockJob) -> bool:
    """Whether it goes by way of 0.6 · 30 and 0.8 · 30 from its centre: at (28, 44), 5 before the box' corner."""
    return edges(job, mill_with(box()), (100.0 - 3.0 - 28.0, -160.0 - 4.0 - 44.0), (-0.6, -0.8), way)


def back(way: Step, job: BlockJob) -> bool:
    """Whether it goes by way of -30 from its centre: at (-20, 20), 5 behind the box."""
    return edges(job, mill_with(box()), (120.0 + 5.0 + 20.0, -150.0 - 20.0), (1.0, 0.0), way)


def test_arcs_by_what_they_go_through(job: BlockJob) -> None:
    assert [(bulge(way, job), back(way, job)) for way in (arc(False), arc(True))] == [
        (True, False),
        (False, True),
    ]
    for clockwise in (False, True):
        more = arc(clockwise, 1)
        assert (bulge(more, job), back(more, job)) == (True, True)
        full = arc(clockwise, 1, (40.0, 20.0))
        assert (bulge(full, job), back(full, job)) == (True, True)


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize("begin", range(10, 360, 50))
def test_short_arcs_all_round_against_points_on_them(job: BlockJob, begin: int, clockwise: bool) -> None:
    """Of 60° about (10, 20) with a radius of 30, at 300 places of the zero."""
    degrees = [begin + (-60.0 if clockwise else 60.0) * i / 300.0 for i in range(301)]
    points = [
        (10.0 + 30.0 * math.cos(math.radians(each)), 20.0 + 30.0 * math.sin(math.radians(each)))
        for each in degrees
    ]
    to = (*points[-1], -5.0)
    way = step((*points[0], -5.0), to, Arc(Point(*to), (10.0, 20.0), clockwise, 0, 100.0))
    found = region(job, mill_with(box()), way)
    draw = random.Random(begin)
    met = 0
    for _ in range(300):
        x, y = draw.uniform(60.0, 160.0), draw.uniform(-240.0, -100.0)
        nearest = min(
            math.hypot(max(100.0 - x - dx, 0.0, x + dx - 120.0), max(-160.0 - y - dy, 0.0, y + dy + 140.0))
            for dx, dy in points
        )
        if abs(nearest - 5.0) > 0.05:
            assert found.holds((x, y, -50.0)) == (nearest > 5.0)
            met += nearest < 5.0
    assert met > 10


def test_an_arc_hardly_worth_the_name(job: BlockJob) -> None:
    """Of 0.001 mm, and one that goes nowhere: the cutter is at the zero."""
    for to, turns in (((0.0, -0.001), 0), ((0.001, 0.0), 1), ((0.001, 0.0), 0)):
        end = (*to, -5.0)
        way = step((0.001, 0.0, -5.0), end, Arc(Point(*end), (0.0, 0.0), True, turns, 100.0))
        assert edges(job, mill_with(box()), (95.0, -150.0), (-1.0, 0.0), way)
