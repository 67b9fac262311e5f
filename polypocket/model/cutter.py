"""The cutters and how each of them cuts."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from polypocket.model.base import SharedTable, Table
from polypocket.model.values import (
    Count,
    Flag,
    LengthNotNegative,
    PositiveLength,
    PositiveNumber,
    PositiveRate,
)

__all__ = ["Cut", "CutChanges", "Cutter", "EndMill", "WrittenCutter"]


class EndMill(Table):
    """An end mill; lengths mm."""

    number: Count = Field(description="its number in the program")
    diameter: PositiveLength = Field(description="diameter as it cuts")
    measured: PositiveLength | None = Field(
        None, description="diameter as it measures now, where the control is to make up for the difference"
    )
    flutes: Count = Field(description="number of cutting edges")
    flute_length: PositiveLength = Field(description="the length that cuts")
    stick_out: PositiveLength = Field(description="how far it stands out of the holder's face")
    holder_diameter: PositiveLength | None = Field(None, description="diameter of the holder's nose")
    material: Literal["carbide", "hss"] = Field(description='"carbide" or "hss"')
    centre_cutting: Flag = Field(description="true where it can feed straight down into material")


class Cut(SharedTable):
    """How the cutter is led; lengths mm, ``feed`` mm/min."""

    direction: Literal["conventional", "climb"] = Field(description='"conventional" or "climb"')
    stepover: PositiveLength = Field(description="radial depth of each pass; at most the cutter's radius")
    stepdown: PositiveLength | None = Field(
        None, description="axial depth of each level; a section's whole height if left out"
    )
    finish_allowance: LengthNotNegative = Field(
        0.0, description="left on the flats for one last pass at full depth; 0 for none"
    )
    spindle_rpm: PositiveNumber = Field(description="spindle speed, turns a minute")
    feed: PositiveRate = Field(description="feed while cutting, a minute")
    clearance: PositiveLength = Field(
        1.0,
        description="what the cutter keeps from the material beside it, between passes and where it comes down; 1 mm",
    )
    approach: Literal["outside", "above"] = Field(
        "outside",
        description='"outside": round the block between passes where that is quicker; "above": always over the top',
    )
    size_from_control: Flag = Field(
        False, description="true: the control leads the cutter beside the path by what its register holds"
    )


class CutChanges(Table):
    """What is different with one of several cutters; what is left out is as [cut] has it."""

    direction: Literal["conventional", "climb"] | None = Field(None, description="as in [cut]")
    stepover: PositiveLength | None = Field(None, description="as in [cut]")
    stepdown: PositiveLength | None = Field(None, description="as in [cut]")
    finish_allowance: LengthNotNegative | None = Field(None, description="as in [cut]")
    spindle_rpm: PositiveNumber | None = Field(None, description="as in [cut]")
    feed: PositiveRate | None = Field(None, description="as in [cut]")
    size_from_control: Flag | None = Field(None, description="as in [cut]")
    clearance: PositiveLength | None = Field(None, description="as in [cut]")
    approach: Literal["outside", "above"] | None = Field(None, description="as in [cut]")


class WrittenCutter(EndMill):
    """One of several cutters as it stands in a file."""

    cut: CutChanges = Field(CutChanges(), description="what is different with this cutter from [cut]")

    def resolved(self, cut: Cut, place: str) -> Cutter:
        """Return the cutter with how it cuts, given what [cut] has, and where it stands in the file."""
        changes = self.cut.model_dump(exclude_none=True)
        return _at_work(self, cut.model_copy(update=changes), place, frozenset(changes))


class Cutter(EndMill):
    """An end mill and how it cuts.

    Attributes:
        cut: how it is led.
        place: where it stands in the file, as mistakes name it.
        own: the keys of ``cut`` that it has for itself.
    """

    cut: Cut
    place: str = "cutter"
    own: frozenset[str] = frozenset()

    @classmethod
    def only(cls, mill: EndMill, cut: Cut) -> Cutter:
        """Return the only cutter of a job."""
        return _at_work(mill, cut, "cutter", frozenset())

    def cutting(self, **changes: object) -> Cutter:
        """Return the same cutter led otherwise: with some keys of ``cut`` changed."""
        return self.model_copy(update={"cut": self.cut.model_copy(update=changes)})

    def place_of(self, key: str) -> str:
        """Return where a key of ``cut`` stands in the file."""
        return f"{self.place}.cut.{key}" if key in self.own else f"cut.{key}"

    @property
    def radius(self) -> float:
        """Half the diameter as it cuts now, mm."""
        return (self.measured or self.diameter) / 2.0

    @property
    def path_radius(self) -> float:
        """Half the diameter for which the path is written, mm."""
        return self.diameter / 2.0

    @property
    def size_difference(self) -> float:
        """What the control's register must hold along such a path, mm: the radius as it cuts less the path's."""
        return self.radius - self.path_radius


def _at_work(mill: EndMill, cut: Cut, place: str, own: frozenset[str]) -> Cutter:
    fields = {name: getattr(mill, name) for name in EndMill.model_fields}
    return Cutter(**fields, cut=cut, place=place, own=own)
