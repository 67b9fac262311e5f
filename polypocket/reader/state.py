"""What a control remembers from line to line."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import NamedTuple

from polypocket.reader.planes import PLANES, Plane
from polypocket.reader.track import Frame
from polypocket.units import MM_PER_INCH

__all__ = ["AXES", "Cycle", "State"]

#: The axes in the order in which positions are kept.
AXES = ("X", "Y", "Z")


_NO_SHIFT = (0.0, 0.0, 0.0)


def _unknown() -> list[float]:
    return [math.nan, math.nan, math.nan]


class Cycle(NamedTuple):
    """The words of the last cycle that the next may leave out, as written; NaN where it had none.

    Attributes:
        motion: its G word, in tenths.
        distance, plane: the G words that were in force, in tenths: another makes other lengths of the words.
        clear: R.
        bottom: Z in the plane XY.
        peck: Q.
        dwell: P.
    """

    motion: int
    distance: int | None
    plane: int | None
    clear: float
    bottom: float
    peck: float
    dwell: float


@dataclass(slots=True, eq=False, repr=False)
class State:
    """A control's modal state while a program is read; ``None`` where controls could start differently.

    A position is kept in two frames, since the work offsets' values are not known here: a move in one frame
    makes the axes that it names unknown in the other, another work offset makes all work coordinates
    unknown, and another length those of Z.

    Attributes:
        units: ``mm`` or ``inch`` in force.
        first_units: the first that the program said.
        motion, plane, distance, return_mode: the G words in force, in tenths.
        feed_mode: 94, or 93 for inverse time.
        feed: the last F as written; NaN until given.
        speed: the last S, rpm; NaN until given.
        direction: of the spindle: 1 clockwise, -1 anticlockwise, 0 stopped.
        selected: the last T; ``None`` until given.
        tool: the cutter in the spindle, 0 until known.
        by_changer: it was put in by M6, and no person has had a hand in it since.
        offset: the work offset in force; G54 is what M2 and M30 leave behind (NISTIR 6556 3.6.1, from
            memory).
        compensation_side, radius_register, length_register: as the track's columns.
        shift: what G92 has added to the zeros of all work offsets, mm; NaN where not known.
        kept_shift: what the last G92 or G92.1 has laid by for G92.3; NaN until there was one.
        cycle: the last cycle, while nothing but cycles has followed it.
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
    return_mode: int | None = None
    feed_mode: int = 94
    feed: float = math.nan
    speed: float = math.nan
    direction: int = 0
    selected: int | None = None
    tool: int = 0
    by_changer: bool = False
    offset: float = 54.0
    compensation_side: int = 0
    radius_register: int = 0
    length_register: int = 0
    shift: tuple[float, float, float] = _NO_SHIFT
    kept_shift: tuple[float, float, float] = (math.nan, math.nan, math.nan)
    cycle: Cycle | None = None
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
    def axes_of_plane(self) -> Plane:
        """The plane in force; XY while none is."""
        return PLANES[17 if self.plane is None else self.plane // 10]

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

    def use_length(self, register: int) -> None:
        """Take another length: nothing moves, but heights are others, and not known here."""
        if register != self.length_register:
            self.work[2] = math.nan
            self.length_register = register

    def use_shift(self, shift: tuple[float, float, float]) -> None:
        """Shift the zeros to where ``shift`` says, mm: nothing moves, but coordinates are others."""
        self.work = [here + old - new for here, old, new in zip(self.work, self.shift, shift, strict=True)]
        self.shift = shift

    def reset(self) -> None:
        """Do what M2 and M30 do: no shift, G54, G17, G90, G94, G40, M5, G1, M9.

        Source: NISTIR 6556 3.6.1 (from memory). Length and return mode stay as they are.
        """
        self.use_shift(_NO_SHIFT)
        self.use_offset(54.0)
        self.plane, self.distance, self.feed_mode, self.motion = 170, 900, 94, 10
        self.compensation_side = self.radius_register = self.direction = 0
        self.entering = self.leaving = self.mist = self.flood = False
        self.cycle = None
        self.ended = True
