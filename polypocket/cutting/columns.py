"""How long moves take, many at once: the formulas of ``time`` for columns of moves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from polypocket.cutting.time import Kinematics

__all__ = ["arc_times", "feed_times", "rapid_times"]

Floats = NDArray[np.float64]


def rapid_times(kinematics: Kinematics, delta: Floats) -> Floats:
    """Seconds of rapids over ``delta`` mm: X, Y and Z along the first axis."""
    if kinematics.independent:
        each = zip(np.abs(delta), kinematics.rapid, kinematics.acceleration, strict=True)
        x, y, z = (_trapezoids(d, np.float64(v / 60.0), np.float64(a)) for d, v, a in each)
        return np.maximum(np.maximum(x, y), z)
    return _straight(kinematics, delta, np.array(kinematics.rapid), np.float64(np.inf))


def feed_times(kinematics: Kinematics, delta: Floats, rate: Floats) -> Floats:
    """Seconds of straight feed moves over ``delta`` mm (as above) at ``rate`` mm/min along the path."""
    return _straight(kinematics, delta, np.full(3, np.inf), rate)


def arc_times(kinematics: Kinematics, length: Floats, rate: Floats) -> Floats:
    """Seconds of arcs of ``length`` mm in the XY plane at ``rate`` mm/min."""
    return _trapezoids(length, rate / 60.0, np.float64(min(kinematics.acceleration[:2])))


def _straight(kinematics: Kinematics, delta: Floats, limits: Floats, rate: Floats | np.float64) -> Floats:
    """Seconds along straight lines, each axis within its own rate and acceleration."""
    length = np.sqrt((delta * delta).sum(axis=0))
    speed: Floats | np.float64 = rate
    acceleration: Floats | np.float64 = np.float64(np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):  # an axis that stands still hinders nothing
        for d, v, a in zip(np.abs(delta), limits, kinematics.acceleration, strict=True):
            share = d / length
            speed = np.where(share > 0.0, np.minimum(speed, v / share), speed)
            acceleration = np.where(share > 0.0, np.minimum(acceleration, a / share), acceleration)
    return _trapezoids(length, speed / 60.0, acceleration)


def _trapezoids(distance: Floats, speed: Floats | np.float64, acceleration: Floats | np.float64) -> Floats:
    """Seconds from rest to rest over ``distance`` mm at up to ``speed`` mm/s and ``acceleration`` mm/s²."""
    with np.errstate(divide="ignore", invalid="ignore"):  # where the distance is 0
        seconds = np.where(
            distance * acceleration >= speed * speed,
            distance / speed + speed / acceleration,
            2.0 * np.sqrt(distance / acceleration),
        )
    return np.where(distance <= 0.0, 0.0, seconds)
