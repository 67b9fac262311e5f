"""What passes add up to: worked by hand on two passes, and against the programs of the jobs that ship."""

from __future__ import annotations

import math

import pytest

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.tally import tally_of
from polypocket.program import Arc, Feed, Pass, Point, Program, Rapid, Setup

Planned = tuple[BlockJob, Mill, Program]


def one_pass(number: int, level: float, *cut: Feed | Arc | Rapid, role: str = "rough") -> Pass:
    assert role in ("rough", "finish")
    lead = (Feed(Point(10.0, 0.0, level), 300.0),)
    kind = "rough" if role == "rough" else "finish"
    return Pass(number, "section 1", 1, 1, level, 1, kind, "left", None, lead, cut, ())


def program_of(*passes: Pass) -> Program:
    return Program("", "mm", (Setup(1, 0.0, 0.0, "G54", "", passes),))


def test_worked_by_hand() -> None:
    """5 mm straight and a quarter of a circle of 10 mm; then three quarters the other way round, lower down."""
    quarter = Arc(Point(0.0, 15.0), (0.0, 5.0), False, 0, 300.0)
    rest = Arc(Point(0.0, 10.0), (0.0, 0.0), True, 0, 300.0)
    first = one_pass(1, -2.0, Feed(Point(10.0, 5.0), 300.0), quarter)
    second, last = one_pass(2, -4.0, rest), one_pass(3, -4.0, rest, role="finish")
    rough, finish = tally_of([program_of(first, second, last)])
    assert (rough.feature, rough.role, rough.passes, rough.levels) == ("section 1", "rough", 2, (2.0, 4.0))
    assert rough.cut_length == pytest.approx(5.0 + 5.0 * math.pi + 15.0 * math.pi)
    assert (finish.role, finish.passes, finish.levels) == ("finish", 1, (4.0,))
    assert (rough.first, rough.last, finish.first, finish.last) == (1, 2, 3, 3)
    assert finish.cut_length == pytest.approx(15.0 * math.pi)


def test_runs_leave_out_the_numbers_of_others() -> None:
    quarter = Arc(Point(0.0, 10.0), (0.0, 0.0), False, 0, 300.0)
    roles = ("rough", "rough", "finish", "rough", "finish", "finish")
    passes = [one_pass(number, -2.0, quarter, role=role) for number, role in enumerate(roles, start=1)]
    rough, finish = tally_of([program_of(*passes)])
    assert (rough.runs, finish.runs) == (((1, 2), (4, 4)), ((3, 3), (5, 6)))


def test_refuses_what_is_no_pass_of_a_block() -> None:
    with pytest.raises(ValueError, match="not by Rapid"):
        tally_of([program_of(one_pass(1, -2.0, Rapid(Point(0.0, 0.0))))])


def test_no_pass_is_lost(planned: Planned) -> None:
    job, _, program = planned
    tallies = tally_of([program])
    passes = [item for item in program.setups[0].items if isinstance(item, Pass)]
    assert sum(tally.passes for tally in tallies) == len(passes)
    assert {tally.feature for tally in tallies} == {f"section {i + 1}" for i in range(len(job.sections))}
    for tally in tallies:
        depth = job.sections[int(tally.feature.removeprefix("section ")) - 1].depth
        assert tally.levels[-1] == pytest.approx(depth)
