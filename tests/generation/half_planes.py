"""What fits into what, by half-planes alone: independent of the shapes that are tested."""

from __future__ import annotations

import math
from collections.abc import Sequence

__all__ = ["HalfPlane", "largest_inradius", "polygon_faces", "reach"]

#: Direction in which a face looks, radians, and its distance from the centre, mm.
HalfPlane = tuple[float, float]


def polygon_faces(sides: int, inradius: float, first: float) -> list[HalfPlane]:
    """Return the faces of a regular polygon."""
    return [(first + math.tau * k / sides, inradius) for k in range(sides)]


def reach(sides: int, first: float, direction: float) -> float:
    """How far a regular polygon of inradius 1 reaches in a direction."""
    step = math.tau / sides
    corner = abs(math.remainder(direction - first - step / 2.0, step))
    return math.cos(corner) / math.cos(step / 2.0)


def largest_inradius(sides: int, first: float, faces: Sequence[HalfPlane]) -> float:
    """Return the inradius of the largest regular polygon, turned as it is, within some half-planes."""
    return min(distance / reach(sides, first, direction) for direction, distance in faces)
