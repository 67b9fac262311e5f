"""The example job and mill, and jobs that differ from it in a few tables."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill

JOBS = Path(__file__).parents[2] / "shared" / "jobs"


@pytest.fixture(scope="session")
def block() -> BlockJob:
    """The valve-stem block: 12 flats of 124 mm to 21 mm, 10 of 112 mm to 9 mm, in a square of 130 mm."""
    return load_job(JOBS / "valve_stem_block.toml")


@pytest.fixture(scope="session")
def knee_mill() -> Mill:
    """The mill in inches with three driven axes."""
    return load_mill("knee-mill-3-axis")


@pytest.fixture
def changed(block: BlockJob) -> Callable[..., BlockJob]:
    """Return a job as the example with some keys of its tables changed: ``changed(cut={"feed": 100.0})``."""

    def change(**tables: Any) -> BlockJob:  # noqa: ANN401 - a table of keys, or the sections
        values = block.model_dump()
        cutter = values["cutters"][0]
        cutter |= tables.pop("cutter", {})
        cutter["cut"] |= tables.pop("cut", {})
        for name, table in tables.items():
            values[name] = {**values[name], **table} if isinstance(table, dict) else table
        return BlockJob.model_validate(values)

    return change
