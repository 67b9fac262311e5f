"""What a control remembers from line to line."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from polypocket.reader.track import Frame
from polypocket.units import MM_PER_INCH

__all__ = ["AXES", "State"]

#: The axes in the order in which positions are kept.
AXES = ("X", "Y", "Z")


def _unknown() -> list[float]:
    return [math.nan, math.nan, math.nan]


@dataclass(slots=True)
class State:
    """A control's modal state while a program is read; ``None`` where controls could start differently.

    A position is kept in two frames, since the work offsets' values are not known here: a move in one frame
    makes the axes that it names unknown in the other, and another work offset makes all work coordinates
    unknown.

    Attributes:
        units: ``mm`` or ``inch`` in force.
        first_units: the first that the program said.
        motion, plane, distance: the G words in force, in tenths.
        feed_mode: 94, or 93 for inverse time.
        feed: the last F as written; NaN until given.
        speed: the last S, rpm; NaN until given.
        direction: of the spindle: 1 clockwise, -1 anticlockwise, 0 stopped.
        selected: the last T; ``None`` until given.
        tool: the cutter in the spindle, 0 until known.
        offset: the work offset in force; G54 is what M2 and M30 leave behind (NISTIR 6556 3.6.1, from
            memory).
        compensation_side, radius_register, length_register: as the track's columns.
        entering: radius compensation is on, and no move of X or Y has been made since.
        leaving: it is off again, and the cutter's centre has not yet come back to the programmed path.
        mist, flood: whether each coolant is on.
        pass_number: of the last ``PASS`` comment.
        work, machine: position in each frame, mm; NaN where not known.
        ended: M2 or M30 was carried out.
        told: complaints that are made once.
    """

    units: str | None = None
    first_units: str | None = None
    motion: int | None = None
    plane: int | None = None
    distance: int | None = None
    feed_mode: int = 94
    feed: float = math.nan
    speed: float = math.nan
    direction: int = 0
    selected: int | None = None
    tool: int = 0
    offset: float = 54.0
    compensation_side: int = 0
    radius_register: int = 0
    length_register: int = 0
    entering: bool = False
    leaving: bool = False
    mist: bool = False
    flood: bool = False
    pass_number: int = 0
    work: list[float] = field(default_factory=_unknown)
    machine: list[float] = field(default_factory=_unknown)
    ended: bool = False
    told: set[str] = field(default_factory=set)

    @property
    def scale(self) -> float:
        """Millimetres in one unit of the program; 1 while the units are not known."""
        return MM_PER_INCH if self.units == "inch" else 1.0

    @property
    def rpm(self) -> float:
        """Positive clockwise, negative anticlockwise, 0 stopped, NaN where it turns without a speed."""
        return self.direction * self.speed if self.direction else 0.0

    @property
    def feed_per_minute(self) -> float:
        """The feed in force, mm/min, or 1/min in inverse time."""
        return self.feed * self.scale if self.feed_mode == 94 else self.feed

    def place(self, axis: int, value: float, frame: Frame = Frame.WORK) -> None:
        """Put an axis at a coordinate of one frame, mm; its coordinate in the other is no longer known."""
        here, other = (self.work, self.machine) if frame == Frame.WORK else (self.machine, self.work)
        here[axis] = value
        other[axis] = math.nan

    def lose(self, axis: int) -> None:
        """Forget where an axis stands."""
        self.work[axis] = self.machine[axis] = math.nan

    def use_offset(self, offset: float) -> None:
        """Take another work offset: nothing moves, but the coordinates are others, and not known here."""
        if offset != self.offset:
            self.work = _unknown()
            self.offset = offset

    def reset(self) -> None:
        """Do what M2 and M30 do: G54, G17, G90, G94, G40, M5, G1, M9 (NISTIR 6556 3.6.1, from memory)."""
        self.use_offset(54.0)
        self.plane, self.distance, self.feed_mode, self.motion = 170, 900, 94, 10
        self.compensation_side = self.radius_register = self.direction = 0
        self.entering = self.leaving = self.mist = self.flood = False
        self.ended = True
