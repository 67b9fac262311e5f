"""Strokes that cut some flats of a block, others having been cut before.

Whole flats leave the stock convex at every height: a flat that is cut down to some depth is gone above it too, so that
at each height there stands what all the half-planes of the flats cut so deep or deeper have in common. From the top
down what stands widens, flats of deeper sections being no nearer to the centre, and the planner's rules hold.
"""

from __future__ import annotations

from collections.abc import Mapping

from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.plan.clearing import Area, clearing_of
from polypocket.plan.method import Method
from polypocket.plan.one_axis import strokes_along
from polypocket.plan.stage import plan_stage
from polypocket.plan.strokes import Stroke
from polypocket.shape.outline import Outline

__all__ = ["Flats", "all_flats", "strokes_of_some"]

#: Depths nearer than this are one, mm.
_SAME = 1e-6

#: Numbers of flats by the number of their section, as the job lists them.
Flats = Mapping[int, frozenset[int]]


def all_flats(job: BlockJob) -> dict[int, frozenset[int]]:
    """Return all flats that are to be cut."""
    return {
        number: frozenset(range(1, section.sides + 1)) - flats_left(job, section)
        for number, section in enumerate(job.sections, start=1)
    }


def strokes_of_some(
    job: BlockJob, mill: Mill, swivel: float, wanted: Flats, done: Flats
) -> tuple[Stroke, ...]:
    """Return the strokes that cut the ``wanted`` flats, section after section from the shallowest down.

    Above a section whose walls have not all been cut there may be stock up to the top, so that its levels begin there.

    Args:
        job: a job.
        mill: a mill that can make it.
        swivel: setting of the swivel base, radians.
        wanted: flats to be cut.
        done: flats that were cut before.
    """

    def standing_at(depth: float) -> Outline:
        """Return what stands at a depth before this: what no flat that was cut so deep or deeper has taken."""
        standing = job.stock.largest_outline().turned(swivel)
        for number, section in enumerate(job.sections, start=1):
            polygon = section.polygon().turned(swivel)
            for flat in done.get(number, frozenset()) if section.depth >= depth - _SAME else ():
                standing = standing.clip(polygon.direction(flat), polygon.inradius)
        return standing

    if mill.axis_by_hand is not None:
        return strokes_along(job, mill, swivel, wanted, standing_at)
    method = Method.of(job, job.only_cutter, mill)
    every = all_flats(job)
    sections = sorted(enumerate(job.sections, start=1), key=lambda each: each[1].depth)
    strokes: list[Stroke] = []
    top = 0.0
    for number, section in sections:
        flats = tuple(sorted(wanted.get(number, frozenset())))
        if flats:
            area = Area(section.polygon().turned(swivel), flats, standing_at(section.depth))
            clearing = clearing_of(area, section.depth, method)
            strokes += plan_stage(f"section {number}", clearing, top, section.depth, method).strokes
        is_whole = every[number] <= wanted.get(number, frozenset()) | done.get(number, frozenset())
        top = section.depth if is_whole else 0.0
    return tuple(strokes)
