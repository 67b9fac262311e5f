"""Regions and best places against a linear program and against brute force."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from scipy.optimize import linprog

from polypocket.dryrun.centres import centre_paths
from polypocket.dryrun.table import table_faults
from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill, ToolChange
from polypocket.model.surroundings import Column, KeepOut, TableTop
from polypocket.plan import plan_block
from polypocket.plan.place import best_place, place_at, places_of
from polypocket.post import post_named
from polypocket.reader import read

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "fixtures" / "mills" / "short_table.toml"


@pytest.fixture(scope="module")
def job() -> BlockJob:
    return load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")


@pytest.fixture(scope="module")
def block() -> BlockJob:
    return load_job(ROOT / "shared" / "jobs" / "valve_stem_block.toml")


def with_travel(mill: Mill, **ends: tuple[float, float]) -> Mill:
    axes = {
        name: getattr(mill.axes, name).model_copy(update={"low": low, "high": high})
        for name, (low, high) in ends.items()
    }
    return mill.model_copy(update={"axes": mill.axes.model_copy(update=axes)})


@pytest.mark.parametrize("at_y", [-145.0, -260.0])
@pytest.mark.parametrize("degrees", [0.0, 37.0])
def test_a_box_against_a_linear_program(block: BlockJob, at_y: float, degrees: float) -> None:
    """Most m with low + m ≤ p + extremes ≤ high − m, and the work's back before the column at the cutter change.

    Vise 250 by 220: its back is at 110, and turned by θ at 125 · sin θ + 110 · cos θ.
    """
    mill = with_travel(load_mill(SHORT), x=(0.0, 240.0))
    mill = mill.model_copy(update={"tool_change": ToolChange(at=(75.0, at_y, 0.0))})
    swivel = math.radians(degrees)
    place = place_at(block, mill, swivel)
    back = 125.0 * math.sin(swivel) + 110.0 * math.cos(swivel)
    rows, ends = [], []
    for axis, travel in ((0, mill.axes.x), (1, mill.axes.y)):
        one = [0.0, 0.0]
        one[axis] = 1.0
        rows += [[*(-each for each in one), 1.0], [*one, 1.0]]
        ends += [place.room.low[axis].at - travel.low, travel.high - place.room.high[axis].at]
    rows.append([0.0, 1.0, 1.0])
    ends.append(at_y + 330.0 - back)
    answer = linprog([0.0, 0.0, -1.0], A_ub=rows, b_ub=ends, bounds=[(None, None)] * 3)
    assert answer.success
    margin = -answer.fun
    if margin < 0.0:
        assert not place.fits
        return
    assert place.zero is not None
    assert place.region.high[1] == pytest.approx(min(-place.room.high[1].at, at_y + 330.0 - back))
    # What is read off a dial is rounded to 0.1 mm.
    assert margin - 0.0501 <= place.margin <= margin + 1e-9


def test_no_place_where_the_linear_program_has_none(block: BlockJob) -> None:
    for travel, fits in (((0.0, 145.3), True), ((0.0, 145.1), False)):
        place = place_at(block, with_travel(load_mill(SHORT), x=travel), 0.0)
        need = place.room.need(0)
        assert (need <= travel[1]) == fits == place.fits
        if not fits:
            (misfit,) = place.misfits
            assert (misfit.axis, misfit.what) == ("x", "travel")
            assert misfit.over == pytest.approx(need - travel[1])
            assert place.margin == pytest.approx(-misfit.over)


def test_the_column_is_met_from_everywhere_or_from_nowhere(block: BlockJob) -> None:
    mill = load_mill(SHORT).model_copy(update={"tool_change": ToolChange()})
    need = 110.0 - place_at(block, mill, 0.0).room.low[1].at
    for throat, fits in ((need + 0.01, True), (need - 0.01, False)):
        place = place_at(block, mill.model_copy(update={"column": Column(throat=throat)}), 0.0)
        assert place.fits == fits
        if not fits:
            assert [(each.axis, each.what) for each in place.misfits] == [("y", "column")]
            assert place.misfits[0].over == pytest.approx(0.01)


def test_table_and_vise_fix_the_height(block: BlockJob) -> None:
    """Jaws' top 110 above the table, 9 of 34 held: the stock's top is 110 + 25 above the table.

    At -159 that is 24 below the end of Z, so that the cutter rises by 24 instead of 25; at -130 it is 5 above it, and
    crossing over the work at 2 would want 7 more.
    """
    mill = load_mill(SHORT)
    for z, fits in ((-250.0, True), (-159.0, True), (-130.0, False)):
        table = TableTop(x=(-100.0, 250.0), y=(-300.0, 50.0), z=z)
        place = place_at(block, mill.model_copy(update={"table": table}), 0.0)
        assert place.fits == fits
        if fits:
            assert place.zero is not None and place.zero[2] == pytest.approx(z + 135.0)
            assert place.room.high[2].at == pytest.approx(min(25.0, -z - 135.0))
        else:
            assert [(each.axis, each.what) for each in place.misfits] == [("z", "table")]
            assert place.misfits[0].over == pytest.approx(7.0)


def test_of_settings_the_one_with_the_most_margin(block: BlockJob) -> None:
    settings = tuple(math.radians(each) for each in (45.0, 90.0, 0.0))
    clamping = block.clamping.model_copy(update={"swivel_settings": settings})
    wide = with_travel(load_mill(SHORT), x=(0.0, 240.0))
    places = tuple(places_of(block.model_copy(update={"clamping": clamping}), wide))
    assert [place.swivel for place in places] == list(settings)
    best = best_place(places)
    # A square on its corner wants the most room; of the others the one turned by 90° has hardly more.
    margins = [place.margin for place in places]
    assert margins[0] < margins[2] < margins[1] < margins[2] + 0.5
    assert best is places[2]


def hindered(mill: Mill) -> Mill:
    things = (
        KeepOut(name="dividing head", x=(200.0, 300.0), y=(-180.0, -60.0), z=(-250.0, -70.0)),
        KeepOut(name="low stop", x=(60.0, 75.0), y=(-290.0, -240.0), z=(-250.0, -92.0)),
    )
    free = {"work_offsets": {}, "keep_out": things, "column": None}
    return with_travel(mill, x=(0.0, 320.0)).model_copy(update=free)


@pytest.mark.parametrize("rapid_path", ["independent", "straight"])
def test_keep_outs_against_the_dry_run_at_many_places(job: BlockJob, rapid_path: str) -> None:
    (cutter,) = job.cutters
    job = job.model_copy(update={"cutters": (cutter.model_copy(update={"holder_diameter": 40.0}),)})
    mill = hindered(load_mill(SHORT)).model_copy(update={"rapid_path": rapid_path})
    place = place_at(job, mill, 0.0)
    assert place.zero is not None
    assert place.region.area is not None
    post = post_named(mill.post)
    track = read(post.write(plan_block(job, mill), []), post.dialect)
    import shapely

    draw = random.Random(5)
    inside = outside = 0
    for _ in range(160):
        x, y = (draw.uniform(*pair) for pair in zip(place.region.low[:2], place.region.high[:2], strict=True))
        if place.region.area.boundary.distance(shapely.Point(x, y)) < 0.05:
            continue
        at = mill.model_copy(update={"work_offsets": {"G54": (x, y, place.zero[2])}})
        clean = not list(table_faults(track, centre_paths(track, at)[0], at, job))
        held = place.region.holds((x, y, place.zero[2]))
        assert clean == held, (x, y)
        inside, outside = inside + held, outside + (not held)
    assert inside > 20
    assert outside > 20


def test_the_best_place_among_keep_outs_against_a_grid(job: BlockJob) -> None:
    import shapely

    place = place_at(job, hindered(load_mill(SHORT)), 0.0)
    assert place.zero is not None
    assert place.region.area is not None
    edge = place.region.area.boundary
    (x0, y0, _), (x1, y1, _) = place.region.low, place.region.high
    step = 1.0
    best = max(
        edge.distance(point)
        for i in range(int((x1 - x0) / step) + 1)
        for j in range(int((y1 - y0) / step) + 1)
        if place.region.area.contains(point := shapely.Point(x0 + i * step, y0 + j * step))
    )
    assert best - 0.2 <= place.margin <= best + step
    assert place.region.holds(place.zero)


def test_a_zero_further_up_clears_what_is_too_high_for_the_middle(job: BlockJob) -> None:
    """Safe height is 25 over the zero, which may be from -155 to -25; nothing below -50 is above a top at -30."""
    high = KeepOut(name="gauge", x=(-500.0, 500.0), y=(-500.0, -280.0), z=(-250.0, -30.0))
    place = place_at(job, load_mill(SHORT).model_copy(update={"keep_out": (high,)}), 0.0)
    assert place.zero is not None
    assert place.zero[2] == pytest.approx(-25.0)


def test_keep_outs_everywhere_leave_no_place(job: BlockJob) -> None:
    wall = KeepOut(name="wall", x=(-500.0, 500.0), y=(-500.0, 500.0), z=(-250.0, -20.0))
    place = place_at(job, load_mill(SHORT).model_copy(update={"keep_out": (wall,)}), 0.0)
    assert not place.fits
    assert place.misfits[0].what == "keep-out"


def test_without_home_switches_the_room_counts_not_the_place(job: BlockJob) -> None:
    mill = load_mill(SHORT).model_copy(update={"homed": False})
    place = place_at(job, mill, 0.0)
    assert (place.fits, place.zero) == (True, None)
    need = [place.room.need(i) for i in range(2)]
    assert place.margin == pytest.approx(min(150.0 - need[0], 290.0 - need[1]) / 2.0)
    small = place_at(job, with_travel(mill, x=(0.0, need[0] - 0.5)), 0.0)
    assert [(each.axis, each.over) for each in small.misfits] == [("x", pytest.approx(0.5))]


def test_a_setting_at_which_something_on_the_vise_is_in_the_way(block: BlockJob) -> None:
    """A handle in front of the middle, 75 to 90 from it: the 65.4 of the straight stock and the cutter's 12 meet it."""
    wide = with_travel(load_mill(SHORT), x=(0.0, 240.0))
    handle = KeepOut(name="handle", x=(-20.0, 20.0), y=(-110.0, -75.0), z=(-40.0, -5.0), on_vise=True)
    mill = wide.model_copy(update={"keep_out": (handle,)})
    place = place_at(block, mill, 0.0)
    assert [each.what for each in place.misfits] == ["on vise"]
    assert place.misfits[0].low.number > 0
    low = handle.model_copy(update={"z": (-60.0, -22.0)})
    assert place_at(block, wide.model_copy(update={"keep_out": (low,)}), 0.0).fits
