"""A new job file from a few answers: commented, with a schema line, and with section heights of equal lands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from polypocket.model.fits import CLEAR_OF_JAWS
from polypocket.units import Units, in_units, shown

__all__ = ["SCHEMA_FILE", "NewJob", "NewSection", "equal_lands", "job_text"]

#: Where a new job looks for its schema: beside it.
SCHEMA_FILE = "polypocket-job.schema.json"

#: Shares of the cutter's diameter, the second at most the length that cuts. Common practice, no source.
_STEPOVER, _STEPDOWN = 0.15, 0.5
#: Left for finishing, mm: 0.2 mm or 0.008 in. Common practice, no source.
_ALLOWANCE = {"mm": 0.2, "inch": 0.008 * 25.4}
#: Floors are so far below each other or a multiple of it, mm: 0.5 mm or 0.02 in, which any height gauge shows.
_FLOOR_STEP = {"mm": 0.5, "inch": 0.02 * 25.4}
#: Shares of a step that are rounding.
_ROUNDING = 1e-9
#: What a new block's angle is held to from side to side.
_ANGLE = "0° 6'"


@dataclass(frozen=True, slots=True)
class NewSection:
    """One polygon: its sides, and twice the distance from the centre to a flat, mm."""

    sides: int
    across_flats: float


@dataclass(frozen=True, slots=True)
class NewJob:
    """The answers that a job cannot do without; lengths mm, feed mm/min.

    Attributes:
        name: what the part is called.
        units: of the file.
        stock: shape and its sizes by key, such as ``{"shape": "square", "width": 130.0}``.
        thickness: of the stock.
        material: a key of the materials.
        sections: in any order.
        held: how much of the thickness is in the jaws.
        cutter_diameter, flutes, flute_length, cutter_material: of the cutter.
        spindle_rpm, feed: of the cut.
    """

    name: str
    units: Units
    stock: dict[str, float | str]
    thickness: float
    material: str
    sections: tuple[NewSection, ...]
    held: float
    cutter_diameter: float
    flutes: int
    flute_length: float
    cutter_material: str
    spindle_rpm: float
    feed: float


def equal_lands(job: NewJob) -> tuple[float, ...]:
    """Return depths that give each section a wall of the same height, mm, as deep as jaws and flutes allow.

    The upper ones, for the smaller sections, come first; all are whole steps of 0.5 mm or 0.02 in.
    """
    step = _FLOOR_STEP[job.units]
    deepest = min(job.thickness - job.held - CLEAR_OF_JAWS, job.flute_length)
    land = max(1, int(deepest / len(job.sections) / step + _ROUNDING)) * step
    return tuple(land * (i + 1) for i in range(len(job.sections)))


def job_text(job: NewJob, depths: Sequence[float]) -> str:
    """Return the text of a job file; the smallest section gets the first of ``depths`` (mm), and so on."""

    def length(mm: float) -> str:
        return in_units(mm, job.units)

    def value(item: float | str) -> str:
        return (
            _quoted(item) if isinstance(item, str) else str(item) if isinstance(item, int) else length(item)
        )

    stepdown = min(_STEPDOWN * job.cutter_diameter, job.flute_length)
    stock = "\n".join(f"{key} = {value(item)}" for key, item in job.stock.items())
    by_size = sorted(job.sections, key=lambda section: section.across_flats)
    sections = "\n".join(
        f"""[[sections]]
sides = {section.sides}
across_flats = {length(section.across_flats)}    # twice the distance from the centre to a flat
depth = {length(depth)}    # of its floor below the stock's top
first_flat = 0.0    # which way flat 1 faces: degrees anticlockwise from +X
"""
        for section, depth in zip(by_size, depths, strict=True)
    )
    return f"""#:schema {SCHEMA_FILE}
# A length is a number in these units, or text such as "12 mm", "1/2 in", "40 thou".
kind = "block"
name = {_quoted(job.name)}
units = "{job.units}"

[stock]
{stock}
thickness = {length(job.thickness)}
oversize = 0.0    # the most by which sawn stock may exceed these sizes
material = {_quoted(job.material)}

{sections}
[cutter]
number = 1
diameter = {length(job.cutter_diameter)}
flutes = {job.flutes}
flute_length = {length(job.flute_length)}    # the length that cuts
stick_out = {length(job.flute_length + job.cutter_diameter)}    # from the holder's face: measure it
material = "{job.cutter_material}"
centre_cutting = true    # can it feed straight down?

[cut]
direction = "conventional"    # or "climb", for screws without backlash
stepover = {length(_STEPOVER * job.cutter_diameter)}    # radial, each pass; at most the cutter's radius
stepdown = {length(stepdown)}    # axial, each level
finish_allowance = {length(_ALLOWANCE[job.units])}    # left on the flats for one last pass
spindle_rpm = {job.spindle_rpm:g}
feed = {length(job.feed)}    # a minute

[clamping]
grip = "vise"    # or "plate": clamped down, no jaws; then leave out the next two lines
jaws_along = "x"
held = {length(job.held)}    # how much of the thickness is in the jaws

[tolerance]
angle = "{_ANGLE}"    # from side to side
"""


def _quoted(text: str) -> str:
    """Return a TOML string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    if not escaped.isprintable():
        raise ValueError(f"{shown(text)} has signs that cannot stand in a name")
    return f'"{escaped}"'
