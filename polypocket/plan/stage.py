"""One section: roughed level by level, then finished at its full depth."""

from __future__ import annotations

from dataclasses import dataclass

from polypocket.plan.clearing import Clearing
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke, stroke_of

__all__ = ["Stage", "plan_stage"]


@dataclass(frozen=True, slots=True)
class Stage:
    """How one section is cut.

    Attributes:
        strokes: in order.
        seconds: that they and the ways between them take.
    """

    strokes: tuple[Stroke, ...]
    seconds: float


def plan_stage(feature: str, clearing: Clearing, top: float, bottom: float, method: Method) -> Stage:
    """Return the strokes that cut a section's own wall, between the depths ``top`` and ``bottom`` (mm)."""
    roughing = [
        [stroke_of(feature, -depth, "rough", cut, method) for cut in clearing.roughing]
        for depth in levels(top, bottom, method.stepdown)
    ]
    finishing = [stroke_of(feature, -bottom, "finish", cut, method) for cut in clearing.finishing]
    seconds = clearing.roughing_seconds * len(roughing) + clearing.finishing_seconds
    return Stage(tuple(stroke for strokes in (*roughing, finishing) for stroke in strokes), seconds)
