"""What a plan must keep to, judged by its replay; in words, so that a failing one can be told."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely
from shapely import Polygon

from polypocket.model.cutter import Cut
from polypocket.model.job import BlockJob, Section, flats_left
from polypocket.model.mill import Mill
from polypocket.program import Pass, Program
from tests.plan.replay import SLIVER, Bite, Replay, replay

__all__ = ["faults_of"]

#: What stands or is missing may be so thick, mm: circles of straight pieces, twice.
_SURFACE = 0.003
#: Area of such slivers in all, mm².
_SPECK = 1e-3
#: Widths and heights may exceed what is allowed by so much, mm: the same circles.
_SLACK = 0.003
#: Further than any stock, mm.
_FAR = 1e4


def faults_of(program: Program, job: BlockJob, mill: Mill) -> list[str]:
    """Return everything that is wrong with a plan."""
    passes = [item for item in program.setups[0].items if isinstance(item, Pass)]
    result = replay(program, job, mill)
    return [
        *_touches(result),
        *_left_and_gouged(result, job),
        *_bites(result, job),
        *_numbers(passes),
        *_levels(passes, job),
    ]


def _touches(result: Replay) -> Iterator[str]:
    for touch in result.touches:
        yield f"contact: {touch.move} from {touch.start} meets {touch.area:.4f} mm², at pass {touch.after_pass}"


def _left_and_gouged(result: Replay, job: BlockJob) -> Iterator[str]:
    nominal = Polygon(job.stock.outline().vertices)
    largest = Polygon(job.stock.largest_outline().vertices)
    for height, stands in result.slabs.items():
        must, may = nominal, largest
        for section in (section for section in job.sections if -section.depth <= height + 1e-9):
            must = must.intersection(Polygon(section.polygon().vertices()))
            may = may.intersection(_within_cut_flats(job, section))
        left = stands.difference(may.buffer(_SURFACE)).area
        if left > _SPECK:
            yield f"left: {left:.4f} mm² stand too far out down to {height}"
        gouged = must.difference(stands.buffer(_SURFACE)).area
        if gouged > _SPECK:
            yield f"gouge: {gouged:.4f} mm² of the part are gone down to {height}"


def _within_cut_flats(job: BlockJob, section: Section) -> Polygon:
    """Return a section without bounds where it has the stock's own faces."""
    polygon, left = section.polygon(), flats_left(job, section)
    area = shapely.box(-_FAR, -_FAR, _FAR, _FAR)
    for flat in range(1, section.sides + 1):
        if flat not in left:
            area = area.intersection(_half_plane(polygon.direction(flat), polygon.inradius))
    return area


def _half_plane(direction: float, distance: float) -> Polygon:
    c, s = math.cos(direction), math.sin(direction)
    corners = ((distance, -_FAR), (distance, _FAR), (-_FAR, _FAR), (-_FAR, -_FAR))
    return Polygon([(v * c - u * s, v * s + u * c) for v, u in corners])


def _bites(result: Replay, job: BlockJob) -> Iterator[str]:
    for bite in result.bites:
        direction = _cut(bite, job).direction
        side = "left" if direction == "conventional" else "right"
        where = f"pass {bite.owner.number} ({bite.owner.feature}, {bite.owner.role}), {bite.move}"
        if bite.owner.side != side:
            yield f"side: {where} names the {bite.owner.side}, and {direction} wants the {side}"
        if bite.astray > SLIVER:
            yield f"side: {where} cuts {bite.astray:.4f} mm on the wrong side of its path"
        if bite.width > _widest(bite, job) + _SLACK:
            yield f"width: {where} cuts {bite.width:.4f} mm wide, {_widest(bite, job):.4f} allowed"
        if bite.height > _highest(bite, job) + _SLACK:
            yield f"height: {where} cuts {bite.height:.4f} mm high, {_highest(bite, job):.4f} allowed"


def _widest(bite: Bite, job: BlockJob) -> float:
    """Return the stepover or, of a finishing cut, the allowance."""
    cut = _cut(bite, job)
    return cut.finish_allowance if bite.owner.role == "finish" else cut.stepover


def _cut(bite: Bite, job: BlockJob) -> Cut:
    """Return how the section's own cutter is to cut."""
    return job.cutter(_section_of(bite, job).cutter).cut


def _highest(bite: Bite, job: BlockJob) -> float:
    section = _section_of(bite, job)
    stepdown = _cut(bite, job).stepdown
    return section.depth if bite.owner.role == "finish" or stepdown is None else min(section.depth, stepdown)


def _section_of(bite: Bite, job: BlockJob) -> Section:
    return job.sections[int(bite.owner.feature.removeprefix("section ")) - 1]


def _numbers(passes: Sequence[Pass]) -> Iterator[str]:
    numbers = [item.number for item in passes]
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"numbers: {numbers}"


def _levels(passes: Sequence[Pass], job: BlockJob) -> Iterator[str]:
    """Check that each section goes down in steps, to its own depth and no further."""
    for number, section in enumerate(job.sections, start=1):
        feature = f"section {number}"
        levels = [item.level for item in passes if item.feature == feature and item.role == "rough"]
        down = list(dict.fromkeys(levels))
        if down != sorted(down, reverse=True):
            yield f"levels: {feature} goes up again: {down}"
        steps = [upper - lower for upper, lower in pairwise(down)]
        stepdown = job.cutter(section.cutter).cut.stepdown
        if stepdown is not None and any(step > stepdown + 1e-9 for step in steps):
            yield f"levels: {feature} has steps of {steps}"
        finished = [item.level for item in passes if item.feature == feature and item.role == "finish"]
        lowest = {round(level, 9) for level in (*down[-1:], *finished)}
        if lowest and lowest != {round(-section.depth, 9)}:
            yield f"levels: {feature} ends at {sorted(lowest)}, not at {-section.depth}"
