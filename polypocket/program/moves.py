"""The motions of the cutter."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

__all__ = ["Arc", "Drill", "Dwell", "Feed", "Move", "Point", "Rapid"]


class Point(NamedTuple):
    """A position of the cutter's tip centre in the work frame, mm. ``None``: that axis is not commanded."""

    x: float | None = None
    y: float | None = None
    z: float | None = None


class Rapid(NamedTuple):
    """A move at the axes' rapid rates, never in material."""

    to: Point


class Feed(NamedTuple):
    """A straight move at ``rate`` mm/min."""

    to: Point
    rate: float


class Arc(NamedTuple):
    """A circular move in the XY plane at ``rate`` mm/min, a helix where Z changes.

    Attributes:
        to: its end.
        centre: X and Y of its centre in the work frame, mm.
        clockwise: as seen from above (from +Z).
        turns: full turns beyond the first partial one: 0 for an arc of at most one turn.
        rate: mm/min along the path.
    """

    to: Point
    centre: tuple[float, float]
    clockwise: bool
    turns: int
    rate: float


class Drill(NamedTuple):
    """A hole along −Z at the point ``at``.

    Attributes:
        at: X and Y, mm.
        clear: Z from which it feeds and to which it returns, mm.
        bottom: Z of its end, mm.
        peck: depth of one peck, mm; 0 for none.
        dwell: seconds at the bottom.
        rate: mm/min.
    """

    at: tuple[float, float]
    clear: float
    bottom: float
    peck: float
    dwell: float
    rate: float


class Dwell(NamedTuple):
    """A wait without motion."""

    seconds: float


Move: TypeAlias = Rapid | Feed | Arc | Drill | Dwell
