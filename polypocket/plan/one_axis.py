"""Strokes for a control that drives only one of X and Y: straight along that axis, the other set by a person.

A setting of the swivel base brings some flats parallel to the driven axis; these are cut, the others wait for another
setting. Height by height from the top down, strips of flats that face opposite ways take turns: a stroke of one ends
where a stroke of the other begins. Positions on the other axis are whole steps of its readout or dial, counted from the
work zero, and alike at every height::

        stock ─────────────────────────────────
                        first strip
                        …             whole steps apart
        the flat ──────────────────────────────  cutter's axis at the step nearest to flat + radius
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain, zip_longest
from typing import Literal, NamedTuple

from polypocket.model.job import NOTHING_LEFT, BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.cuts import Cut, beginning, cut_along
from polypocket.plan.flat_by_hand import passes_to
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.plan.swivelling import facing_of
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = ["parallel_flats", "strokes_along"]

_QUARTER = math.pi / 2.0

#: Numbers of flats by the number of their section.
Flats = Mapping[int, frozenset[int]]


class _Strip(NamedTuple):
    """One stroke to be made: the flat it is for, its role, its number among the flat's, and how far out it goes."""

    section: int
    flat: int
    role: Literal["rough", "finish"]
    number: int
    line: Line


def parallel_flats(job: BlockJob, mill: Mill, swivel: float) -> frozenset[tuple[int, int]]:
    """Return the flats, by section and number, that a setting brings parallel to the axis that is driven."""
    return frozenset(
        (number, flat)
        for number, section in enumerate(job.sections, start=1)
        for flat in _facing(job, mill, swivel, number, range(1, section.sides + 1))
    )


def strokes_along(
    job: BlockJob, mill: Mill, swivel: float, wanted: Flats, standing: Callable[[float], Outline]
) -> tuple[Stroke, ...]:
    """Return the strokes that cut the ``wanted`` flats, all of them parallel to the driven axis.

    Args:
        job: a job with one cutter.
        mill: a mill that drives one of X and Y.
        swivel: setting of the swivel base, radians.
        wanted: flats to be cut.
        standing: tells what stands at a depth (mm) before them, turned.
    """
    method = Method.of(job, job.only_cutter, mill)
    by_depth = sorted(
        (number for number in wanted if wanted[number]), key=lambda number: job.sections[number - 1].depth
    )
    strokes: list[Stroke] = []
    top = 0.0
    for place, number in enumerate(by_depth):
        bottom = job.sections[number - 1].depth
        for depth in levels(top, bottom, method.stepdown, method.height_step):
            stands = left = standing(depth)
            sides: dict[int, list[_Strip]] = {}
            for deeper in by_depth[place:]:
                is_floor = deeper == number and depth == bottom
                facing = _facing(job, mill, swivel, deeper, wanted[deeper])
                for flat, quarter in facing.items():
                    strips, left = _strips(job, deeper, flat, quarter, left, method, is_floor=is_floor)
                    sides.setdefault(quarter, []).extend(strips)
            strokes += _strokes(_taking_turns(sides), -depth, stands, method)
        top = bottom
    return tuple(strokes)


def _facing(job: BlockJob, mill: Mill, swivel: float, section: int, flats: Iterable[int]) -> dict[int, int]:
    """Return the flats of a section that face along the axis set by hand, and the quarter turn of each."""
    polygon = job.sections[section - 1].polygon()
    facing = facing_of(polygon, flats, swivel, job.tolerance.angle / 2.0)
    return {flat: quarter for flat, quarter in facing.items() if quarter % 2 == mill.axis_by_hand}


def _strips(
    job: BlockJob,
    section: int,
    flat: int,
    quarter: int,
    standing: Outline,
    method: Method,
    *,
    is_floor: bool,
) -> tuple[list[_Strip], Outline]:
    """Return the strips of one flat at one height, the outermost first, and what stands after them."""
    direction, radius, step = quarter * _QUARTER, method.radius, method.scale.step
    distance = job.sections[section - 1].polygon().inradius
    last = round((distance + radius) / step) * step - radius
    reach = standing.support(direction)
    if reach - max(last, distance) <= NOTHING_LEFT:
        return [], standing
    outside = last + math.ceil((reach - last) / step) * step
    passes = passes_to(outside - last, step, method.stepover, method.allowance, is_floor=True)
    strips = []
    for number, (role, depth) in enumerate(passes, start=1):
        line = Line(direction, outside - depth)
        if (is_floor or role == "rough") and standing.support(direction) - line.distance > NOTHING_LEFT:
            strips.append(_Strip(section, flat, role, number, line))
            standing = standing.clip(direction, line.distance)
    return strips, standing


def _taking_turns(sides: Mapping[int, list[_Strip]]) -> Iterator[_Strip]:
    """Yield the strips of all sides in turns: those that finish a flat when all is roughed."""
    for role in ("rough", "finish"):
        of_role = [[strip for strip in strips if strip.role == role] for strips in sides.values()]
        yield from (strip for strip in chain.from_iterable(zip_longest(*of_role)) if strip is not None)


def _strokes(strips: Iterator[_Strip], level: float, standing: Outline, method: Method) -> Iterator[Stroke]:
    for section, flat, role, number, line in strips:
        cut = cut_along(flat, number, line, standing, method.radius, method.beside)
        end = line.along(cut.path[-1].to) + method.beside
        cut = replace(cut, leave=line.point(end, method.radius))
        standing = cut.after
        begin, start = _coming(cut, method)
        yield Stroke(
            cutter=method.cutter,
            feature=f"section {section}",
            level=level,
            role=role,
            cut=cut,
            comes_down=begin[0],
            arrivals=(*begin, start) if begin[-1] != start else begin,
        )


def _coming(cut: Cut, method: Method) -> tuple[tuple[tuple[float, float], ...], tuple[float, float]]:
    """Return by which points the cutter comes, on the cut's line, and where the working feed begins.

    At the first of them all that the cut takes is further on along the line than the cutter reaches, so that there it
    may come down, or in from outside. The driven axis then takes up its screw.
    """
    line = cut.lines[0]
    approach, start = beginning(cut, method.radius, method.beside)
    nearest = min(u for u, _ in line.frame(line.beyond(cut.before)))
    u = min(line.along(approach), nearest - method.radius - method.beside)
    backlash = method.backlash[0 if method.axis_by_hand else 1]
    points = [line.point(u, method.radius)]
    if backlash > 0.0:
        points.insert(0, line.point(u - 2.0 * backlash, method.radius))
    return tuple(points), start
