"""How long moves take, many at once: the formulas of ``time`` for columns of moves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from polypocket.cutting.time import Kinematics, Triple

__all__ = ["arc_times", "feed_times", "rapid_times"]

Floats = NDArray[np.float64]


def rapid_times(kinematics: Kinematics, delta: Floats) -> Floats:
    """Seconds of rapids over ``delta`` mm: X, Y and Z along the first axis."""
    if kinematics.independent:
        each = zip(np.abs(delta), kinematics.rapid, kinematics.acceleration, strict=True)
        x, y, z = (_trapezoids(d, np.full(d.shape, v / 60.0), np.full(d.shape, a)) for d, v, a in each)
        return np.maximum(np.maximum(x, y), z)
    length = _lengths(delta)
    return _trapezoids(
        length,
        _within(kinematics.rapid, delta, length) / 60.0,
        _within(kinematics.acceleration, delta, length),
    )


def feed_times(kinematics: Kinematics, delta: Floats, rate: Floats) -> Floats:
    """Seconds of straight feed moves over ``delta`` mm (as above) at ``rate`` mm/min along the path."""
    length = _lengths(delta)
    return _trapezoids(length, rate / 60.0, _within(kinematics.acceleration, delta, length))


def arc_times(kinematics: Kinematics, length: Floats, rate: Floats) -> Floats:
    """Seconds of arcs of ``length`` mm in the XY plane at ``rate`` mm/min."""
    return _trapezoids(length, rate / 60.0, np.full(length.shape, min(kinematics.acceleration[:2])))


def _lengths(delta: Floats) -> Floats:
    x, y, z = delta
    lengths: Floats = np.sqrt(x * x + y * y + z * z)
    return lengths


def _within(limits: Triple, delta: Floats, length: Floats) -> Floats:
    """Return what is allowed along the paths where each axis has its limit."""
    x, y, z = (np.abs(d) / limit for d, limit in zip(delta, limits, strict=True))
    with np.errstate(divide="ignore", invalid="ignore"):  # where nothing moves
        allowed: Floats = length / np.maximum(np.maximum(x, y), z)
    return allowed


def _trapezoids(distance: Floats, speed: Floats, acceleration: Floats) -> Floats:
    """Seconds from rest to rest over ``distance`` mm at up to ``speed`` mm/s and ``acceleration`` mm/s²."""
    reached = distance * acceleration >= speed * speed
    with np.errstate(divide="ignore", invalid="ignore"):  # where nothing moves
        seconds: Floats = np.where(
            reached, distance / speed + speed / acceleration, 2.0 * np.sqrt(distance / acceleration)
        )
    seconds[distance <= 0.0] = 0.0
    return seconds
