"""The job: the part, how it is held and how it is cut, never the machine."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal

from pydantic import Field, ValidationInfo, field_validator

from polypocket.errors import Mistake, MistakesError
from polypocket.model.base import Table
from polypocket.model.clamping import Clamping, WrittenClamping
from polypocket.model.cutter import Cut, Cutter, EndMill, WrittenCutter
from polypocket.model.section import Section, WrittenSection
from polypocket.model.stock import Stock
from polypocket.model.tolerance import Tolerance
from polypocket.model.values import Text
from polypocket.units import Units

__all__ = [
    "NOTHING_LEFT",
    "BlockJob",
    "Clamping",
    "Cut",
    "Cutter",
    "Section",
    "Stock",
    "Tolerance",
    "WrittenBlockJob",
    "flats_left",
    "has_material",
]

#: Material thinner than this is none, mm: a tenth of the finest resolution a program is written with.
NOTHING_LEFT: Final = 1e-4

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
    tolerance: Tolerance = Field(description="how exact the part has to be")


class BlockJob(_Job):
    """A block with stacked regular polygons; the sections are in the file's order.

    Lengths mm, angles radians, feeds mm/min. X0 Y0 is the block's centre, Z0 the stock's top. ``units`` are
    those in which to speak and to write.
    """

    sections: tuple[Section, ...] = Field(min_length=1)
    cutters: tuple[Cutter, ...] = Field(min_length=1)
    clamping: Clamping

    def cutter(self, number: int) -> Cutter:
        """Return the cutter of a number; the first one where there is none of that number."""
        for cutter in self.cutters:
            if cutter.number == number:
                return cutter
        return self.cutters[0]

    @property
    def only_cutter(self) -> Cutter:
        """The cutter, where nothing but one is provided for.

        Raises:
            ValueError: there are several, which was to be found out before.
        """
        (cutter,) = self.cutters
        return cutter

    def longer_by(self, cutter: Cutter) -> float:
        """Return by how much a cutter stands out of the spindle further than the job's first one, mm."""
        return cutter.stick_out - self.cutters[0].stick_out


class WrittenBlockJob(_Job):
    """A job as it stands in a file."""

    sections: tuple[WrittenSection, ...] = Field(
        min_length=1,
        description="the polygons in any order; each reaches from the top face down to its depth, "
        "a shallower one stands inside a deeper one",
    )
    cutter: EndMill | None = Field(None, description="the cutter, if there is one only")
    cutters: tuple[WrittenCutter, ...] | None = Field(
        None,
        min_length=1,
        description="the cutters, if there are several; each section names the number of its own",
        validate_default=True,
    )
    cut: Cut = Field(description="how the cutters cut")
    clamping: WrittenClamping = Field(description="how the stock is held")

    @field_validator("cutters")
    @classmethod
    def _one_way(
        cls, value: tuple[WrittenCutter, ...] | None, info: ValidationInfo
    ) -> tuple[WrittenCutter, ...] | None:
        """Refuse a job without a cutter, with both kinds of tables, and with two cutters of one number."""
        if "cutter" not in info.data:  # it is wrong, which is told already
            return value
        if value is None and info.data["cutter"] is None:
            raise ValueError(
                "required; write [cutter] and its keys below, or a [[cutters]] for each of several"
            )
        if value is not None and info.data["cutter"] is not None:
            raise ValueError("write [cutter] for one cutter or [[cutters]] for each of several, not both")
        numbers = [cutter.number for cutter in value or ()]
        for number in numbers:
            if numbers.count(number) > 1:
                raise ValueError(
                    f"number {number} stands there more than once; give each a number of its own"
                )
        return value

    def resolved(self) -> BlockJob:
        """Return what the file means.

        Raises:
            MistakesError: a section's size is to be that of a stock without flats, or its cutter is not there.
        """
        cutters = self._cutters()
        sections: list[Section] = []
        mistakes: list[Mistake] = []
        for index, section in enumerate(self.sections):
            try:
                number = _number_of(section, cutters)
            except ValueError as error:
                mistakes.append(Mistake(f"sections[{index}].cutter", str(error)))
                number = cutters[0].number
            try:
                sections.append(section.resolved(self.stock, number))
            except ValueError as error:
                mistakes.append(Mistake(f"sections[{index}].across_flats", str(error)))
        if not mistakes:
            used = {section.cutter for section in sections}
            mistakes = [
                Mistake(cutter.place, f"no section names cutter {cutter.number}; name it, or leave it out")
                for cutter in cutters
                if cutter.number not in used
            ]
        if mistakes:
            raise MistakesError(self.name, mistakes)
        return BlockJob(
            kind=self.kind,
            name=self.name,
            units=self.units,
            stock=self.stock,
            sections=tuple(sections),
            cutters=cutters,
            clamping=self.clamping.resolved(),
            tolerance=self.tolerance,
        )

    def _cutters(self) -> tuple[Cutter, ...]:
        if self.cutter is not None:
            return (Cutter.only(self.cutter, self.cut),)
        return tuple(
            cutter.resolved(self.cut, f"cutters[{index}]") for index, cutter in enumerate(self.cutters or ())
        )


def _number_of(section: WrittenSection, cutters: Sequence[Cutter]) -> int:
    """Return the number of the cutter that cuts a section.

    Raises:
        ValueError: it is not told, or there is no such cutter.
    """
    numbers = [cutter.number for cutter in cutters]
    known = " or ".join(map(str, numbers))
    if section.cutter is None:
        if len(numbers) > 1:
            raise ValueError(f"required where there are several cutters; write {known}")
        return numbers[0]
    if section.cutter not in numbers:
        raise ValueError(f"there is no cutter {section.cutter}; write {known}")
    return section.cutter


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


def has_material(job: BlockJob, section: Section, flat: int) -> bool:
    """Whether stock stands beyond a flat (numbered from 1); where it ends at the flat there is nothing to cut."""
    polygon = section.polygon()
    return job.stock.largest_outline().support(polygon.direction(flat)) - polygon.inradius > NOTHING_LEFT
