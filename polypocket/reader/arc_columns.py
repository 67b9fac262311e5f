"""The centres of many arcs, by the formulas of ``arcs`` and to the same bit.

``math.hypot`` and ``numpy.hypot`` may round differently, so lengths come from the former, as ``arcs`` has them.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.arcs import NOISE

__all__ = ["Ends", "by_centre", "by_radius", "same_place"]

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]

#: Start X and Y, end X and Y.
Ends = tuple[Floats, Floats, Floats, Floats]


def same_place(ends: Ends, tolerance: float) -> Truths:
    """Find the arcs whose end ``arcs`` would judge or move: near the start, but not the very same number."""
    x1, y1, x2, y2 = ends
    distance = _length(x2 - x1, y2 - y1)
    same = (x1 == x2) & (y1 == y2) & (np.signbit(x1) == np.signbit(x2)) & (np.signbit(y1) == np.signbit(y2))
    near: Truths = distance <= tolerance + NOISE
    return near & ~same


def by_centre(ends: Ends, i: Floats, j: Floats, tolerance: float) -> tuple[Floats, Floats, Truths]:
    """Return centres (X and Y) from I and J, and which arcs have nothing wrong with their radii."""
    x1, y1, x2, y2 = ends
    x, y = x1 + i, y1 + j
    at_start, at_end = _length(i, j), _length(x - x2, y - y2)
    sound = (at_start > NOISE) & (at_end > NOISE) & (np.abs(at_start - at_end) <= tolerance + NOISE)
    return x, y, sound


def by_radius(
    ends: Ends, radius: Floats, clockwise: Truths, tolerance: float
) -> tuple[Floats, Floats, Truths]:
    """Return centres (X and Y) from R, and which arcs have one."""
    x1, y1, x2, y2 = ends
    half = _length(x1 - x2, y1 - y2) / 2.0
    size = np.abs(radius)
    sound = (half > NOISE) & (half <= size + tolerance)
    half = np.where(sound, half, 1.0)
    height = np.sqrt(np.maximum(0.0, (size - half) * (size + half)))
    side = np.where(clockwise == (radius < 0.0), height, -height)
    x = (x1 + x2) / 2.0 + side * ((y1 - y2) / (2.0 * half))
    y = (y1 + y2) / 2.0 + side * ((x2 - x1) / (2.0 * half))
    return x, y, sound


def _length(x: Floats, y: Floats) -> Floats:
    return np.fromiter(map(math.hypot, x.tolist(), y.tolist()), np.float64, len(x))
