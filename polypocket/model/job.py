"""The job: the part, how it is held and how it is cut, never the machine."""

from __future__ import annotations

import math
from typing import Final, Literal

from pydantic import Field

from polypocket.errors import Mistake, MistakesError
from polypocket.model.base import Table
from polypocket.model.clamping import Clamping, WrittenClamping
from polypocket.model.cutter import Cut, Cutter
from polypocket.model.section import Section, WrittenSection
from polypocket.model.stock import Stock
from polypocket.model.tolerance import Tolerance
from polypocket.model.values import Text
from polypocket.units import Units

__all__ = [
    "BlockJob",
    "Clamping",
    "Cut",
    "Cutter",
    "Section",
    "Stock",
    "Tolerance",
    "WrittenBlockJob",
    "flats_left",
]

#: A face nearer than this to a flat is the same, mm: far above rounding, far below any control's resolution.
_SAME_FACE: Final = 1e-6
#: The same for directions, radians: 1e-6 mm over 1 m.
_SAME_DIRECTION: Final = 1e-9


class _Job(Table):
    """What a job is called and what it is in."""

    kind: Literal["block"] = Field(description='"block"')
    name: Text = Field(description="what the part is called")
    units: Units = Field(description='"mm" or "inch": the units of all plain numbers in the file')
    stock: Stock = Field(description="what the block is cut from")
    cutter: Cutter = Field(description="the cutter")
    cut: Cut = Field(description="how it cuts")
    tolerance: Tolerance = Field(description="how exact the part has to be")


class BlockJob(_Job):
    """A block with stacked regular polygons; the sections are in the file's order.

    Lengths mm, angles radians, feeds mm/min. X0 Y0 is the block's centre, Z0 the stock's top. ``units`` are
    those in which to speak and to write.
    """

    sections: tuple[Section, ...] = Field(min_length=1)
    clamping: Clamping


class WrittenBlockJob(_Job):
    """A job as it stands in a file."""

    sections: tuple[WrittenSection, ...] = Field(
        min_length=1,
        description="the polygons in any order; each reaches from the top face down to its depth, "
        "a shallower one stands inside a deeper one",
    )
    clamping: WrittenClamping = Field(description="how the stock is held")

    def resolved(self) -> BlockJob:
        """Return what the file means.

        Raises:
            MistakesError: a section's size is to be that of a stock without flats.
        """
        sections: list[Section] = []
        mistakes: list[Mistake] = []
        for index, section in enumerate(self.sections):
            try:
                sections.append(section.resolved(self.stock))
            except ValueError as error:
                mistakes.append(Mistake(f"sections[{index}].across_flats", str(error)))
        if mistakes:
            raise MistakesError(self.name, mistakes)
        return BlockJob(
            kind=self.kind,
            name=self.name,
            units=self.units,
            stock=self.stock,
            sections=tuple(sections),
            cutter=self.cutter,
            cut=self.cut,
            clamping=self.clamping.resolved(),
            tolerance=self.tolerance,
        )


def flats_left(job: BlockJob, section: Section) -> frozenset[int]:
    """Return the numbers (from 1) of the section's flats that are the stock's own faces and are not cut.

    Only a section whose size is taken from the stock has such flats.
    """
    if not section.from_stock:
        return frozenset()
    polygon = section.polygon()
    return frozenset(
        flat
        for flat in range(1, section.sides + 1)
        for direction, distance in job.stock.faces()
        if abs(distance - polygon.inradius) < _SAME_FACE
        and abs(math.remainder(direction - polygon.direction(flat), math.tau)) < _SAME_DIRECTION
    )
