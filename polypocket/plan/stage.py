"""One section: roughed level by level, then finished at its full depth."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.plan.clearing import Clearing
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke

__all__ = ["Stage", "plan_stage"]


class Stage(NamedTuple):
    """How one section is cut.

    Attributes:
        cutter: number of the one that cuts it.
        strokes: in order.
        seconds: that they and the ways between them take.
    """

    cutter: int
    strokes: tuple[Stroke, ...]
    seconds: float


def plan_stage(feature: str, clearing: Clearing, top: float, bottom: float, method: Method) -> Stage:
    """Return the strokes that cut a section's own wall, between the depths ``top`` and ``bottom`` (mm)."""
    heights = [-depth for depth in levels(top, bottom, method.stepdown)]
    roughing = [
        stroke._replace(feature=feature, level=height) for height in heights for stroke in clearing.roughing
    ]
    finishing = [stroke._replace(feature=feature, level=-bottom) for stroke in clearing.finishing]
    seconds = clearing.roughing_seconds * len(heights) + clearing.finishing_seconds
    return Stage(method.cutter, (*roughing, *finishing), seconds)
