"""Which of several settings is taken, and where in its region the zero is put: worked by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill, ToolChange
from polypocket.model.surroundings import Column, KeepOut
from polypocket.plan import program_of, strokes_of
from polypocket.plan.extent import Extent, Step, extent_of
from polypocket.plan.place import Place, best_place, place_at, places_of
from polypocket.plan.region import Misfit, Region
from polypocket.program import Feed, Point

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "fixtures" / "mills" / "short_table.toml"
BOX = Region((0.0, 0.0, 0.0), (1.0, 1.0, 1.0))
STEP = Step((0.0,) * 3, (0.0,) * 3, Feed(Point(), 1.0), 1, "section 1", 1, "cut", 1)


def at(degrees: float, margin: float, lacks: str = "") -> Place:
    """A place with a margin, or where something is lacking."""
    room = Extent((), ())  # type: ignore[arg-type]
    misfits = (Misfit("x", -margin, STEP, STEP, lacks),) if lacks else ()
    return Place(math.radians(degrees), (), room, BOX, BOX, misfits, None, margin)


@pytest.mark.parametrize(
    ("places", "best"),
    [
        # Half a millimetre of margin is worth a turn, and less is not, wherever it begins.
        ([at(0.0, 10.0), at(90.0, 10.5)], 1),
        ([at(0.0, 10.0), at(90.0, 10.49)], 0),
        ([at(90.0, 10.2), at(0.0, 9.8)], 1),
        ([at(0.0, 9.6), at(30.0, 10.0), at(90.0, 10.4)], 1),  # the first one is 0.8 short of the most
        # Of two turned as far, anticlockwise.
        ([at(-45.0, 5.0), at(45.0, 5.0)], 1),
        ([at(45.0, 5.0), at(-45.0, 5.0)], 0),
        ([at(-30.0, 5.0), at(45.0, 5.0)], 0),
        # A place at all before one that lacks something, were it nothing that can be told in millimetres.
        ([at(0.0, 0.0, "keep-out"), at(90.0, 0.3)], 1),
        ([at(0.0, -0.0, "on vise"), at(90.0, 0.0)], 1),
        ([at(0.0, -0.1, "travel"), at(90.0, 0.1)], 1),
        # Where there is none, what lacks least.
        ([at(0.0, -3.0, "travel"), at(90.0, -2.0, "travel")], 1),
        ([at(0.0, -2.4, "travel"), at(90.0, -2.0, "travel")], 0),
    ],
)
def test_which_setting(places: list[Place], best: int) -> None:
    assert best_place(tuple(places)) is places[best]
    assert best_place(iter(places)) is places[best]


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")


def with_travel(mill: Mill, **ends: tuple[float, float]) -> Mill:
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in ends.items()
    }
    return mill.model_copy(update={"axes": mill.axes.model_copy(update=axes)})


def with_region(
    job: BlockJob, x: tuple[float, float], y: tuple[float, float] = (-110.0, -90.0), **changes: object
) -> Mill:
    """The mill with so much travel that the zero may be just there."""
    mill = load_mill(SHORT).model_copy(update={"tool_change": ToolChange(), "column": None, **changes})
    room = place_at(job, with_travel(mill, x=(-500.0, 500.0), y=(-500.0, 500.0)), 0.0).room
    (x0, x1), (y0, y1) = ((room.low[i].at, room.high[i].at) for i in range(2))
    return with_travel(mill, x=(x[0] + x0, x[1] + x1), y=(y[0] + y0, y[1] + y1))


@pytest.mark.parametrize(
    ("x", "units", "zero", "margin"),
    [
        ((30.0, 40.06), "mm", 35.0, 5.0),  # 35.03 is not on the dial
        ((30.0, 40.14), "mm", 35.1, 5.04),
        ((30.02, 30.06), "mm", 30.04, 0.02),  # nor is anything in between
        ((30.0, 40.64), "mm", 35.3, 5.3),  # and no 35.300000000000004, which is 353 · 0.1
        ((30.0, 40.06), "inch", 35.052, 5.008),  # 276 · 0.127, which is 0.005 in
    ],
)
def test_on_a_dial(job: BlockJob, x: tuple[float, float], units: str, zero: float, margin: float) -> None:
    place = place_at(job, with_region(job, x, units=units), 0.0)
    assert place.fits
    assert place.zero is not None
    assert place.zero[0] == (pytest.approx(zero, abs=1e-9) if zero == 30.04 else zero)
    assert place.margin == pytest.approx(min(margin, x[1] - zero), abs=1e-9)


def test_beside_a_wall_the_middle_of_the_wider_side(job: BlockJob) -> None:
    """The zero may be from 0 to 300 and -300 to 0; a wall leaves about 100 before it, up to -60, and less behind it.

    All places half way are as good there, from -250 to about -110; the one nearest to the middle is taken.
    """
    free = with_region(job, (0.0, 300.0), (-300.0, 0.0))
    wide = place_at(job, free, 0.0)
    hull = max(wide.room.high[0].at, -wide.room.low[0].at) + job.cutters[0].radius
    wall = KeepOut(name="wall", x=(100.0 + hull, 240.0), y=(-900.0, 900.0), z=(-160.0, -20.0))
    end = KeepOut(name="end", x=(-900.0, 240.0), y=(-60.0 + hull, 900.0), z=(-160.0, -20.0))
    place = place_at(job, free.model_copy(update={"keep_out": (wall, end)}), 0.0)
    assert place.fits
    assert place.zero is not None
    assert place.region.area is not None
    sides = sorted(side.bounds for side in place.region.area.geoms)
    widths = [high - low for low, _, high, _ in sides]
    assert widths[0] == pytest.approx(100.0, abs=1.0)
    assert widths[1] < 99.0
    assert place.zero[:2] == pytest.approx((widths[0] / 2.0, -150.0), abs=0.11)
    assert place.margin == pytest.approx(widths[0] / 2.0, abs=0.11)


@pytest.mark.parametrize(
    ("x", "y"),
    [
        ((30.0, 30.0), (-110.0, -90.0)),
        ((20.0, 40.0), (-100.0, -100.0)),
        ((30.0, 30.0), (-100.0, -100.0)),
        ((30.0, 30.0 + 1e-7), (-110.0, -90.0)),
        ((30.0 - 0.04, 30.0 + 0.04), (-110.0, -90.0)),
    ],
)
def test_just_room_enough_where_something_stands_far_off(
    job: BlockJob, x: tuple[float, float], y: tuple[float, float]
) -> None:
    """The region is a line, a point, or next to nothing wide; the middle is as good as any."""
    far = KeepOut(name="dividing head", x=(700.0, 800.0), y=(700.0, 800.0), z=(-160.0, -20.0))
    place = place_at(job, with_region(job, x, y, keep_out=(far,)), 0.0)
    assert place.fits
    assert place.zero is not None
    assert place.zero[:2] == pytest.approx((30.0, -100.0), abs=1e-6)
    half = min(high - low for low, high in (x, y)) / 2.0
    assert place.margin == pytest.approx(half, abs=1e-6)


def test_beside_a_post_the_margin_is_to_it(job: BlockJob) -> None:
    """Whose corner takes a piece out of the region's; the zero is no nearer to that than to the ends of the travel."""
    post = KeepOut(name="post", x=(150.0, 450.0), y=(-450.0, -150.0), z=(-160.0, -20.0))
    free = with_region(job, (0.0, 300.0), (-300.0, 0.0))
    place = place_at(job, free.model_copy(update={"keep_out": (post,)}), 0.0)
    assert place.zero is not None
    assert place.region.area is not None
    import shapely

    edge = place.region.area.boundary.distance(shapely.Point(place.zero[:2]))
    assert place.margin == pytest.approx(edge)
    assert place.margin < min(place.zero[0], -place.zero[1], 150.0)
    assert place.margin > 50.0


