"""Which view stands where, and the sign that says so."""

from __future__ import annotations

from typing import Literal, TypeAlias

from polypocket.sheet.ink import Circle, Drawing, Item, LineKind, Path
from polypocket.units import Units

__all__ = ["Projection", "projection_of", "projection_sign"]

Projection: TypeAlias = Literal["first", "third"]


def projection_of(units: Units) -> Projection:
    """Return the projection that shops with these units are used to: common practice, no source.

    First angle puts the view from above below the view from the front, third angle above it (ISO 5456-2).
    """
    return "third" if units == "inch" else "first"


def projection_sign(projection: Projection) -> Drawing:
    """Return the sign of a projection, a truncated cone in two views (ISO 5456-2, from memory)."""
    small, large, length = 1.5, 3.0, 6.0
    cone_at, rings_at = (0.0, 12.0) if projection == "first" else (8.0, 0.0)
    if projection == "first":
        ends = (large, small)
        cone_at, rings_at = 0.0, 12.0
    else:
        ends = (small, large)
        cone_at, rings_at = 7.0, 0.0
    left, right = cone_at, cone_at + length
    items: list[Item] = [
        Path(
            LineKind.VISIBLE,
            ((left, -ends[0]), (right, -ends[1]), (right, ends[1]), (left, ends[0])),
            closed=True,
        ),
        Path(LineKind.CENTRE, ((left - 1.5, 0.0), (right + 1.5, 0.0))),
        *(Circle(LineKind.VISIBLE, (rings_at, 0.0), radius) for radius in (small, large)),
        Path(LineKind.CENTRE, ((rings_at - large - 1.5, 0.0), (rings_at + large + 1.5, 0.0))),
        Path(LineKind.CENTRE, ((rings_at, -large - 1.5), (rings_at, large + 1.5))),
    ]
    return Drawing(f"{projection}-angle projection", tuple(items))
