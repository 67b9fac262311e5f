"""How long a move takes: trapezoids of speed from rest to rest."""

from __future__ import annotations

import math
from typing import NamedTuple

from polypocket.model.mill import Mill

__all__ = ["Kinematics", "Triple", "trapezoid"]

Triple = tuple[float, float, float]


def trapezoid(distance: float, speed: float, acceleration: float) -> float:
    """Return the seconds from rest to rest over ``distance`` mm at up to ``speed`` mm/s and ``acceleration`` mm/s².

    D/v + v/a where the distance lets the speed be reached (D ≥ v²/a), else 2·√(D/a).
    """
    if distance <= 0.0:
        return 0.0
    if distance * acceleration >= speed * speed:
        return distance / speed + speed / acceleration
    return 2.0 * math.sqrt(distance / acceleration)


class Kinematics(NamedTuple):
    """What a mill's axes can do, X, Y and Z.

    Attributes:
        rapid: rates of rapid moves, mm/min.
        acceleration: mm/s².
        independent: each axis makes a rapid on its own, so that they need not arrive together.
        feed_max: highest feed, mm/min.
    """

    rapid: Triple
    acceleration: Triple
    independent: bool
    feed_max: float

    @classmethod
    def of(cls, mill: Mill) -> Kinematics:
        """Read them from a mill."""
        axes = (mill.axes.x, mill.axes.y, mill.axes.z)
        x, y, z = (axis.rapid for axis in axes)
        ax, ay, az = (axis.acceleration for axis in axes)
        return cls((x, y, z), (ax, ay, az), mill.rapid_path == "independent", mill.feed_max)

    def rapid_time(self, delta: Triple) -> float:
        """Seconds of a rapid over ``delta`` mm."""
        if self.independent:
            (dx, dy, dz), (vx, vy, vz), (ax, ay, az) = delta, self.rapid, self.acceleration
            return max(
                trapezoid(abs(dx), vx / 60.0, ax),
                trapezoid(abs(dy), vy / 60.0, ay),
                trapezoid(abs(dz), vz / 60.0, az),
            )
        return self._straight(delta)

    def feed_time(self, delta: Triple, rate: float) -> float:
        """Seconds of a straight feed move over ``delta`` mm at ``rate`` mm/min along the path."""
        dx, dy, dz = delta
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if length <= 0.0:
            return 0.0
        # What the slowest axis can do over its share of the way; written out, since it is asked for often.
        ax, ay, az = self.acceleration
        acceleration = math.inf
        if (share := abs(dx) / length) > 0.0:
            acceleration = ax / share
        if (share := abs(dy) / length) > 0.0 and (along := ay / share) < acceleration:
            acceleration = along
        if (share := abs(dz) / length) > 0.0 and (along := az / share) < acceleration:
            acceleration = along
        return trapezoid(length, rate / 60.0, acceleration)

    def arc_time(self, length: float, rate: float) -> float:
        """Seconds of an arc of ``length`` mm in the XY plane at ``rate`` mm/min; the slower axis sets the start."""
        return trapezoid(length, rate / 60.0, min(self.acceleration[:2]))

    def _straight(self, delta: Triple) -> float:
        """Seconds of a rapid along the straight line, each axis within its own rate and acceleration."""
        dx, dy, dz = delta
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if length <= 0.0:
            return 0.0
        speed, acceleration = math.inf, math.inf
        for d, v, a in zip(delta, self.rapid, self.acceleration, strict=True):
            share = abs(d) / length
            if share > 0.0:
                speed = min(speed, v / share)
                acceleration = min(acceleration, a / share)
        return trapezoid(length, speed / 60.0, acceleration)
