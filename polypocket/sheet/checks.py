"""What to measure with micrometer and square before the part comes out of the vise, each with room for a reading."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from polypocket.dryrun.part import levels_of
from polypocket.model.job import BlockJob, Section
from polypocket.sheet.sizes import angle_text, deviation_text, size_text

__all__ = ["Check", "checks_of"]

#: A wall lower than this has no room for a micrometer's anvils, which are 6.5 mm to 8 mm across; common practice, no
#: source.
_ANVIL = 8.0
#: A ledge narrower than this has no room for the rod of a depth micrometer, which is about 4 mm thick; likewise.
_ROD = 4.0


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to measure.

    Attributes:
        what: where, and from what to what.
        how: with which tool.
        size: the number wanted, with its permissible deviation.
        readings: how many, one a pair of flats or corner; each gets a field of its own.
    """

    what: str
    how: str
    size: str
    readings: tuple[str, ...]


def checks_of(job: BlockJob) -> tuple[Check, ...]:
    """Return the checks of a block, section by section from the top down.

    On odd counts nothing is opposite a flat but a corner, so that the micrometer goes from flat to corner, before the
    burr that stands on the corner is more than wiped off. Its limits are those of the size itself, although the corner
    moves more than the flats do: no part is passed that is out.
    """
    return tuple(check for check in _all(job))


def _all(job: BlockJob) -> Iterator[Check]:
    deviation = deviation_text(size_text(job.tolerance.size, job.units), job.units)
    levels = [level for level in levels_of(job) if level.section is not None]
    for index, level in enumerate(levels):
        number = level.section or 0
        section = job.sections[number - 1]
        yield _across(job, number, section, level.high - level.low, deviation)
        below = levels[index + 1].finished if index + 1 < len(levels) else job.stock.outline()
        ledge = below.support(section.first_flat) - section.polygon().inradius
        rod = "depth micrometer" if ledge >= _ROD else "height gauge, or depth gauge with a thin rod"
        yield Check(
            f"Section {number}: depth below the top face",
            f"{rod}, at four places",
            f"{size_text(section.depth, job.units)} {deviation}",
            ("front", "right", "back", "left"),
        )
        step = section.polygon().step
        yield Check(
            f"Section {number}: neighbouring flats",
            "bevel protractor; walls by a square on the floor",
            f"{angle_text(math.pi - step)} {deviation_text(angle_text(job.tolerance.angle))}",
            ("least", "most", "square"),
        )


def _across(job: BlockJob, number: int, section: Section, height: float, deviation: str) -> Check:
    polygon = section.polygon()
    sides = section.sides
    tool = "micrometer" if height >= _ANVIL else "caliper, or micrometer with thin anvils"
    if sides % 2 == 0:
        half = sides // 2
        return Check(
            f"Section {number}: across flats",
            tool,
            f"{size_text(polygon.across_flats, job.units)} {deviation}",
            tuple(f"{flat}–{flat + half}" for flat in range(1, half + 1)),
        )
    opposite = sides // 2
    return Check(
        f"Section {number}: flat to opposite corner",
        f"{tool}; burr off, corner not yet broken",
        f"{size_text(polygon.flat_to_corner, job.units)} {deviation}",
        tuple(
            f"{flat}–{(flat + opposite - 1) % sides + 1}/{(flat + opposite) % sides + 1}"
            for flat in range(1, sides + 1)
        ),
    )
