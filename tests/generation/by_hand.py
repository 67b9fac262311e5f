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
