"""The programs of the jobs that ship: begun and ended safely, and right by the second way."""

from __future__ import annotations

import pytest

from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.program import Link, Pass, Program, Rapid, Spindle, UseCutter
from tests.plan.judgement import faults_of

Planned = tuple[BlockJob, Mill, Program]


def test_second_way(planned: Planned) -> None:
    job, mill, program = planned
    assert faults_of(program, job, mill) == []


def test_begins_with_cutter_and_spindle_and_ends_high(planned: Planned) -> None:
    job, mill, program = planned
    (setup,) = program.setups
    cutter, spindle, first, *_, last, stop = setup.items
    assert isinstance(cutter, UseCutter)
    assert (cutter.number, cutter.diameter, cutter.by_hand) == (
        job.cutters[0].number,
        job.cutters[0].diameter,
        True,
    )
    assert spindle == Spindle(job.cutters[0].cut.spindle_rpm)
    assert isinstance(first, Link)
    assert isinstance(last, Link)
    up, across, down, *_ = first.moves
    assert up.to[:2] == (None, None)
    assert up.to.z == last.moves[-1].to.z
    assert up.to.z is not None
    assert up.to.z > 0.0
    assert across.to.z is None
    assert down.to[:2] == (None, None)
    assert all(isinstance(move, Rapid) for move in (up, across, down, *last.moves))
    assert stop == Spindle(0.0)
    assert setup.offset == mill.work_offset


def test_every_flat_is_finished_once(planned: Planned) -> None:
    """And those that the stock has already are not cut at all."""
    job, _, program = planned
    passes = [item for item in program.setups[0].items if isinstance(item, Pass)]
    for number, section in enumerate(job.sections, start=1):
        mine = [item for item in passes if item.feature == f"section {number}"]
        wanted = sorted(set(range(1, section.sides + 1)) - flats_left(job, section))
        finished = [flat for item in mine if item.role == "finish" for flat in _flats(item, wanted)]
        assert sorted(finished) == wanted
        assert {flat for item in mine for flat in _flats(item, wanted)} <= set(wanted)
        assert all(item.level == -section.depth for item in mine if item.role == "finish")


def test_only_tight_screws_roll(planned: Planned) -> None:
    _, mill, program = planned
    passes = [item for item in program.setups[0].items if isinstance(item, Pass) and item.role == "finish"]
    tight = max(mill.axes.x.backlash, mill.axes.y.backlash) <= 0.01
    assert tight or all(item.flat == item.last_flat for item in passes)


@pytest.mark.parametrize("job_name", ["hydrant_key_block"], indirect=True)
def test_climbing_goes_clockwise(planned: Planned) -> None:
    _, _, program = planned
    assert {item.side for item in program.setups[0].items if isinstance(item, Pass)} == {"right"}


def _flats(item: Pass, wanted: list[int]) -> list[int]:
    """Flats that a pass runs along, in the sense in which it goes round."""
    way = wanted if item.side == "left" else wanted[::-1]
    at, end = way.index(item.flat), way.index(item.last_flat)
    return way[at : end + 1] if at <= end else [*way[at:], *way[: end + 1]]
