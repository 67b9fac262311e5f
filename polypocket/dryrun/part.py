"""The part that the job asks for, level by level: what must stay and what must go."""

from __future__ import annotations

import math
from typing import NamedTuple

from polypocket.model.job import BlockJob, flats_left
from polypocket.shape.outline import Outline

__all__ = ["Flat", "Level", "beyond", "levels_of"]


class Flat(NamedTuple):
    """One flat of a section.

    Attributes:
        section: the section's number as the job lists it, from 1.
        number: from 1 anticlockwise.
        direction: in which it faces, radians.
        distance: from the centre, mm.
        is_cut: false where the stock's own face stays.
    """

    section: int
    number: int
    direction: float
    distance: float
    is_cut: bool


class Level(NamedTuple):
    """What the finished part is between two heights.

    Attributes:
        low, high: mm from the stock's top, which is 0.
        section: number of the section that it belongs to, ``None`` for the stock below them all.
        flats: those of the section itself, none for the stock.
        finished: what must stay.
        allowed: what may stay: beyond flats that are the stock's own faces, whatever the stock has there.
    """

    low: float
    high: float
    section: int | None
    flats: tuple[Flat, ...]
    finished: Outline
    allowed: Outline

    @property
    def feature(self) -> str:
        """Its name in findings."""
        return "the stock" if self.section is None else f"section {self.section}"

    def flat_near(self, x: float, y: float) -> Flat | None:
        """Return the flat whose line is farthest inside of a point: the one that the point belongs to."""
        if not self.flats:
            return None
        return max(self.flats, key=lambda flat: beyond(flat, x, y))


def beyond(flat: Flat, x: float, y: float) -> float:
    """How far a point lies beyond a flat's line, mm; negative inside."""
    return x * math.cos(flat.direction) + y * math.sin(flat.direction) - flat.distance


def levels_of(job: BlockJob, turn: float = 0.0) -> tuple[Level, ...]:
    """Return the levels of a job's part from the top down, as it stands on the table, turned by ``turn`` radians.

    Sections stand inside one another: at any height the part is what all the sections that reach so deep
    have in common.
    """
    numbered = sorted(enumerate(job.sections, start=1), key=lambda item: item[1].depth)
    stock, largest = job.stock.outline().turned(turn), job.stock.largest_outline().turned(turn)
    levels: list[Level] = []
    high = 0.0
    for number, section in numbered:
        deep = [(n, s) for n, s in numbered if s.depth >= section.depth]
        flats = {n: _flats(job, n, turn) for n, _ in deep}
        finished, allowed = stock, largest
        for flat in (flat for each in flats.values() for flat in each):
            finished = finished.clip(flat.direction, flat.distance)
            if flat.is_cut:
                allowed = allowed.clip(flat.direction, flat.distance)
        if section.depth > -high:
            levels.append(Level(-section.depth, high, number, flats[number], finished, allowed))
        high = -section.depth
    if job.stock.thickness > -high:
        levels.append(Level(-job.stock.thickness, high, None, (), stock, largest))
    return tuple(levels)


def _flats(job: BlockJob, number: int, turn: float) -> tuple[Flat, ...]:
    section = job.sections[number - 1]
    polygon = section.polygon().turned(turn)
    left = flats_left(job, section)
    return tuple(
        Flat(number, flat, polygon.direction(flat), polygon.inradius, flat not in left)
        for flat in range(1, polygon.sides + 1)
    )
