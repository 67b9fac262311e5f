"""What a keep-out takes out of the region, for single motions worked by hand.

The zero may be from 0 to 300, -300 to 0 and -150 to -10: for the upper half of that from -80. A box stands from 100 to
120 and from -160 to -140. The cutter's radius is 5; with a holder of 40 mm 35 above its tip where a test says so.
"""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill, ToolChange
from polypocket.model.surroundings import KeepOut
from polypocket.plan.extent import Extent, Extreme, Step
from polypocket.plan.region import Region, misfits_of, region_of
from polypocket.program import Arc, Feed, Move, Point, Rapid

ROOT = Path(__file__).parents[2]
NAN = math.nan
Triple = tuple[float, float, float]

#: On this side of an edge, or on the other: more than what the forbidden places are larger than need be, mm.
SIDE = 0.02
ABOVE_ALL = -20.0


def step(start: Triple, to: Triple, move: Move | None = None, cutter: int = 1) -> Step:
    return Step(start, to, move or Feed(Point(*to), 100.0), 1, "section 1", 1, "cut", cutter)


def extreme(at: float, x: float) -> Extreme:
    return Extreme(at, step((x, 0.0, 0.0), (x, 0.0, 0.0)))


ROOM = Extent(
    (extreme(0.0, 1.0), extreme(0.0, 2.0), extreme(-10.0, 3.0)),
    (extreme(0.0, 4.0), extreme(0.0, 5.0), extreme(10.0, 6.0)),
)


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")


def with_holder(job: BlockJob) -> BlockJob:
    (cutter,) = job.cutters
    return job.model_copy(update={"cutters": (cutter.model_copy(update={"holder_diameter": 40.0}),)})


def box(top: float = ABOVE_ALL, *, on_vise: bool = False, **sides: tuple[float, float]) -> KeepOut:
    where = {"x": (100.0, 120.0), "y": (-160.0, -140.0)} | sides
    return KeepOut(name="stop", x=where["x"], y=where["y"], z=(-160.0, top), on_vise=on_vise)


def mill_with(*things: KeepOut, rapid_path: str = "straight") -> Mill:
    mill = load_mill(ROOT / "fixtures" / "mills" / "short_table.toml")
    ends = {"x": (0.0, 300.0), "y": (-300.0, 0.0), "z": (-160.0, 0.0)}
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in ends.items()
    }
    return mill.model_copy(
        update={
            "axes": mill.axes.model_copy(update=axes),
            "tool_change": ToolChange(),
            "column": None,
            "rapid_path": rapid_path,
            "keep_out": things,
        }
    )


def region(job: BlockJob, mill: Mill, *steps: Step, swivel: float = 0.0) -> Region:
    return region_of(ROOM, steps, job, mill, swivel)


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


#: On the vise, from the zero: turned by a quarter it is from -20 to -10 and from 30 to 50.
HANDLE = {"x": (30.0, 50.0), "y": (10.0, 20.0)}
QUARTER = math.pi / 2.0


def met(job: BlockJob, swivel: float, *steps: Step, rapid_path: str = "straight") -> Step | None:
    """Which step meets what is on the vise; beside something on the table that these do not come near."""
    mill = mill_with(box(-5.0, on_vise=True, **HANDLE), box(), rapid_path=rapid_path)
    found = region(job, mill, *steps, swivel=swivel)
    misfits = misfits_of(ROOM, steps, found, job, mill, swivel)
    if not misfits:
        assert found.holds((50.0, -250.0, -10.0))
        return None
    (misfit,) = misfits
    assert misfit == ("x", 0.0, misfit.low, misfit.low, "on vise")
    assert found.is_empty
    return misfit.low


