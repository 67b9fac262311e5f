"""Rolling round many corners, by the second way: no cut wider than the stepover, on no corner and past none."""

from __future__ import annotations

import pytest

from polypocket.model.files import job_of_text, load_mill
from polypocket.plan import plan_block
from polypocket.program import Arc, Pass
from tests.generation.rolling import rolling_block
from tests.plan.judgement import faults_of

#: Blocks on which a cut once rolled on to a strip wider than the stepover.
ONCE_TOO_WIDE = (249, 487, 810)
#: So many generated jobs for one of these.
JOBS_FOR_ONE = 10


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "seed" in metafunc.fixturenames:
        count = metafunc.config.getoption("jobs") // JOBS_FOR_ONE
        metafunc.parametrize(
            "seed", (*ONCE_TOO_WIDE, *(seed for seed in range(count) if seed not in ONCE_TOO_WIDE))
        )


def test_second_way(seed: int) -> None:
    text, mill = rolling_block(seed), load_mill("knee-mill-ballscrews")
    job = job_of_text(text, "job.toml")
    faults = faults_of(plan_block(job, mill), job, mill)
    assert not faults, "\n".join([f"seed {seed}", *faults, text])


def test_they_do_roll() -> None:
    mill = load_mill("knee-mill-ballscrews")
    rolled = 0
    for seed in range(10):
        program = plan_block(job_of_text(rolling_block(seed), "job.toml"), mill)
        passes = [item for item in program.setups[0].items if isinstance(item, Pass)]
        rolled += any(isinstance(move, Arc) for item in passes for move in item.cut)
    assert rolled >= 5
