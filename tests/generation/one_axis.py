"""Jobs for a mill that drives one of X and Y."""

from __future__ import annotations

import math

from polypocket.model.job import BlockJob

__all__ = ["with_settings"]


def with_settings(job: BlockJob, axis: str) -> BlockJob:
    """Return a job with a setting for each direction of its flats: half a turn brings opposite ones along the axis."""
    across = math.pi / 2.0 if axis == "x" else 0.0
    settings = {
        round(math.remainder(across - section.polygon().direction(flat), math.pi), 9)
        for section in job.sections
        for flat in range(1, section.sides + 1)
    }
    clamping = job.clamping.model_copy(update={"swivel_settings": tuple(sorted(settings, key=abs))})
    return job.model_copy(update={"clamping": clamping})
