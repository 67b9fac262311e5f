"""The box of work zeros and why it is empty, on a mill that is invented: worked by hand.

Its travel is 0 to 150, -290 to 0 and -160 to 0; the program goes from -30 to 40, -20 to 25 and -5 to 30. So the zero is
from 30 to 110, -270 to -25 and -155 to -30. The vise is 250 by 220 by 110: the work reaches back to 110.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill, ToolChange
from polypocket.model.surroundings import Column, TableTop
from polypocket.plan.extent import Extent, Extreme, Step
from polypocket.plan.region import Misfit, Region, bounds_of, misfits_of, region_of, work_back
from polypocket.program import Feed, Point

ROOT = Path(__file__).parents[2]


def extreme(at: float, number: int) -> Extreme:
    return Extreme(at, Step((0.0,) * 3, (0.0,) * 3, Feed(Point(), 1.0), number, "section 1", 1, "cut", 1))


LOW = extreme(-30.0, 1), extreme(-20.0, 2), extreme(-5.0, 3)
HIGH = extreme(40.0, 4), extreme(25.0, 5), extreme(30.0, 6)
NEEDS = Extent(LOW, HIGH)


@pytest.fixture(scope="module")
def job() -> BlockJob:
    """Square stock of 40 mm, 20 thick, 10 of them in the vise."""
    job = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")
    stock = job.stock.model_copy(update={"shape": "square", "diameter": None, "width": 40.0})
    clamping = job.clamping.model_copy(update={"grip": "vise", "held": 10.0})
    return job.model_copy(update={"stock": stock, "clamping": clamping})


def mill_with(
    x: tuple[float, float] = (0.0, 150.0),
    y: tuple[float, float] = (-290.0, 0.0),
    z: tuple[float, float] = (-160.0, 0.0),
    *,
    change_y: float | None = None,
    throat: float | None = None,
    table_z: float | None = None,
) -> Mill:
    mill = load_mill(ROOT / "fixtures" / "mills" / "short_table.toml")
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in (("x", x), ("y", y), ("z", z))
    }
    return mill.model_copy(
        update={
            "axes": mill.axes.model_copy(update=axes),
            "tool_change": ToolChange(at=None if change_y is None else (75.0, change_y, 0.0)),
            "column": None if throat is None else Column(throat=throat),
            "table": None
            if table_z is None
            else TableTop(x=(0.0, 150.0), y=(-290.0, 0.0), z=table_z),
        }
    )  # fmt: skip


def region(job: BlockJob, mill: Mill) -> Region:
    return region_of(NEEDS, [], job, mill, 0.0)


def misfits(job: BlockJob, mill: Mill) -> tuple[Misfit, ...]:
    return misfits_of(NEEDS, [], region(job, mill), job, mill, 0.0)


def misfit(axis: str, over: float, low: Extreme, high: Extreme, what: str) -> Misfit:
    return Misfit(axis, pytest.approx(over), low.step, high.step, what)  # type: ignore[arg-type]


def test_the_box_of_the_travel(job: BlockJob) -> None:
    mill = mill_with()
    assert bounds_of(NEEDS, job, mill, 0.0) == Region((30.0, -270.0, -155.0), (110.0, -25.0, -30.0))
    assert region(job, mill) == bounds_of(NEEDS, job, mill, 0.0)
    assert misfits(job, mill) == ()


@pytest.mark.parametrize(
    ("change_y", "throat", "high"),
    [
        (-200.0, 330.0, -25.0),  # -200 + 330 - 110 = 20 is beyond
        (-250.0, 330.0, -30.0),
        (-250.0, None, -25.0),  # no column
        (None, 330.0, -25.0),  # changed wherever it stands
    ],
)
def test_the_column_where_the_cutter_is_changed(
    job: BlockJob, change_y: float | None, throat: float | None, high: float
) -> None:
    mill = mill_with(change_y=change_y, throat=throat)
    assert region(job, mill) == Region((30.0, -270.0, -155.0), (110.0, high, -30.0))


def test_the_further_of_vise_and_stock_reaches_back(job: BlockJob) -> None:
    """Square stock of 40 in a vise of 30 by 24: 20 straight, and 20 · √2 turned by an eighth."""
    mill = mill_with()
    assert mill.vise is not None
    assert work_back(job, mill, 0.0) == pytest.approx(110.0)
    small = mill.model_copy(update={"vise": mill.vise.model_copy(update={"body": (30.0, 24.0, 110.0)})})
    assert work_back(job, small, 0.0) == pytest.approx(20.0)
    assert work_back(job, small, math.pi / 4.0) == pytest.approx(20.0 * math.sqrt(2.0))
    on_plate = job.model_copy(update={"clamping": job.clamping.model_copy(update={"grip": "plate"})})
    assert work_back(on_plate, mill, 0.0) == pytest.approx(20.0)


@pytest.mark.parametrize(("table_z", "z"), [(-200.0, -80.0), (-150.0, -30.0), (-275.0, -155.0)])
def test_the_table_fixes_the_height(job: BlockJob, table_z: float, z: float) -> None:
    """110 of the vise and 20 - 10 of the stock above it."""
    assert region(job, mill_with(table_z=table_z)) == Region((30.0, -270.0, z), (110.0, -25.0, z))
    assert misfits(job, mill_with(table_z=table_z)) == ()


@pytest.mark.parametrize(
    ("table_z", "over", "end"),
    [(-290.0, 15.0, LOW[2]), (-140.0, 10.0, HIGH[2])],  # Z would have to be at -170, or at -20
)
def test_a_table_too_low_or_too_high(job: BlockJob, table_z: float, over: float, end: Extreme) -> None:
    assert misfits(job, mill_with(table_z=table_z)) == (misfit("z", over, end, end, "table"),)


def test_travel_that_does_not_do(job: BlockJob) -> None:
    """Wanted are 70, 45 and 35; what the table lacks besides is not told."""
    short = mill_with((0.0, 60.0), (-30.0, 0.0), (-25.0, 0.0), table_z=-290.0)
    assert misfits(job, short) == (
        misfit("x", 10.0, LOW[0], HIGH[0], "travel"),
        misfit("y", 15.0, LOW[1], HIGH[1], "travel"),
        misfit("z", 10.0, LOW[2], HIGH[2], "travel"),
    )
    assert region(job, short) == Region((30.0, -10.0, -20.0), (20.0, -25.0, -170.0))
    assert misfits(job, mill_with((0.0, 70.0), (-45.0, 0.0), (-35.0, 0.0))) == ()


@pytest.mark.parametrize(("throat", "over"), [(120.0, 10.0), (129.5, 0.5), (130.0, None), (131.0, None)])
def test_the_column_at_the_foremost_motion(job: BlockJob, throat: float, over: float | None) -> None:
    """At Y-20 of the program the column is at throat - 20, and the vise's back at 110."""
    mill = mill_with(throat=throat)
    assert region(job, mill).is_empty == (over is not None)
    wanted = () if over is None else (misfit("y", over, LOW[1], LOW[1], "column"),)
    assert misfits(job, mill) == wanted
    assert misfits(job, mill_with(throat=throat, table_z=-200.0)) == wanted  # the table is no reason


