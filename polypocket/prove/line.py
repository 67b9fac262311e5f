"""From a job and a mill to a program whose own text has been dry-run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from polypocket.dryrun import DryRun, dry_run
from polypocket.errors import MistakesError
from polypocket.model.fits import mistakes_on_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.post import Post
from polypocket.program import Program
from polypocket.progress import Progress, silent
from polypocket.prove.header import header_of
from polypocket.reader import read

__all__ = ["Proof", "dry_run_of_text", "prove", "require_fit"]

#: The share of the angle's tolerance that rounding of coordinates may take. Common practice, no source.
_ROUNDING_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class Proof:
    """A program and what its dry run found.

    Attributes:
        program: the neutral program.
        text: as the post wrote it.
        verdict: of the dry run of that text.
    """

    program: Program
    text: str
    verdict: DryRun


def require_fit(job: BlockJob, mill: Mill, source: str) -> None:
    """Make sure that a mill can make a job.

    Raises:
        MistakesError: it cannot; all the reasons together.
    """
    mistakes = mistakes_on_mill(job, mill)
    if mistakes:
        raise MistakesError(source, mistakes)


def prove(job: BlockJob, mill: Mill, post: Post, name: str, progress: Progress = silent) -> Proof:
    """Plan a job, write it in a dialect and dry-run the text; whether it may be used, the verdict tells.

    Args:
        job: the job.
        mill: a mill that can make it (``require_fit``).
        post: the dialect.
        name: of the program, as findings are to call it.
        progress: told how far the dry run has come.

    Raises:
        DialectError: the dialect cannot say what the program needs.
    """
    from polypocket.plan import plan_block  # late: a program that is there already needs no plan

    program = plan_block(job, mill)
    text = post.write(program, header_of(job, mill, post.title), _resolution(job))
    return Proof(program, text, dry_run_of_text([(name, text)], mill, job, post, progress))


def dry_run_of_text(
    texts: Sequence[tuple[str, str]],
    mill: Mill,
    job: BlockJob | None,
    post: Post,
    progress: Progress = silent,
) -> DryRun:
    """Read programs, each given as name and text, as the post's control would, and dry-run them in order."""
    tracks = [
        read(text, post.dialect, name=name, file=i, progress=progress) for i, (name, text) in enumerate(texts)
    ]
    return dry_run(tracks, mill, job, progress)


def _resolution(job: BlockJob) -> float:
    """How fine coordinates should be for the job's angle, mm.

    A flat's ends are each out by half a step on both axes at the most, so that its direction is out by at most
    √2 · step / side, and the angle between two neighbours by twice that.
    """
    side = min(section.polygon().side for section in job.sections)
    return _ROUNDING_SHARE * job.tolerance.angle * side / (2.0 * math.sqrt(2.0))
