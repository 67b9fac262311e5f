"""Good programs of every kind that we write, each with its job and mill: generated ones, and those that ship."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text, load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import plan_block
from polypocket.post import Post, post_named
from polypocket.prove import dry_run_of_text, require_fit
from tests.faults.interpreter import interpret
from tests.faults.judge import Before, before
from tests.faults.motions import CONTROLS, Reading
from tests.generation.cases import case

__all__ = ["Good", "program"]

_ROOT = Path(__file__).parents[2]
#: Longer programs only cost time: lines.
_MOST_LINES = 95
#: Every so many seeds a program that ships takes the place of a generated one.
_SHIPPED_EVERY = 20
_JOBS = (
    "fixtures/jobs/gate_key.toml",
    "shared/jobs/valve_stem_block.toml",
    "shared/jobs/hydrant_key_block.toml",
)
_MILLS = (
    "fixtures/mills/repair_shop_knee_mill.toml",
    "fixtures/mills/pulley_head.toml",
    "shared/machines/knee-mill-3-axis.toml",
    "shared/machines/knee-mill-ballscrews.toml",
)


@dataclass(frozen=True)
class Good:
    """A program in which nothing is wrong."""

    name: str
    text: str
    job: BlockJob
    mill: Mill
    post: Post
    reading: Reading
    before: Before


@lru_cache(maxsize=4)
def program(seed: int) -> Good | None:
    """Return the program of a seed; ``None`` where there is none, or a long one, or one in another dialect."""
    if seed % _SHIPPED_EVERY == 0:
        return _shipped(seed // _SHIPPED_EVERY)
    drawn = case(seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "mill.toml"
        path.write_text(drawn.mill_text, encoding="utf-8")
        try:
            mill = load_mill(path)
            job = job_of_text(drawn.job_text, "job.toml")
            require_fit(job, mill, "job.toml")
        except MistakesError:
            return None
    return _good(f"generated job {seed}", job, mill, post_named(mill.post))


def _shipped(number: int) -> Good | None:
    pairs = [(job, mill, post) for job in _JOBS for mill in _MILLS for post in sorted(CONTROLS)]
    job_file, mill_file, post = pairs[number % len(pairs)]
    try:
        job, mill = load_job(_ROOT / job_file), load_mill(_ROOT / mill_file)
        require_fit(job, mill, job_file)
    except MistakesError:
        return None
    return _good(f"{job_file} on {mill_file} in {post}", job, mill, post_named(post), most=10**6)


def _good(name: str, job: BlockJob, mill: Mill, post: Post, most: int = _MOST_LINES) -> Good | None:
    if post.name not in CONTROLS or mill.length_offset:
        return None  # a dialect that the second interpreter does not read, or the words of lengths
    text = post.write(plan_block(job, mill), [f"Job: {job.name}"])
    if text.count("\n") > most:
        return None
    findings = dry_run_of_text([("job.nc", text)], mill, job, post).findings
    # A few want finer coordinates than usual; they are others' concern.
    assert all(each.code == "angle" for each in findings), f"{name} is no good program: {findings}"
    if findings:
        return None
    reading = interpret(text, CONTROLS[post.name])
    return Good(name, text, job, mill, post, reading, before(reading, job, mill))
