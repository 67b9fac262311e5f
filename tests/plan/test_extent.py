"""The room that a program needs, against points along its every move and against what the text does when it is read."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from polypocket.dryrun.centres import centre_paths
from polypocket.dryrun.travel import extremes_of
from polypocket.model.files import load_job, load_mill
from polypocket.plan import plan_block
from polypocket.plan.extent import extent_of, steps_of
from polypocket.post import post_named
from polypocket.program import (
    Arc,
    Ask,
    Drill,
    Feed,
    Item,
    Link,
    Pass,
    Point,
    Program,
    Rapid,
    Setup,
    Spindle,
    UseCutter,
)
from polypocket.reader import read

ROOT = Path(__file__).parents[2]


def program(*items: Item) -> Program:
    return Program("room", "mm", (Setup(1, 0.0, 0.0, "G54", "", items),))


def test_arcs_by_their_true_extents_worked_by_hand() -> None:
    """A quarter from (3, 4) about the origin to (−4, 3) goes over the top at (0, 5), and no further left than −4."""
    arc = Arc(Point(-4.0, 3.0, -1.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0)
    room = extent_of(program(Link((Rapid(Point(3.0, 4.0, 2.0)), arc))))
    assert [each.at for each in room.low] == pytest.approx([-4.0, 3.0, -1.0])
    assert [each.at for each in room.high] == pytest.approx([3.0, 5.0, 2.0])
    other = Arc(Point(-4.0, 3.0, -1.0), (0.0, 0.0), clockwise=True, turns=0, rate=100.0)
    room = extent_of(program(Link((Rapid(Point(3.0, 4.0, 2.0)), other))))
    assert [each.at for each in room.low] == pytest.approx([-5.0, -5.0, -1.0])
    assert [each.at for each in room.high] == pytest.approx([5.0, 4.0, 2.0])
    assert room.need(0) == pytest.approx(10.0)


@pytest.mark.parametrize("machine", ["knee-mill-3-axis", "knee-mill-ballscrews"])
def test_against_points_along_the_way_and_against_the_text(machine: str) -> None:
    job, mill = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml"), load_mill(machine)
    made = plan_block(job, mill)
    room = extent_of(made)
    points = [step.to for step in steps_of(made)]
    for step in steps_of(made):
        if isinstance(step.move, Arc):
            cx, cy = step.move.centre
            radius = math.dist(step.start[:2], (cx, cy))
            begin = math.atan2(step.start[1] - cy, step.start[0] - cx)
            sweep = (math.atan2(step.to[1] - cy, step.to[0] - cx) - begin) % math.tau
            sweep = sweep - math.tau if step.move.clockwise else sweep
            points += [
                (cx + radius * math.cos(a), cy + radius * math.sin(a), step.to[2])
                for a in (begin + sweep * i / 500.0 for i in range(501))
            ]
    post = post_named(mill.post)
    track = read(post.write(made, []), post.dialect)
    read_back = extremes_of(centre_paths(track, mill)[0])
    for axis, name in enumerate("xyz"):
        along = [point[axis] for point in points if not math.isnan(point[axis])]
        assert room.low[axis].at == pytest.approx(min(along), abs=1e-3)
        assert room.high[axis].at == pytest.approx(max(along), abs=1e-3)
        assert room.low[axis].at == pytest.approx(read_back[name].low, abs=1.5e-3)
        assert room.high[axis].at == pytest.approx(read_back[name].high, abs=1.5e-3)


def test_whose_move_it_is() -> None:
    def at(x: float) -> Feed:
        return Feed(Point(x, 0.0, 0.0), 100.0)

    one = Pass(
        7, "section 2", 3, 4, 0.0, 1, "rough", "left", None, (at(1.0),), (at(2.0),), (at(9.0),)
    )  # fmt: skip
    made = program(Link((Rapid(Point(-5.0, 0.0, 5.0)),)), one, Link((Rapid(Point(z=25.0)),)))
    room = extent_of(made)
    assert (room.low[0].step.number, room.low[0].step.part) == (7, "way")
    assert (room.high[0].step.feature, room.high[0].step.flat, room.high[0].step.part) == (
        "section 2", 3, "lead-out",
    )  # fmt: skip
    assert (room.high[2].step.number, room.high[2].step.part) == (0, "way")
    steps = list(steps_of(made))
    assert all(a.to == b.start for a, b in pairwise(steps))
    assert [(step.number, step.feature, step.flat, step.part, step.cutter) for step in steps] == [
        (7, "section 2", 3, "way", 0),
        (7, "section 2", 3, "lead-in", 0),
        (7, "section 2", 3, "cut", 0),
        (7, "section 2", 3, "lead-out", 0),
        (0, "", 0, "way", 0),
    ]


def test_a_way_leads_up_to_the_next_pass_of_several() -> None:
    def through(number: int, flat: int) -> Pass:
        cut = Feed(Point(float(number), 0.0, 0.0), 100.0)
        return Pass(number, "section 1", flat, flat, 0.0, 1, "rough", "left", None, (), (cut,), ())

    way = Link((Rapid(Point(0.0, 0.0, 5.0)),))
    steps = list(steps_of(program(way, through(1, 3), Spindle(0.0), way, through(2, 4), way)))
    assert [(step.number, step.flat, step.part) for step in steps] == [
        (1, 3, "way"), (1, 3, "cut"), (2, 4, "way"), (2, 4, "cut"), (0, 0, "way"),
    ]  # fmt: skip


def test_arcs_about_another_centre_and_more_than_once_round() -> None:
    """About (10, 20), from (13, 24) to (6, 23): over the top at (10, 25). Once more round: 5 to every side."""
    for turns, low, high in ((0, (6.0, 23.0), (13.0, 25.0)), (1, (5.0, 15.0), (15.0, 25.0))):
        arc = Arc(Point(6.0, 23.0, -1.0), (10.0, 20.0), clockwise=False, turns=turns, rate=100.0)
        room = extent_of(program(Link((Rapid(Point(13.0, 24.0, 2.0)), arc))))
        assert [each.at for each in room.low] == pytest.approx([*low, -1.0])
        assert [each.at for each in room.high] == pytest.approx([*high, 2.0])


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize("begin", range(10, 360, 25))
def test_short_arcs_all_round_against_points_on_them(begin: int, clockwise: bool) -> None:
    """Of 60° about (10, 20) with a radius of 5: those that pass an axis reach further than their ends."""
    degrees = [begin + (-60.0 if clockwise else 60.0) * i / 600.0 for i in range(601)]
    angles = [math.radians(each) for each in degrees]
    points = [(10.0 + 5.0 * math.cos(angle), 20.0 + 5.0 * math.sin(angle)) for angle in angles]
    arc = Arc(Point(*points[-1], 0.0), (10.0, 20.0), clockwise, turns=0, rate=100.0)
    room = extent_of(program(Link((Rapid(Point(*points[0], 0.0)), arc))))
    for axis in range(2):
        along = [point[axis] for point in points]
        assert room.low[axis].at == pytest.approx(min(along), abs=1e-4)
        assert room.high[axis].at == pytest.approx(max(along), abs=1e-4)


def test_a_longer_cutter_is_higher_on_the_mill() -> None:
    """Cutter 2 stands out 6 mm further, cutter 3 4 mm less; what is there before a cutter is said is the first's."""
    items: list[Item] = [Link((Rapid(Point(0.0, 0.0, 10.0)),))]
    for number in (1, 2, 3):
        items += [UseCutter(number, 8.0, None, by_hand=True), Link((Rapid(Point(1.0)), Rapid(Point(z=10.0))))]
    made = program(*items)
    room = extent_of(made, {1: 0.0, 2: 6.0, 3: -4.0})
    assert (room.low[2].at, room.high[2].at) == (6.0, 16.0)
    assert [(room.low[2].step.cutter, room.high[2].step.cutter)] == [(3, 2)]
    assert extent_of(made).need(2) == 0.0
    # Where the next cutter's tip is before its Z is said nobody knows.
    starts = [step.start for step in steps_of(made)]
    assert [math.isnan(z) for _, _, z in starts] == [True] + [True, True] * 3
    assert starts[3][:2] == (1.0, 0.0)


