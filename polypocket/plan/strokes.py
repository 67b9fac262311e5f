"""Cuts at their heights."""

from __future__ import annotations

from typing import Literal, NamedTuple

from polypocket.plan.cuts import Cut, beginning
from polypocket.plan.method import Method
from polypocket.plan.take_up import take_up_from

__all__ = ["Stroke", "stroke_of"]

Pair = tuple[float, float]


class Stroke(NamedTuple):
    """A cut at its height.

    Attributes:
        cutter: number of the one that makes it.
        feature: what it makes.
        level: Z, mm.
        role: ``rough`` or ``finish``.
        cut: in the plane.
        comes_down: where the cutter may come down to its height, clear of all material.
        arrivals: the last points of the way to it, all of them passed; the working feed begins at the last.
    """

    cutter: int
    feature: str
    level: float
    role: Literal["rough", "finish"]
    cut: Cut
    comes_down: Pair
    arrivals: tuple[Pair, ...]


def stroke_of(
    feature: str, level: float, role: Literal["rough", "finish"], cut: Cut, method: Method
) -> Stroke:
    """Return a cut at a height, with the way to it that the mill's backlash asks for."""
    approach, start = beginning(cut, method.radius)
    backlash = method.backlash_to_take_up(role)
    if backlash is None:
        return Stroke(method.cutter, feature, level, role, cut, approach, (start,))
    first = take_up_from(cut, approach, backlash)
    return Stroke(method.cutter, feature, level, role, cut, first, (first, approach))
