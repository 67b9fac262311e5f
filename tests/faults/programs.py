"""Good programs of every kind that we write, each with its job and mill: generated ones, and those that ship."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from polypocket.errors import InputError, MistakesError
from polypocket.model.files import job_of_text, load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import plan_block
from polypocket.post import Post, post_named
from polypocket.prove import dry_run_of_text, prove, require_fit
from tests.faults.hands import HANDS, drawn_for
from tests.faults.interpreter import interpret
from tests.faults.judge import Before, before, left_by
from tests.faults.motions import CONTROLS, Hands, Reading
from tests.faults.solid import Slabs
from tests.generation.cases import case

__all__ = ["DRIVEN", "KINDS", "Good", "program"]

#: Of mills that drive everything.
DRIVEN = "driven"
KINDS = (DRIVEN, *HANDS)
#: More programs on one block only cost time.
_MOST_CLAMPINGS = 4

_ROOT = Path(__file__).parents[2]
#: Longer programs only cost time: lines.
_MOST_LINES = 95
_MOST_LINES_OF_HANDS = 130
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


#: Comments alone before the first line that says something to the control: who reads them is not asked anything.
_HEAD = re.compile(r"(?:N\d+ )?\((?!CUTTER|SET|START|STOP).*\)")


@dataclass(frozen=True)
class Good:
    """A program in which nothing is wrong.

    Attributes:
        hands: what a person does on its mill.
        done: name and text of those that are run before it on the same block.
        mills: the mill with the zero that each of all these has.
        stands: what those before it leave, not turned; ``None`` for the stock.
    """

    name: str
    text: str
    job: BlockJob
    mill: Mill
    post: Post
    reading: Reading
    before: Before
    hands: Hands
    done: tuple[tuple[str, str], ...]
    mills: tuple[Mill, ...]
    stands: Slabs | None


@lru_cache(maxsize=4)
def program(seed: int, kind: str = DRIVEN) -> Good | None:
    """Return the program of a seed; ``None`` where there is none, or a long one, or one in another dialect.

    ``kind`` is one of ``KINDS``: of mills that drive everything, or as ``tests.faults.hands`` has them.
    """
    if kind != DRIVEN:
        return _with_hands(kind, seed)
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
    # A driven mill's work is looked at as it stands without a swivel base.
    straight = job.clamping.model_copy(update={"swivel_settings": (0.0,)})
    job = job.model_copy(update={"clamping": straight})
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
    return _made(name, [text], job, [mill], post, most)


def _with_hands(kind: str, seed: int) -> Good | None:
    """Return the last of the programs of a job for a mill on which a person does some of it."""
    try:
        drawn = drawn_for(kind, seed)
        if drawn is None:
            return None
        job, mill = drawn
        if mill.length_offset:
            return None
        require_fit(job, mill, "job.toml")
        post = post_named(mill.post)
        proof = prove(job, mill, post, "job.nc")
    except (MistakesError, InputError):
        return None
    wrong = {each.code for each in proof.verdict.findings}
    assert wrong <= {"travel", "angle"}, f"{kind} {seed} is no good program: {proof.verdict.findings}"
    if wrong:
        return None  # it does not reach all of the work, or wants finer coordinates
    mills = [placed.mill for placed in proof.clampings] or [proof.placed.mill]
    if len(mills) != len(proof.parts) or len(mills) > _MOST_CLAMPINGS:
        return None
    texts = [_headless(part.text) for part in proof.parts]
    return _made(f"{kind} {seed}", texts, job, mills, post, _MOST_LINES_OF_HANDS)


def _headless(text: str) -> str:
    """Return a program without the comments at its head, which take more lines than all else."""
    lines = text.split("\n")
    first = next(i for i, line in enumerate(lines) if re.search(r"G17", line))
    return "\n".join([*(line for line in lines[:first] if not _HEAD.fullmatch(line)), *lines[first:]])


def _made(
    name: str, texts: Sequence[str], job: BlockJob, mills: Sequence[Mill], post: Post, most: int
) -> Good | None:
    if texts[-1].count("\n") > most or post.name not in CONTROLS:
        return None
    named = [(f"done-{i}.nc", text) for i, text in enumerate(texts[:-1], start=1)]
    findings = dry_run_of_text(
        [*named, ("job.nc", texts[-1])], mills[-1], job, post, len(named), mills=mills
    ).findings
    # A few want finer coordinates than usual; they are others' concern.
    assert all(each.code == "angle" for each in findings), f"{name} is no good program: {findings}"
    if findings:
        return None
    hands = _hands_on(mills[-1])
    if not any(step.kind == "feed" for step in interpret(texts[-1], CONTROLS[post.name], hands).steps):
        return None  # there is nothing to be cut
    stands: Slabs | None = None
    for text, mill in zip(texts[:-1], mills, strict=False):
        stands = left_by(before(interpret(text, CONTROLS[post.name], hands), job, mill, stands))
    reading = interpret(texts[-1], CONTROLS[post.name], hands)
    goes = before(reading, job, mills[-1], stands)
    return Good(
        name, texts[-1], job, mills[-1], post, reading, goes, hands, tuple(named), tuple(mills), stands
    )


def _hands_on(mill: Mill) -> Hands:
    axes = (mill.axes.x, mill.axes.y, mill.axes.z)
    undriven = frozenset(number for number, axis in enumerate(axes) if not axis.driven)
    return Hands(undriven, not mill.spindle.controlled)
