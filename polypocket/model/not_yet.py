"""What a file may say by its design but this version does not do: refused, never passed over.

Looked for in the parsed file before validation, so that it is told together with everything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from polypocket.errors import Mistake

__all__ = ["bar_job", "not_yet_in_job"]

#: Keys of a job that are not looked at yet: what is not done, and what to do.
_KEYS_OF_JOB: Final = {
    "bore": "bores are not cut; leave [bore] out and bore the block by other means",
    "pockets": "pockets are not cut; leave them out of the job",
    "holes": "holes are not drilled; leave them out of the job",
}


def bar_job(job: Mapping[str, Any]) -> Mistake | None:
    """Return the mistake of a job that is for a bar, whose keys are others than a block's."""
    if job.get("kind") != "bar":
        return None
    return Mistake("kind", 'not yet: flats on bars are not cut; only kind = "block" can be used')


def not_yet_in_job(job: dict[str, Any]) -> tuple[list[Mistake], dict[str, Any]]:
    """Return what a parsed job asks for that is not done yet, and the job without it."""
    mistakes = [Mistake(key, f"not yet: {text}") for key, text in _KEYS_OF_JOB.items() if key in job]
    rest = {key: value for key, value in job.items() if key not in _KEYS_OF_JOB}
    return mistakes, rest
