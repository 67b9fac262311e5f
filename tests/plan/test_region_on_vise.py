"""What is fixed to the vise and turns with the work: met from everywhere or from nowhere; worked by hand."""

from __future__ import annotations

import math

import pytest

from polypocket.model.job import BlockJob
from polypocket.plan.extent import Step
from polypocket.plan.region import Region, misfits_of, region_of
from polypocket.program import Point, Rapid
from tests.plan.beside import NAN, ROOM, Triple, box, extreme, gate_key, mill_with, region, step, with_holder

#: On the vise, from the zero: turned by a quarter it is from -20 to -10 and from 30 to 50.
HANDLE = {"x": (30.0, 50.0), "y": (10.0, 20.0)}
QUARTER = math.pi / 2.0


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return gate_key()


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
