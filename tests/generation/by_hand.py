"""The generated jobs and mills, with a person at the height, at the spindle or at both."""

from __future__ import annotations

from tests.generation.cases import Case, case

__all__ = ["by_hand"]


def by_hand(seed: int) -> Case:
    """Return the case of a seed on a mill whose Z has no drive; every other one cannot start its spindle either."""
    drawn = case(seed)
    drawn.mill["axes"]["z"]["driven"] = False
    drawn.mill["spindle"]["controlled"] = bool(seed % 2)
    drawn.mill.setdefault("tool_change", {})["automatic"] = False
    return Case(seed, drawn.job, drawn.mill)


def for_a_sheet(seed: int) -> Case:
    """Return the case of a seed as it can be worked by hand: true sizes, conventional, in a vise, at a slow speed."""
    drawn = case(seed)
    job = {key: dict(value) if isinstance(value, dict) else value for key, value in drawn.job.items()}
    job["stock"].pop("oversize", None)
    job["cut"] |= {"direction": "conventional", "spindle_rpm": 660.0}
    return Case(seed, job, drawn.mill)
