"""The mill: what its makers and its shop gave it, and where its zero is. What the file means, in mm."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from polypocket.model.arrays import PositiveNumbers, PositiveTriple, Triple
from polypocket.model.base import SharedTable, Table
from polypocket.model.surroundings import Column, KeepOut, TableTop
from polypocket.model.values import (
    Acceleration,
    Count,
    Flag,
    LengthNotNegative,
    OffsetName,
    PositiveAngle,
    PositiveLength,
    PositiveNumber,
    PositivePower,
    PositiveRate,
    ReferenceName,
    RegisterNumber,
    SignedLength,
    Text,
)
from polypocket.model.words import Words
from polypocket.units import Units

__all__ = [
    "BY_HAND",
    "Axes",
    "Axis",
    "CoolantSupply",
    "CutterRegisters",
    "Mill",
    "SpindleDrive",
    "ToolChange",
    "Vise",
]

#: What the post of a mill without a control is called.
BY_HAND = "handwheel"


class Axis(Table):
    """One axis: travel from ``low`` to ``high`` in machine coordinates.

    Lengths mm, ``rapid`` mm/min, ``acceleration`` mm/s²; ``acceleration_assumed``: the file gives none and a
    cautious value stands in. ``dial_turn`` is how far one turn of the handwheel goes, in ``dial_divisions``; both are
    ``None`` on an axis that is read on a readout.
    """

    low: SignedLength
    high: SignedLength
    rapid: PositiveRate
    acceleration: Acceleration
    acceleration_assumed: Flag
    backlash: LengthNotNegative
    driven: Flag
    power_feed: Flag = False
    dial_turn: PositiveLength | None = None
    dial_divisions: Count | None = None

    def step(self, readout: float) -> float:
        """Return the smallest step that a person can set, mm: a division of the dial, or the readout's step."""
        if self.dial_turn is None or self.dial_divisions is None:
            return readout
        return self.dial_turn / self.dial_divisions


class Axes(Table):
    """The three axes; the cutter's motion over the work is meant, whichever part of the mill moves."""

    x: Axis
    y: Axis
    z: Axis


class SpindleDrive(Table):
    """The spindle: any speed between two, turns a minute, or those of ``speeds`` only; ``power`` in watts."""

    rpm_low: PositiveNumber
    rpm_high: PositiveNumber
    speeds: PositiveNumbers | None = None
    power: PositivePower | None = None
    controlled: Flag

    def has(self, rpm: float) -> bool:
        """Whether the spindle can turn at ``rpm``."""
        if self.speeds is not None:
            return any(math.isclose(rpm, speed) for speed in self.speeds)
        return self.rpm_low <= rpm <= self.rpm_high


class CoolantSupply(Table):
    """Whether the control switches the coolant."""

    controlled: Flag = Field(False, description="false: a person opens the tap")


class ToolChange(Table):
    """How the cutter is changed, and where (machine coordinates, mm)."""

    automatic: Flag = Field(False, description="false: a person changes the cutter")
    at: Triple | None = Field(None, description="where it is changed, X, Y, Z in machine coordinates")


class CutterRegisters(Table):
    """What the control's registers for cutter radius compensation hold, by number (D), mm.

    Along a path that is the part's contour a register holds the cutter's radius. Along a path that carries the
    cutter's nominal radius already it holds the true radius less the nominal one: 0 for a cutter as the
    program wants it, negative for one that was reground and is smaller. A positive radius puts the cutter's
    centre to the left of the path with G41 and to the right with G42, a negative one to the other side.
    """

    radius: dict[RegisterNumber, SignedLength] = Field(
        description="radius in each register by its number (D), as a length; negative allowed"
    )


class Vise(SharedTable):
    """The vise; lengths mm.

    ``body`` is its size along X, Y, Z with the handle, where the swivel base is at 0 and the jaws run along X; for
    jaws along Y it is turned by a quarter. It is taken to stand centred under the jaws. ``swivel_base``: it stands on
    a base that turns it about its middle; ``swivel_graduation`` is one line of the base's scale, radians, ``None``
    where nobody says.
    """

    opening: PositiveLength = Field(description="how far the jaws open")
    jaw_width: PositiveLength = Field(description="length of the jaws")
    jaw_height: PositiveLength = Field(description="height of the jaws above what the work lies on")
    body: PositiveTriple = Field(
        description="its size along X, Y, Z with the handle, the swivel base at 0 and the jaws along X"
    )
    swivel_base: Flag = Field(True, description="false: it does not turn")
    swivel_graduation: PositiveAngle | None = Field(
        None, description="one line of the swivel base's scale, degrees; settings must then be whole ones"
    )
    swivel_height: LengthNotNegative = Field(
        0.0, description="how much of the body's height is the swivel base's; 0 where nobody has measured it"
    )


class Mill(Table):
    """A mill. Lengths mm, feeds mm/min.

    ``work_offsets`` holds the machine positions of the work zeros that are set: where the machine stands when
    the tip of the job's first cutter is on the zero. ``program_memory``: bytes that one
    program may have. ``keep_out``, ``table`` and ``column`` are judged only where they are given.
    ``reference_points`` holds the machine positions to which G28 and G30 go. ``cutter_registers`` has the registers
    that somebody set; what another holds is not known. ``readout``: its smallest step, for work by hand.
    """

    name: Text
    units: Units
    post: Text
    rapid_path: Literal["independent", "straight"]
    homed: Flag
    feed_max: PositiveRate
    work_offset: OffsetName
    length_offset: Flag
    axes: Axes
    spindle: SpindleDrive
    coolant: CoolantSupply = CoolantSupply()
    tool_change: ToolChange = ToolChange()
    vise: Vise | None = None
    work_offsets: dict[OffsetName, Triple] = Field(default_factory=dict)
    program_memory: PositiveNumber | None = None
    words: Words | None = None
    table: TableTop | None = None
    column: Column | None = None
    keep_out: tuple[KeepOut, ...] = ()
    reference_points: dict[ReferenceName, Triple] = Field(default_factory=dict)
    cutter_registers: CutterRegisters = CutterRegisters(radius={})
    readout: PositiveLength = 0.005

    @property
    def axis_by_hand(self) -> int | None:
        """Which of X (0) and Y (1) a person moves where a control drives the other; ``None`` where it drives both.

        ``None`` too on a mill without a control, where all is moved by hand.
        """
        driven = (self.axes.x.driven, self.axes.y.driven)
        is_mixed = any(driven) and not all(driven) and not self.is_worked_by_hand
        return driven.index(False) if is_mixed else None

    @property
    def is_worked_by_hand(self) -> bool:
        """Whether a person moves the table, and there is no control."""
        return self.post == BY_HAND
