"""The programs of several clampings as proofs of their own, for whoever shows one clamping at a time."""

from __future__ import annotations

from collections.abc import Sequence

from polypocket.dryrun import Watcher
from polypocket.model.job import BlockJob
from polypocket.post import Post
from polypocket.prove.proof import Proof, dry_run_of_text

__all__ = ["one_by_one"]


def one_by_one(proof: Proof, job: BlockJob, post: Post, watchers: Sequence[Watcher]) -> tuple[Proof, ...]:
    """Return a proof of each part, on the block as the parts before it leave it.

    Travel, time and lengths are those of the part. What is found is what is found in it when all are run, or all that
    is found where there is an error in any: then none of them may be run.

    Args:
        proof: of several clampings, from their beginning.
        job: the job.
        post: the dialect.
        watchers: for each part one, told of every motion of the parts up to it.
    """
    mills = [placed.mill for placed in proof.clampings]
    texts = [(part.name, part.text) for part in proof.parts]
    whole, result = proof.verdict, []
    for number, (part, watcher) in enumerate(zip(proof.parts, watchers, strict=True)):
        so_far = slice(number + 1)
        verdict = dry_run_of_text(
            texts[so_far], mills[number], job, post, number, mills=mills[so_far], watcher=watcher
        )
        own = tuple(finding for finding in whole.findings if finding.program == part.name)
        verdict = verdict._replace(findings=own if whole.ok else whole.findings, as_cut=whole.as_cut)
        result.append(Proof((), (part,), verdict, proof.clampings[number], ()))
    return tuple(result)
