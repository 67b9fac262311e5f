"""The jobs that ship, planned, and pieces to plan with."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from polypocket.cutting.time import Kinematics
from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import plan_block
from polypocket.plan.method import Method
from polypocket.program import Program

JOBS = Path(__file__).parents[2] / "shared" / "jobs"

#: A shipped job on a shipped mill, and the program for it.
Planned = tuple[BlockJob, Mill, Program]


@cache
def _planned(job_name: str, mill_name: str) -> Planned:
    job, mill = load_job(JOBS / f"{job_name}.toml"), load_mill(mill_name)
    return job, mill, plan_block(job, mill)


@pytest.fixture(params=["valve_stem_block", "hydrant_key_block"])
def job_name(request: pytest.FixtureRequest) -> str:
    """Name of each job that ships, in turn."""
    return str(request.param)


@pytest.fixture(params=["knee-mill-3-axis", "knee-mill-ballscrews"])
def planned(request: pytest.FixtureRequest, job_name: str) -> Planned:
    """Each job that ships, on a mill with old screws and on one with ballscrews."""
    return _planned(job_name, str(request.param))


@pytest.fixture
def method() -> Callable[..., Method]:
    """Return a maker of methods: the cutter of 10 mm in a mill without play, with some things changed."""
    plain = Method(
        cutter=1,
        radius=5.0,
        size_register=None,
        stepover=2.0,
        stepdown=None,
        allowance=0.0,
        climb=False,
        feed=300.0,
        feed_max=1500.0,
        backlash=(0.0, 0.0),
        crossing=2.0,
        safe=25.0,
        kinematics=Kinematics((3000.0, 3000.0, 2000.0), (250.0, 250.0, 250.0), True, 1500.0),
    )

    def make(**changes: Any) -> Method:  # noqa: ANN401 - any of the method's values
        return plain._replace(**changes)

    return make
