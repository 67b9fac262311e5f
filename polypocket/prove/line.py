"""From a job and a mill to a program whose own text has been dry-run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from polypocket.dryrun import DryRun, Watcher
from polypocket.errors import InputError, ProofError
from polypocket.model.job import BlockJob
from polypocket.model.mill import BY_HAND, Mill
from polypocket.post import Post
from polypocket.progress import Progress, silent
from polypocket.prove.header import begins_in_words, header_of, part_in_words
from polypocket.prove.parts import parts_of
from polypocket.prove.proof import (
    Proof,
    Written,
    dry_run_of_text,
    part_name,
    require_pass,
    resolution_of,
)
from polypocket.prove.words import lengths_in

if TYPE_CHECKING:
    from polypocket.prove.placing import Placed

__all__ = ["prove"]


def prove(
    job: BlockJob,
    mill: Mill,
    post: Post,
    name: str,
    from_pass: int = 1,
    progress: Progress = silent,
    placed: Placed | None = None,
    watcher: Watcher | None = None,
) -> Proof:
    """Plan a job, write it in a dialect and dry-run the text; whether it may be used, the verdict tells.

    Args:
        job: the job.
        mill: a mill that can make it (``require_fit``).
        post: the dialect.
        name: of the program, as findings are to call it; parts are numbered before its suffix.
        from_pass: the first pass to be written; the stock is as the passes before it leave it.
        progress: told how far planning and dry run have come.
        placed: the setting and the work zero, where they have been chosen already.
        watcher: told of every motion through the stock.

    Raises:
        DialectError: the dialect cannot say what the program needs, or the control's memory is too small.
        InputError: there is no such pass.
        ProofError: the plan knows of no place for the work, and the dry run of no reason why.
    """
    if post.by_hand:
        from polypocket.prove.by_hand import proof_by_hand  # late: few mills have no control

        return proof_by_hand(job, mill, post, name, from_pass, progress)
    if mill.is_worked_by_hand:
        raise InputError(f"{mill.name} has no control that could read {post.name}; a person reads {BY_HAND}")
    if mill.axis_by_hand is not None:
        return _proof_of_one_axis(job, mill, post, name, from_pass, progress, placed)
    from polypocket.plan import program_of, stages_of  # late: a program that is there already needs no plan
    from polypocket.prove.placing import placed_on

    is_free, unplaced = placed is None, mill
    if is_free and from_pass > 1 and prove(job, mill, post, name).clampings:
        # The passes are then those of the clampings, whichever of them one program could reach.
        proof = _proof_in_clampings(job, mill, post, name, from_pass, progress)
        assert proof is not None  # there was one a moment ago
        return proof
    placed = placed or placed_on(job, mill, progress)
    mill, swivel = placed.mill, placed.swivel
    stages = tuple(stages_of(job, mill, swivel)) if placed.place is None else placed.place.stages
    strokes = [stroke for stage in stages for stroke in stage.strokes]
    require_pass(from_pass, len(strokes))

    def written(passes: range, name: str, part: str = "") -> Written:
        program = program_of(job, mill, strokes, passes, swivel)
        header = (
            *header_of(job, placed, post.title),
            *part_in_words(part, passes, len(strokes)),
            *begins_in_words(job, program),
        )
        return Written(name, program, post.write(program, header, resolution_of(job)))

    wanted = range(from_pass, len(strokes) + 1)
    longest = "part 999 of 999"
    ranges = list(parts_of(wanted, mill.program_memory, lambda some: len(written(some, name, longest).text)))
    parts = [
        written(
            some, part_name(name, i, len(ranges)), f"part {i} of {len(ranges)}" if len(ranges) > 1 else ""
        )
        for i, some in enumerate(ranges or [wanted], start=1)
    ]
    before = [written(range(1, from_pass), f"passes before {from_pass}")] if from_pass > 1 else []
    texts = [(each.name, each.text) for each in (*before, *parts)]
    verdict = dry_run_of_text(texts, mill, job, post, len(before), progress, watcher=watcher)
    if is_free and from_pass == 1 and _does_not_reach(verdict):
        several = _proof_in_clampings(job, unplaced, post, name, from_pass, progress)
        if several is not None and several.verdict.ok:
            return several
    if verdict.ok and placed.place is not None and not placed.place.fits:
        raise ProofError(
            f"{mill.name}: there is no place for the work on this mill, though the dry run finds nothing wrong at "
            "the nearest; nothing is made of a plan that two ways of looking do not agree on"
        )
    return Proof(tuple(before), tuple(parts), verdict, placed, stages)


def _proof_of_one_axis(
    job: BlockJob,
    mill: Mill,
    post: Post,
    name: str,
    from_pass: int,
    progress: Progress,
    placed: Placed | None,
) -> Proof:
    """Plan a job for a control that drives one of X and Y: setting by setting of the swivel base, a program each."""
    if placed is not None:
        raise InputError(
            f"{mill.name} drives one of X and Y only, so that there is a program for each setting of the swivel base, "
            "and no one place"
        )
    proof = _proof_in_clampings(job, mill, post, name, from_pass, progress)
    if proof is None:
        from polypocket.plan.zero_again import held_too_much

        less = held_too_much(job)
        helps = (
            f"hold {lengths_in(job.units)(less)} less of the stock, so that it can be touched below the deepest floor"
            if less > 0.0
            else "allow more settings, take a smaller cutter, cut.clearance or another work zero, or hold less of the "
            "stock"
        )
        raise InputError(
            f"{mill.name}: no share of the flats among settings of the swivel base fits into its travel, with the zero "
            f"found again after each turn; {helps}"
        )
    return proof


def _proof_in_clampings(
    job: BlockJob, mill: Mill, post: Post, name: str, from_pass: int, progress: Progress
) -> Proof | None:
    from polypocket.prove.several import proof_in_clampings  # late: few jobs want several

    return proof_in_clampings(job, mill, post, name, from_pass, progress)


def _does_not_reach(verdict: DryRun) -> bool:
    """Whether nothing but travel, or what stands on the table, is in the way of a program."""
    codes = {finding.code for finding in verdict.findings if finding.severity == "error"}
    return bool(codes) and codes <= {"travel", "keep-out"}
