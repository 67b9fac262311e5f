"""The centres of many arcs, by the formulas of ``arcs`` and to the same bit.

``math.hypot`` and ``numpy.hypot`` may round differently. Where a length makes a centre it comes from the former, as
in ``arcs``; where it is only compared the latter does, and what is so near to the bound that rounding could decide
counts as not sound: the ordinary reader then judges it.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from polypocket.reader.arcs import NOISE

__all__ = ["Ends", "by_centre", "by_radius", "same_place"]

#: The share of a length that two ways to work it out may differ by: a few times the rounding of a double, 2^-53.
_DOUBT = 1e-14

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]

#: Start X and Y, end X and Y.
Ends = tuple[Floats, Floats, Floats, Floats]


def same_place(ends: Ends, tolerance: float) -> Truths:
    """Find the arcs whose end ``arcs`` would judge or move: near the start, but not the very same number."""
    x1, y1, x2, y2 = ends
    near: Truths = np.hypot(x2 - x1, y2 - y1) <= (tolerance + NOISE) * (1.0 + _DOUBT)
    same: Truths = (
        (x1 == x2) & (y1 == y2) & (np.signbit(x1) == np.signbit(x2)) & (np.signbit(y1) == np.signbit(y2))
    )
    return near & ~same


def by_centre(ends: Ends, i: Floats, j: Floats, tolerance: float) -> tuple[Floats, Floats, Truths]:
    """Return centres (X and Y) from I and J, and which arcs have nothing wrong with their radii."""
    x1, y1, x2, y2 = ends
    x, y = x1 + i, y1 + j
    at_start, at_end = np.hypot(i, j), np.hypot(x - x2, y - y2)
    doubt = _DOUBT * (at_start + at_end)
    sound = (at_start > NOISE * (1.0 + _DOUBT)) & (at_end > NOISE * (1.0 + _DOUBT))
    sound &= np.abs(at_start - at_end) + doubt <= tolerance + NOISE
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