@pytest.mark.parametrize(
    ("to", "swivel", "meets"),
    [
        ((26.0, 15.0, -6.0), 0.0, True),  # 4 before it
        ((24.9, 15.0, -6.0), 0.0, False),
        ((25.0, 15.0, -6.0), 0.0, False),  # beside it
        ((26.0, 15.0, -5.0), 0.0, False),  # above it
        ((26.0, 15.0, -5.01), 0.0, True),
        ((-15.0, 26.0, -6.0), QUARTER, True),
        ((-15.0, 24.9, -6.0), QUARTER, False),
        ((-15.0, 26.0, -6.0), 0.0, False),
        ((26.0, 15.0, -6.0), QUARTER, False),
    ],
)
def test_what_turns_with_the_work(job: BlockJob, to: Triple, swivel: float, meets: bool) -> None:
    before, way = step((0.0, 0.0, 0.0), (0.0, 0.0, to[2])), step((0.0, 0.0, to[2]), to)
    again = step(to, (*to[:2], -7.0))
    assert met(job, swivel, before, way) == (way if meets else None)
    if meets:
        assert met(job, swivel, before, way, again) is way  # the first one


def test_the_holder_over_what_is_on_the_vise(job: BlockJob) -> None:
    """19 before it, and the nose 35 above the tip: at -6 it is below the top, at -5 it is not."""
    for z, meets in ((-41.0, True), (-40.0, False)):
        way = step((0.0, 15.0, z), (11.0, 15.0, z))
        assert met(with_holder(job), 0.0, way) == (way if meets else None)
        assert met(job, 0.0, way) is None


def test_on_the_vise_a_rapid_goes_anywhere_in_between(job: BlockJob) -> None:
    """From (40, -10) to (70, 15), whose corner (40, 15) is in it; straight it passes 9 beside it."""
    way = step((40.0, -10.0, -6.0), (70.0, 15.0, -6.0), Rapid(Point(70.0, 15.0)))
    assert met(job, 0.0, way) is None
    assert met(job, 0.0, way, rapid_path="independent") is way


def test_on_the_vise_from_wherever_it_stands(job: BlockJob) -> None:
    for start in ((NAN, NAN, -6.0), (0.0, NAN, -6.0), (NAN, 0.0, -6.0)):
        way = step(start, (0.0, 0.0, -6.0))
        assert met(job, 0.0, way) is way
    assert met(job, 0.0, step((0.0, 0.0, NAN), (0.0, 0.0, -6.0))) is None


def test_travel_that_does_not_do_is_told_before_what_is_on_the_vise(job: BlockJob) -> None:
    """The zero would have to be from 0 to -1."""
    way = step((0.0, 0.0, -6.0), (26.0, 15.0, -6.0))
    mill = mill_with(box(-5.0, on_vise=True, **HANDLE))
    wide = ROOM._replace(high=(extreme(301.0, 4.0), *ROOM.high[1:]))
    none = Region((0.0, -300.0, -150.0), (-1.0, 0.0, -10.0))
    assert region_of(wide, [way], job, mill_with(box()), 0.0) == none  # and what is on the table is no matter
    found = region_of(wide, [way], job, mill, 0.0)
    assert found == none
    assert [each.what for each in misfits_of(wide, [way], found, job, mill, 0.0)] == ["travel"]


def test_what_stands_on_the_table_does_not_stand_beside_the_zero(job: BlockJob) -> None:
    """Nor the other way round: a thing on the vise is nowhere on the table."""
    at = step((0.0, 0.0, -30.0), (0.0, 0.0, -30.0))
    far = box(-5.0, on_vise=True)  # 100 before the zero
    near = box(x=(-5.0, 5.0), y=(-5.0, 5.0))
    found = region(job, mill_with(far, near), at)
    assert found.holds((110.0, -150.0, -50.0))
    assert not found.holds((0.0, 0.0, -50.0))
    assert found.holds((50.0, -50.0, -50.0))
    # Without anything on the table the region is the whole box.
    assert region(job, mill_with(far), at) == Region((0.0, -300.0, -150.0), (300.0, 0.0, -10.0))
