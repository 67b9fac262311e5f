"""A cutter as it was measured, in place of the one in the job's file."""

from __future__ import annotations

import re
from typing import Final

from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.units import format_length

__all__ = ["OPTION", "measured_cutter", "require_same"]

#: What a person calls it, for mistakes.
OPTION: Final = "--cutter-diameter"

#: Between these shares of its diameter a cutter can be the same one, ground down or measured anew. Common practice, no
#: source.
_SMALLEST_SHARE, _LARGEST_SHARE = 0.8, 1.02

_OF_ONE: Final = re.compile(r"\s*([0-9]+)\s*=(.*)", re.DOTALL)


def measured_cutter(job: BlockJob, given: str) -> tuple[Cutter, float | str]:
    """Return which cutter of a job a person has measured, and its diameter as a file would have it.

    Args:
        job: with the cutters as they are in its file.
        given: a diameter, or a cutter's number and its diameter: ``2 = 5.94``.

    Raises:
        ValueError: there is no such cutter, or several of which it may be.
    """
    numbers = [cutter.number for cutter in job.cutters]
    match = _OF_ONE.fullmatch(given)
    if match is None:
        if len(numbers) > 1:
            named = " and ".join(map(str, numbers))
            raise ValueError(
                f"the job has the cutters {named}; say which it is, such as {numbers[0]}={given}"
            )
        return job.cutters[0], _number_or_text(given)
    number = int(match[1])
    if number not in numbers:
        raise ValueError(f"the job has no cutter {number}; it has {' and '.join(map(str, numbers))}")
    return job.cutter(number), _number_or_text(match[2].strip())


def require_same(job: BlockJob, cutter: Cutter, measured: Cutter) -> None:
    """Make sure that a cutter as measured can be the job's.

    Raises:
        ValueError: it cannot.
    """
    if not _SMALLEST_SHARE <= measured.radius / cutter.radius <= _LARGEST_SHARE:
        raise ValueError(
            f"the job's cutter is {format_length(cutter.diameter, job.units)}; one so different is another cutter, "
            "and wants a job of its own"
        )


def _number_or_text(value: str) -> float | str:
    """Return what a file would have: a plain number is in the file's units, text carries its own."""
    try:
        return float(value)
    except ValueError:
        return value
