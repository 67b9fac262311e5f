"""What the second interpreter makes of a program: its motions and states, or why it makes nothing of it.

Lengths mm, feeds mm/min, speeds in turns a minute.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

__all__ = ["CONTROLS", "Alarm", "Beyond", "Control", "Place", "Reading", "Step"]

Place = tuple[float | None, float | None, float | None]


class Alarm(Exception):
    """A control of this dialect stops here; ``kind`` says why."""

    def __init__(self, kind: str, line: int, why: str) -> None:
        super().__init__(f"line {line}: {why}")
        self.kind = kind
        self.line = line


class Beyond(Exception):
    """A control may go on, but what it does is not worked out here."""


@dataclass(frozen=True)
class Control:
    """How a control reads, as far as our two dialects differ."""

    inch: int
    millimetre: int
    numbered: bool = False
    point: bool = False
    percent_ends: bool = True


CONTROLS = {
    "rs274ngc": Control(inch=20, millimetre=21),
    "iso6983": Control(inch=70, millimetre=71, numbered=True, point=True, percent_ends=False),
}


class Step(NamedTuple):
    """One motion.

    ``kind`` is ``rapid``, ``feed``, ``clockwise`` or ``anticlockwise``; ``rpm`` is negative anticlockwise, 0 while the
    spindle stands and NaN where no speed was ever given; ``cutter`` is the number of the one that is in, 0 till known.
    """

    line: int
    kind: str
    start: Place
    end: Place
    centre: tuple[float, float] | None
    feed: float
    rpm: float
    cutter: int = 0


@dataclass
class Reading:
    """What a program does.

    Attributes:
        steps: its motions, those that go nowhere left out.
        speeds: every speed at which the spindle is turned, signed, and the number of the cutter that is in.
        cutters: number and diameter, mm, of every cutter that a comment asks for.
        changed: numbers of the cutters that the mill changes itself.
        offsets: work offsets in which it moves.
        unattended: lines where a person is asked for a cutter and the program goes on without a stop.
        hands: lines where the program stops for a person to change the cutter while the spindle turns.
        blends: it lets the control round off corners.
        spinning: it ends with the spindle turning.
    """

    steps: list[Step] = field(default_factory=list)
    speeds: list[tuple[float, int]] = field(default_factory=list)
    cutters: list[tuple[int, float]] = field(default_factory=list)
    changed: list[int] = field(default_factory=list)
    offsets: list[str] = field(default_factory=list)
    unattended: list[int] = field(default_factory=list)
    hands: list[int] = field(default_factory=list)
    blends: bool = False
    spinning: bool = False
