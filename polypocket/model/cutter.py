"""The cutter and how it cuts."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from polypocket.model.base import Table
from polypocket.model.values import (
    Count,
    Flag,
    LengthNotNegative,
    PositiveLength,
    PositiveNumber,
    PositiveRate,
)

__all__ = ["Cut", "Cutter"]


class Cutter(Table):
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


class Cut(Table):
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
