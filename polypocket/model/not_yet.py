"""What a file may say by its design but this version does not do: refused, never passed over.

Looked for in the parsed file before validation, so that it is told together with everything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from polypocket.errors import Mistake
from polypocket.model.mistakes import place_of
from polypocket.units import printable

__all__ = ["bar_job", "no_work_zero", "not_yet_in_job", "not_yet_in_mill"]

#: Keys of a job that are not looked at yet: what is not done, and what to do.
_KEYS_OF_JOB: Final = {
    "bore": "bores are not cut; leave [bore] out and bore the block by other means",
    "pockets": "pockets are not cut; leave them out of the job",
    "holes": "holes are not drilled; leave them out of the job",
}

_NO_AXIS_BY_HAND: Final = "an axis that a person moves is not provided for; all three must be driven"

#: Values of a mill that are not provided for yet: where, which, what is not done and what to do.
_VALUES_OF_MILL: Final[tuple[tuple[tuple[str, ...], object, str], ...]] = (
    (
        ("homed",),
        False,
        "a mill without home switches is not provided for; it must know its machine coordinates",
    ),
    (("axes", "x", "driven"), False, _NO_AXIS_BY_HAND),
    (("axes", "y", "driven"), False, _NO_AXIS_BY_HAND),
    (("axes", "z", "driven"), False, _NO_AXIS_BY_HAND),
    (
        ("spindle", "controlled"),
        False,
        "a spindle that a person starts is not provided for; the control must start it",
    ),
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
    mistakes = [
        Mistake(place_of(path), f"not yet: {text}")
        for path, refused, text in _VALUES_OF_MILL
        if _at(mill, path) == refused and isinstance(_at(mill, path), type(refused))  # 0 is not false
    ]
    offset, listed = mill.get("work_offset"), mill.get("work_offsets", {})
    if isinstance(offset, str) and isinstance(listed, dict) and offset not in listed:
        mistakes.append(Mistake(place_of(("work_offsets", offset)), no_work_zero(offset)))
    return mistakes, mill


def no_work_zero(offset: str) -> str:
    """Return what is wrong with a mill that does not list the work offset it uses."""
    return (
        f"not yet: travel cannot be checked without the machine position of the work zero; "
        f"write {printable(offset)} = [X, Y, Z] under [work_offsets]"
    )


def _at(table: object, path: tuple[str, ...]) -> object:
    """Return the value at a path of keys; ``None`` where there is none."""
    for key in path:
        table = table.get(key) if isinstance(table, dict) else None
    return table
