"""In which steps a person sets an axis, and whether the depths of a job can be set: nothing is between the steps."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from polypocket.errors import Mistake
from polypocket.model.job import BlockJob
from polypocket.model.mill import Axis, Mill
from polypocket.model.written_mill import READOUT
from polypocket.units import Units, format_length

__all__ = ["mistakes_of_heights", "step_of"]

#: By how much a floor may be out of where the job has it, mm: what the dry run takes for one height, less a text's
#: rounding.
_NEAR: Final = 0.0045


def step_of(axis: Axis, mill: Mill, units: Units) -> float:
    """Return the smallest step of an axis that a person can set, mm, who reads it in these units.

    A dial has its divisions; a readout is switched to the units, and its step in others than the mill's is the usual.
    """
    return axis.step(mill.readout if units == mill.units else READOUT[units])


def mistakes_of_heights(job: BlockJob, mill: Mill, units: Units) -> Iterator[Mistake]:
    """Yield a mistake for each depth that is near no whole step of Z, where a person sets it in these units."""
    step = step_of(mill.axes.z, mill, units)
    for index, section in enumerate(job.sections):
        steps = section.depth / step
        if abs(round(steps) - steps) * step <= _NEAR:
            continue
        nearest = [whole * step for whole in (int(steps), int(steps) + 1) if whole]
        told = " or ".join(format_length(depth, job.units) for depth in nearest)
        message = (
            f"{format_length(section.depth, job.units)} cannot be set by hand, where Z goes in steps of "
            f"{format_length(step, job.units)}: write {told}"
        )
        yield Mistake(f"sections[{index}].depth", message)
