"""A browser without a window, and the sheets of the job that ships."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from playwright.sync_api import Browser, Error, sync_playwright

from polypocket.model.files import job_of_text, load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.prove import Proof, post_for, prove
from polypocket.sheet.page import page_of
from polypocket.sheet.recorder import Recorder

ROOT = Path(__file__).parents[2]
#: No sandbox, as root has none; nothing that reaches for the network on its own.
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync --disable-dev-shm-usage"
).split()


class Made(NamedTuple):
    """A sheet and what it was made of."""

    job: BlockJob
    mill: Mill
    proof: Proof
    recorder: Recorder
    page: Path


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Return Chromium: the system's, or the one that playwright has installed. Without one the tests fail."""
    with sync_playwright() as playwright:
        system = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
        try:
            opened = playwright.chromium.launch(executable_path=system, args=FLAGS)
        except Error as error:
            pytest.fail(f"the sheets are tested in Chromium, which is not here: run `make browser`\n{error}")
        yield opened
        opened.close()


def made(job: BlockJob, mill: Mill, folder: Path) -> Made:
    recorder = Recorder()
    proof = prove(job, mill, post_for(mill), "block.nc", watcher=recorder)
    page = folder / "sheet.html"
    page.write_text(page_of(job, mill.post, proof, recorder, "first"), encoding="utf-8")
    return Made(job, mill, proof, recorder, page)


@pytest.fixture(scope="session")
def valve_stem(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the sheet of the first job that ships, in millimetres."""
    job = load_job(ROOT / "shared" / "jobs" / "valve_stem_block.toml")
    return made(job, load_mill("knee-mill-3-axis"), tmp_path_factory.mktemp("valve_stem"))


@pytest.fixture(scope="session")
def hydrant_key(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the sheet of the second job that ships, in inches, numbered lines."""
    job = load_job(ROOT / "shared" / "jobs" / "hydrant_key_block.toml")
    return made(job, load_mill("knee-mill-ballscrews"), tmp_path_factory.mktemp("hydrant_key"))


@pytest.fixture(scope="session")
def out_of_travel(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the page of a program that leaves the mill's travel."""
    job = load_job(ROOT / "shared" / "jobs" / "valve_stem_block.toml")
    mill = load_mill("knee-mill-3-axis")
    beside = {name: (25.4, y, z) for name, (_, y, z) in mill.work_offsets.items()}
    return made(
        job, mill.model_copy(update={"work_offsets": beside}), tmp_path_factory.mktemp("out_of_travel")
    )


@pytest.fixture(scope="session")
def sluice_key(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the sheet of a job with two cutters, the second put in by hand."""
    job = load_job(ROOT / "fixtures" / "jobs" / "sluice_key.toml")
    return made(job, load_mill("knee-mill-3-axis"), tmp_path_factory.mktemp("sluice_key"))


@pytest.fixture(scope="session")
def turned(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the sheet of the first job that ships, held in a vise that is turned by 15 degrees."""
    text = (ROOT / "shared" / "jobs" / "valve_stem_block.toml").read_text()
    job = job_of_text(text.replace("swivel_settings = [0.0]", "swivel_settings = [15.0]"), "job")
    return made(job, load_mill("knee-mill-3-axis"), tmp_path_factory.mktemp("turned"))