def test_several_things_lacking(job: BlockJob) -> None:
    """By how much most is lacking, which one remedy would have to make up for."""
    mill = with_region(job, (0.0, -10.0), (0.0, -4.0))
    place = place_at(job, mill, 0.0)
    assert [(each.axis, each.over) for each in place.misfits] == [
        ("x", pytest.approx(10.0)),
        ("y", pytest.approx(4.0)),
    ]
    assert place.margin == pytest.approx(-10.0)


def test_without_home_switches_nothing_is_where_the_mill_file_says(job: BlockJob) -> None:
    """The place of the cutter change means nothing; the column, which goes with the spindle, is met all the same."""
    mill = with_region(job, (0.0, 20.0), (-200.0, -180.0))
    room = place_at(job, mill, 0.0).room
    before = job.stock.largest_outline().extents()[3] - room.low[1].at
    near = {"tool_change": ToolChange(at=(0.0, -300.0, 0.0)), "column": Column(throat=before + 1.0)}
    homed = place_at(job, mill.model_copy(update=near), 0.0)
    assert [each.what for each in homed.misfits] == ["cutter change"]
    unhomed = place_at(job, mill.model_copy(update={**near, "homed": False}), 0.0)
    assert (unhomed.misfits, unhomed.zero) == ((), None)
    assert unhomed.margin == pytest.approx(10.0)
    met = {"column": Column(throat=before - 1.0), "homed": False}
    assert [each.what for each in place_at(job, mill.model_copy(update=met), 0.0).misfits] == ["column"]


def test_a_zero_that_is_set_is_not_looked_at(job: BlockJob) -> None:
    """With the zero 10 below the end of Z the cutter is raised by 10 between flats instead of 25."""
    mill = with_region(job, (0.0, 20.0))
    low = {"work_offsets": {"G54": (5.0, -100.0, -10.0), "G55": (0.0, 0.0, 0.0)}}
    (place,) = places_of(job, mill.model_copy(update=low))
    assert place.room.high[2].at == 25.0
    assert place_at(job, mill.model_copy(update=low), 0.0).room.high[2].at == 10.0


def test_a_place_for_some_strokes(job: BlockJob) -> None:
    mill = with_region(job, (0.0, 20.0))
    strokes = tuple(strokes_of(job, mill))
    whole = place_at(job, mill, 0.0)
    assert whole.strokes == strokes
    for count in (1, 2, len(strokes) // 2, len(strokes)):
        some = strokes[:count]
        place = place_at(job, mill, 0.0, some)
        assert place.strokes == some
        assert [(stage.cutter, stage.seconds) for stage in place.stages] == [(1, 0.0)]
        program = program_of(job, mill, some, range(1, count + 1))
        room = extent_of(program)
        ends = [(low.at, high.at) for low, high in zip(room.low, room.high, strict=True)]
        found = zip(place.room.low, place.room.high, strict=True)
        assert [(low.at, high.at) for low, high in found] == ends
        assert place.room.low[2].step.number == room.low[2].step.number
