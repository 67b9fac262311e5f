"""A job for a person at the handwheels: the sheet, and what the dry run makes of it."""

from __future__ import annotations

from polypocket.errors import InputError, MistakesError
from polypocket.model.fits import mistakes_by_hand
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.handwheel import plan_by_hand
from polypocket.post import Post
from polypocket.progress import Progress
from polypocket.prove.header import header_by_hand
from polypocket.prove.placing import Placed
from polypocket.prove.proof import Proof, Written, dry_run_of_text

__all__ = ["proof_by_hand"]


def proof_by_hand(
    job: BlockJob, mill: Mill, post: Post, name: str, from_pass: int, progress: Progress
) -> Proof:
    """Plan a job for a person at the handwheels, write the sheet and dry-run what it says."""
    if from_pass != 1:
        raise InputError(
            "--from-pass is for programs; a sheet is ticked line by line, go on at the first that is not"
        )
    mistakes = mistakes_by_hand(job, mill)
    if mistakes:
        raise MistakesError(job.name, mistakes)
    program = plan_by_hand(job, mill)
    sheet = Written(name, program, post.write(program, header_by_hand(job, mill)))
    verdict = dry_run_of_text([(sheet.name, sheet.text)], mill, job, post, 0, progress)
    return Proof((), (sheet,), verdict, Placed(mill, 0.0, None, chosen=False), (), is_sheet=True)
