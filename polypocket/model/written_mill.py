"""The mill as it stands in a file, and what is taken where the file says nothing."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import Field, ValidationInfo, field_validator

from polypocket.model.arrays import PositiveNumbers, Range, SpeedRange, Triple
from polypocket.model.base import Table
from polypocket.model.mill import (
    BY_HAND,
    Axes,
    Axis,
    CoolantSupply,
    CutterRegisters,
    Mill,
    SpindleDrive,
    ToolChange,
    Vise,
)
from polypocket.model.surroundings import Column, KeepOut, TableTop
from polypocket.model.values import (
    Acceleration,
    Count,
    Flag,
    LengthNotNegative,
    OffsetName,
    PositiveLength,
    PositiveNumber,
    PositivePower,
    PositiveRate,
    ReferenceName,
    Text,
)
from polypocket.model.words import Words
from polypocket.units import Units, shown

__all__ = ["WrittenMill"]

#: Taken where a file gives no acceleration, mm/s²: slow for any driven axis. Common practice, no source.
ACCELERATION: Final = 250.0

#: Taken where a file gives no backlash of X or Y, mm: so much that corners are not rolled on arcs, which is
#: the cautious side. Common practice, no source.
BACKLASH: Final = 0.05

#: The same for Z, where the weight of knee or head keeps the screw on one flank. Common practice, no source.
BACKLASH_Z: Final = 0.0

#: Smallest step of a readout where a file gives none, mm: 0.005 mm or 0.0005 in. Common practice, no source.
READOUT: Final = {"mm": 0.005, "inch": 0.0127}


#: Smaller lengths are rounding, mm.
_ROUNDING: Final = 1e-6


class WrittenAxis(Table):
    """One axis as it stands in a file."""

    travel: Range = Field(description="lowest and highest position, machine coordinates")
    rapid: PositiveRate = Field(description="rapid rate, a minute")
    acceleration: Acceleration | None = Field(
        None, description="a second, a second; 250 mm/s² if left out, and said to be assumed"
    )
    backlash: LengthNotNegative | None = Field(
        None, description="play of the screw; 0.05 mm on X and Y if left out, 0 on Z"
    )
    driven: Flag = Field(description="false: a person turns the handwheel")
    power_feed: Flag = Field(False, description="whether it has a power feed for work by hand")
    dial_turn: PositiveLength | None = Field(
        None, description="how far one turn of the handwheel goes; left out where a readout is read"
    )
    dial_divisions: Count | None = Field(
        None, description="divisions of the handwheel's dial", validate_default=True
    )

    @field_validator("dial_divisions")
    @classmethod
    def _both_or_neither(cls, value: int | None, info: ValidationInfo) -> int | None:
        """Refuse one without the other."""
        if "dial_turn" not in info.data:  # it is wrong, which is told already
            return value
        if (value is None) != (info.data["dial_turn"] is None):
            raise ValueError(
                "a dial has both dial_turn and dial_divisions; give both, or neither for a readout"
            )
        return value

    def resolved(self, backlash: float) -> Axis:
        """Return what the table means, with the play to be taken where it gives none, mm."""
        return Axis(
            low=self.travel[0],
            high=self.travel[1],
            rapid=self.rapid,
            acceleration=ACCELERATION if self.acceleration is None else self.acceleration,
            acceleration_assumed=self.acceleration is None,
            backlash=backlash if self.backlash is None else self.backlash,
            driven=self.driven,
            power_feed=self.power_feed,
            dial_turn=self.dial_turn,
            dial_divisions=self.dial_divisions,
        )


class WrittenAxes(Table):
    """The axes as they stand in a file."""

    x: WrittenAxis = Field(description="the axis left and right")
    y: WrittenAxis = Field(description="the axis in and out")
    z: WrittenAxis = Field(description="the axis up and down")


class WrittenSpindle(Table):
    """The spindle as it stands in a file: a range of speeds, or a list of them."""

    speeds: PositiveNumbers | None = Field(None, description="the speeds of a pulley head, turns a minute")
    rpm: SpeedRange | None = Field(
        None,
        description="lowest and highest speed of an adjustable head, turns a minute",
        validate_default=True,
    )
    power: PositivePower | None = Field(None, description='watts, or text such as "2 hp" or "1.5 kW"')
    controlled: Flag = Field(description="false: a person starts it")

    @field_validator("rpm")
    @classmethod
    def _one_way(cls, value: tuple[float, float] | None, info: ValidationInfo) -> tuple[float, float] | None:
        """Refuse a spindle without speeds, and one with both kinds."""
        if "speeds" not in info.data:  # it is wrong, which is told already
            return value
        if value is None and info.data["speeds"] is None:
            raise ValueError("required; lowest and highest speed; or else speeds, a list for a pulley head")
        if value is not None and info.data["speeds"] is not None:
            raise ValueError("give rpm for an adjustable head or speeds for a pulley head, not both")
        return value

    def resolved(self) -> SpindleDrive:
        """Return what the table means."""
        speeds = self.speeds if self.rpm is None else self.rpm
        assert speeds is not None  # _one_way
        return SpindleDrive(
            rpm_low=speeds[0],
            rpm_high=speeds[-1],
            speeds=self.speeds,
            power=self.power,
            controlled=self.controlled,
        )


class WrittenMill(Table):
    """A mill as it stands in a file."""

    name: Text = Field(description="what the mill is called")
    units: Units = Field(description='"mm" or "inch": the units of all plain numbers in the file')
    post: Text = Field(description="the dialect of its control")
    rapid_path: Literal["independent", "straight"] = Field(
        "independent",
        description='"straight" where a rapid is a straight line, "independent" where it need not be',
    )
    homed: Flag = Field(description="false: it has no home switches")
    feed_max: PositiveRate = Field(description="fastest feed, a minute")
    work_offset: OffsetName = Field(description="the work offset to use, such as G54")
    length_offset: Flag = Field(
        False,
        description="true where the control keeps the cutter's length, false where Z is touched off with it",
    )
    axes: WrittenAxes = Field(description="the three axes")
    spindle: WrittenSpindle = Field(description="the spindle")
    coolant: CoolantSupply = Field(CoolantSupply(), description="the coolant")
    tool_change: ToolChange = Field(ToolChange(), description="how the cutter is changed")
    vise: Vise | None = Field(None, description="the vise, if there is one")
    work_offsets: dict[OffsetName, Triple] = Field(
        {}, description="machine positions X, Y, Z of the work zeros that are set"
    )
    cutter_registers: CutterRegisters = Field(
        CutterRegisters(radius={}),
        description="what the control's registers for cutter radius compensation (D) hold",
    )
    reference_points: dict[ReferenceName, Triple] = Field(
        {}, description="machine positions X, Y, Z to which G28 and G30 go"
    )

    program_memory: PositiveNumber | None = Field(
        None, description="bytes that the control's memory takes; longer programs are written in parts"
    )
    words: Words | None = Field(
        None, description="how words are coded; only for the dialect rs274d", validate_default=True
    )
    table: TableTop | None = Field(None, description="the table's surface; not judged if left out")
    column: Column | None = Field(None, description="the column; not judged if left out")
    keep_out: tuple[KeepOut, ...] = Field(
        (), description="boxes that neither cutter nor holder may enter, each with a name of its own"
    )

    readout: PositiveLength | None = Field(
        None,
        description="smallest step of the readout, for work by hand; 0.005 mm or 0.0005 in if left out",
    )

    @field_validator("axes")
    @classmethod
    def _driven_by_the_control(cls, value: WrittenAxes, info: ValidationInfo) -> WrittenAxes:
        """Refuse a control that moves neither X nor Y, since there is nothing that it could cut."""
        if info.data.get("post") not in (None, BY_HAND) and not (value.x.driven or value.y.driven):
            raise ValueError(
                'the control drives neither X nor Y; a mill that is worked by hand has post = "handwheel"'
            )
        return value

    @field_validator("words", mode="before")
    @classmethod
    def _where_open(cls, value: object, info: ValidationInfo) -> object:
        """Refuse the table where nothing looks at it, and its absence where nothing is guessed."""
        post = info.data.get("post")
        if post == "rs274d" and value is None:
            raise ValueError(
                "required for the dialect rs274d, which guesses nothing; see the control's manual"
            )
        if post not in (None, "rs274d") and value is not None:
            raise ValueError("only the dialect rs274d has this table; leave it out")
        return value

    @field_validator("tool_change")
    @classmethod
    def _with_drives(cls, value: ToolChange, info: ValidationInfo) -> ToolChange:
        """Refuse a changer on a mill that can neither raise the cutter nor stop it by itself."""
        axes, spindle = info.data.get("axes"), info.data.get("spindle")
        by_hand = (axes is not None and not axes.z.driven) or (spindle is not None and not spindle.controlled)
        if value.automatic and by_hand:
            raise ValueError(
                "a changer wants a driven Z and a spindle that the control stops; write automatic = false"
            )
        return value

    @field_validator("tool_change")
    @classmethod
    def _within_reach(cls, value: ToolChange, info: ValidationInfo) -> ToolChange:
        """Refuse a place of the cutter change that the axes do not reach."""
        axes = info.data.get("axes")
        if value.at is None or axes is None or not info.data.get("homed"):
            return value
        for name, at, axis in zip("XYZ", value.at, (axes.x, axes.y, axes.z), strict=True):
            low, high = axis.travel
            if not low - _ROUNDING <= at <= high + _ROUNDING:
                raise ValueError(
                    f"at: {name} is outside of the axis' travel, where the cutter cannot be changed"
                )
        return value

    @field_validator("keep_out")
    @classmethod
    def _names_of_their_own(cls, value: tuple[KeepOut, ...]) -> tuple[KeepOut, ...]:
        """Refuse two of one name, since a finding could not say which it means."""
        names = [keep_out.name for keep_out in value]
        for name in names:
            if names.count(name) > 1:
                raise ValueError(f"{shown(name)} stands there more than once; give each a name of its own")
        return value

    def resolved(self) -> Mill:
        """Return what the file means."""
        x, y, z = self.axes.x, self.axes.y, self.axes.z
        return Mill(
            name=self.name,
            units=self.units,
            post=self.post,
            rapid_path=self.rapid_path,
            homed=self.homed,
            feed_max=self.feed_max,
            work_offset=self.work_offset,
            length_offset=self.length_offset,
            axes=Axes(x=x.resolved(BACKLASH), y=y.resolved(BACKLASH), z=z.resolved(BACKLASH_Z)),
            spindle=self.spindle.resolved(),
            coolant=self.coolant,
            tool_change=self.tool_change,
            vise=self.vise,
            work_offsets=self.work_offsets,
            cutter_registers=self.cutter_registers,
            reference_points=self.reference_points,
            program_memory=self.program_memory,
            words=self.words,
            table=self.table,
            column=self.column,
            keep_out=self.keep_out,
            readout=READOUT[self.units] if self.readout is None else self.readout,
        )
