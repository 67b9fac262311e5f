"""What the second interpreter makes of a program: its motions and states, or why it makes nothing of it.

Lengths mm, feeds mm/min, speeds in turns a minute.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

__all__ = ["CONTROLS", "Alarm", "Beyond", "Control", "Dial", "Hands", "Place", "Reading", "Step"]

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


@dataclass(frozen=True)
class Hands:
    """What a person does on a mill: the axes (0 to 2) without a drive, and whether they start and stop the spindle."""

    axes: frozenset[int] = frozenset()
    spindle: bool = False


class Dial(NamedTuple):
    """What a comment tells of a dial, and the place, mm, that is asked for right before it; ``None`` where none is.

    ``divisions`` are negative towards minus.
    """

    line: int
    axis: int
    turns: int
    divisions: float
    asked: float | None


class Step(NamedTuple):
    """One motion; one that a person makes is a rapid, as it may not meet anything either.

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
        undone: lines where a person is asked for anything else and the program goes on without a stop.
        disputed: lines that ask for something else than another line does at the same stop.
        settings: lines, axes and places, mm, at which a person has to set an axis.
        dials: what comments tell of dials.
        swivel: at which setting of the swivel base the work stands, radians; ``None`` where nobody is told.
        turned_late: lines where the work is to be turned though the program has moved.
        turned_low: lines where it is turned though no height above the stock has been asked for.
        switched: lines that switch a spindle that only a person can switch.
        inch: its lengths are inches.
        hasty: lines that ask for something to be moved before the spindle is stopped.
        waits: where the spindle is started, or a stop finds it turning: how many steps come before, and the line.
        turning: lines of stops at which the control has the spindle turning; some stop it there.
        remarks: comments that ask for nothing.
        changes: lines in which a cutter is changed for another after the first motion, and the height of its tip, mm.
        hands: lines where a person changes the cutter, sets an axis or turns the work while the spindle turns.
        blends: it feeds while the control may round corners off.
        spinning: it ends with the spindle turning.
    """

    steps: list[Step] = field(default_factory=list)
    speeds: list[tuple[float, int]] = field(default_factory=list)
    cutters: list[tuple[int, float]] = field(default_factory=list)
    changed: list[int] = field(default_factory=list)
    offsets: list[str] = field(default_factory=list)
    unattended: list[int] = field(default_factory=list)
    undone: list[int] = field(default_factory=list)
    disputed: list[int] = field(default_factory=list)
    settings: list[tuple[int, int, float]] = field(default_factory=list)
    dials: list[Dial] = field(default_factory=list)
    swivel: float | None = None
    turned_late: list[int] = field(default_factory=list)
    turned_low: list[int] = field(default_factory=list)
    switched: list[int] = field(default_factory=list)
    inch: bool = False
    hasty: list[int] = field(default_factory=list)
    waits: list[tuple[int, int]] = field(default_factory=list)
    turning: list[int] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list, compare=False)
    hands: list[int] = field(default_factory=list)
    changes: list[tuple[int, float | None]] = field(default_factory=list)
    blends: bool = False
    spinning: bool = False
