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
from polypocket.program import Arc, Feed, Link, Pass, Point, Program, Rapid, Setup
from polypocket.reader import read

ROOT = Path(__file__).parents[2]


def program(*items: Link | Pass) -> Program:
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