def test_the_first_step_that_gets_so_far() -> None:
    there = Rapid(Point(5.0, 5.0, 5.0))
    first = Link((Rapid(Point(0.0, 0.0, 0.0)), there))
    again = Link((Rapid(Point(0.0, 0.0, 0.0)), there))
    steps = list(steps_of(program(first, UseCutter(1, 8.0, None, by_hand=True), again)))
    room = extent_of(program(first, UseCutter(1, 8.0, None, by_hand=True), again))
    assert {each.step for each in room.low} == {steps[0]}
    assert {each.step for each in room.high} == {steps[1]}


def test_holes_and_heights_that_a_person_sets() -> None:
    """Down to -8 in pecks of 5 from 3: feeds to -2, -7 and -8, each from what was drilled before."""
    hole = Drill((4.0, -6.0), clear=3.0, bottom=-8.0, peck=5.0, dwell=0.5, rate=50.0)
    steps = list(steps_of(program(Ask("height", 20.0, "SET Z 20"), Ask("note", None, "X"), Link((hole,)))))
    assert (steps[0].to[2], steps[0].part, steps[0].move) == (20.0, "way", Rapid(Point(z=20.0)))
    assert [step.to[2] for step in steps if isinstance(step.move, Feed)] == [-2.0, -7.0, -8.0]
    room = extent_of(program(Ask("height", 20.0, "SET Z 20"), Link((hole,))))
    assert [each.at for each in room.low] == [4.0, -6.0, -8.0]
    assert [each.at for each in room.high] == [4.0, -6.0, 20.0]


def test_a_program_that_does_not_move_all_axes() -> None:
    with pytest.raises(ValueError, match="needs no room"):
        extent_of(program(Link((Rapid(Point(1.0, 2.0)),))))
