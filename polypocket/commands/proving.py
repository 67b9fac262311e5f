"""What the commands that make a program have in common: to prove it, and not to write over what it is made from."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from polypocket.errors import InputError, ProofError

if TYPE_CHECKING:
    from polypocket.dryrun import Watcher
    from polypocket.model.job import BlockJob
    from polypocket.prove import Proof

__all__ = ["proof_of", "require_clean", "require_not_an_input"]


def proof_of(
    job: BlockJob,
    source: str,
    machine: str,
    post: str | None,
    program: str,
    from_pass: int = 1,
    watcher: Watcher | None = None,
) -> Proof:
    """Return the proof of a job, which mistakes are to call ``source``, on a mill."""
    from polypocket.model.files import load_mill
    from polypocket.prove import post_for, prove, require_fit
    from polypocket.screen.progress_bar import ProgressBar

    mill = load_mill(machine)
    require_fit(job, mill, source)
    with ProgressBar() as progress:
        return prove(job, mill, post_for(mill, post), program, from_pass, progress, watcher=watcher)


def require_clean(proof: Proof, machine: str) -> None:
    """Raise a ProofError that tells what the dry run found, if it is an error."""
    from polypocket.screen.verdict import findings_lines

    if not proof.verdict.ok:
        found = "\n".join(findings_lines(proof.verdict))
        hint = f"\npolypocket place JOB --machine {machine} tells where the work fits and what helps"
        travel = any(each.code == "travel" for each in proof.verdict.findings)
        raise ProofError(
            f"nothing written: on {machine} the dry run of the program found errors\n{found}{hint if travel else ''}"
        )


def require_not_an_input(path: Path, *inputs: object, what: str = "the program") -> None:
    """Raise an InputError where ``what`` would be written over what it was made from, or any job or mill."""
    for each in inputs:
        if (
            each is not None
            and os.path.exists(path)
            and os.path.exists(str(each))
            and os.path.samefile(path, str(each))
        ):
            raise InputError(f"{path}: {what} would be written over what it is made from; name another file")
    if path.suffix.lower() == ".toml":
        raise InputError(f"{path}: jobs and mill files are called so; give {what} another ending")
