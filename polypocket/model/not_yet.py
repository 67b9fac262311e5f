"""What a file may say by its design but this version does not do: refused, never passed over.

Looked for in the parsed file before validation, so that it is told together with everything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from polypocket.errors import Mistake
from polypocket.model.mill import BY_HAND
from polypocket.model.mistakes import place_of

__all__ = ["bar_job", "not_yet_in_job", "not_yet_in_mill"]

#: Keys of a job that are not looked at yet: what is not done, and what to do.
_KEYS_OF_JOB: Final = {
    "bore": "bores are not cut; leave [bore] out and bore the block by other means",
    "pockets": "pockets are not cut; leave them out of the job",
    "holes": "holes are not drilled; leave them out of the job",
}

_NO_AXIS_BY_HAND: Final = (
    "a control that drives only one of X and Y, or neither, is not provided for; a mill without a control has "
    'post = "handwheel"'
)

#: Values of a mill with a control that are not provided for yet: where, which, what is not done and what to do.
_VALUES_OF_MILL: Final[tuple[tuple[tuple[str, ...], object, str], ...]] = (
    (("axes", "x", "driven"), False, _NO_AXIS_BY_HAND),
    (("axes", "y", "driven"), False, _NO_AXIS_BY_HAND),
)


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


def not_yet_in_mill(mill: dict[str, Any]) -> tuple[list[Mistake], dict[str, Any]]:
    """Return what is not provided for yet in a parsed mill, and the mill without the tables it is in."""
    if mill.get("post") == BY_HAND:  # it knows no machine coordinates and drives nothing
        return [], mill
    mistakes = [
        Mistake(place_of(path), f"not yet: {text}")
        for path, refused, text in _VALUES_OF_MILL
        if _at(mill, path) == refused and isinstance(_at(mill, path), type(refused))  # 0 is not false
    ]
    return mistakes, mill


def _at(table: object, path: tuple[str, ...]) -> object:
    """Return the value at a path of keys; ``None`` where there is none."""
    for key in path:
        table = table.get(key) if isinstance(table, dict) else None
    return table