def test_no_room_before_the_column_for_a_change(job: BlockJob) -> None:
    """-300 + 130 - 110 = -280, and -270 is the lowest."""
    change = misfit("y", 10.0, LOW[1], LOW[1], "cutter change")
    assert misfits(job, mill_with(change_y=-300.0, throat=130.0)) == (change,)
    # Beside X; where Y has too little travel anyway, that is told alone.
    narrow = misfit("x", 10.0, LOW[0], HIGH[0], "travel")
    assert misfits(job, mill_with((0.0, 60.0), change_y=-300.0, throat=130.0)) == (narrow, change)
    assert misfits(job, mill_with((0.0, 60.0), change_y=-290.0, throat=130.0)) == (narrow,)  # -270 does
    short = misfit("y", 15.0, LOW[1], HIGH[1], "travel")
    both = mill_with((0.0, 60.0), (-30.0, 0.0), change_y=-300.0, throat=130.0)
    assert misfits(job, both) == (narrow, short)


def test_what_a_region_holds() -> None:
    box = Region((30.0, -270.0, 0.3), (110.0, -25.0, 0.1 + 0.2))
    assert not box.is_empty  # 0.1 + 0.2 is more than 0.3 in binary
    assert not Region((0.1 + 0.2, 0.0, 0.0), (0.3, 0.0, 0.0)).is_empty
    assert Region((0.0, 0.0, 0.001), (1.0, 1.0, 0.0)).is_empty
    for zero in ((30.0, -25.0, 0.3), (110.0, -270.0, 0.3), (30.0 - 5e-10, -25.0 + 5e-10, 0.3)):
        assert box.holds(zero)
    for zero in ((29.9, -25.0, 0.3), (110.1, -25.0, 0.3), (50.0, -24.9, 0.3), (50.0, -100.0, 0.4)):
        assert not box.holds(zero)


def test_what_a_region_holds_where_a_piece_is_taken_out() -> None:
    area = shapely.box(0.0, 0.0, 10.0, 10.0).difference(shapely.box(4.0, 4.0, 6.0, 6.0))
    region = Region((0.0, 0.0, 0.0), (10.0, 10.0, 5.0), area)
    for zero in ((0.0, 10.0, 5.0), (4.0, 4.0, 0.0), (4.0 + 5e-10, 5.0, 0.0)):
        assert region.holds(zero)
    for zero in ((5.0, 5.0, 0.0), (4.1, 5.0, 0.0), (2.0, 2.0, 5.1), (-0.1, 2.0, 0.0)):
        assert not region.holds(zero)
    assert not region.is_empty
    assert region._replace(area=shapely.Polygon()).is_empty
    assert not region._replace(area=shapely.Polygon()).holds((2.0, 2.0, 0.0))
