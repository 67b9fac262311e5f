"""The whole program of a block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import groupby

from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob, Section, flats_left
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.plan.by_hand import by_hand
from polypocket.plan.changes import change_of_cutter, first_cutter
from polypocket.plan.clearing import Area, Clearing, clearing_of
from polypocket.plan.heights import cut_sections, fewest_heights
from polypocket.plan.items import items_of
from polypocket.plan.method import Method
from polypocket.plan.order import quickest_order
from polypocket.plan.stage import Stage, plan_stage, stages_between
from polypocket.plan.strokes import Stroke
from polypocket.program.items import Ask, Item, Link, Spindle
from polypocket.program.moves import Feed, Point, Rapid
from polypocket.program.program import Program
from polypocket.program.setup import Setup
from polypocket.shape.outline import Outline

__all__ = ["plan_block", "program_of", "stages_of", "strokes_of"]


def plan_block(job: BlockJob, mill: Mill, swivel: float = 0.0) -> Program:
    """Return the program that cuts a block on a mill; both have been checked, alone and against each other.

    The paths are those over the table: the whole work is turned by ``swivel``, the setting of the vise's swivel base
    (radians, positive anticlockwise seen from above), before anything is decided.
    """
    strokes = strokes_of(job, mill, swivel)
    return program_of(job, mill, strokes, range(1, len(strokes) + 1), swivel)


def strokes_of(job: BlockJob, mill: Mill, swivel: float = 0.0) -> tuple[Stroke, ...]:
    """Return the strokes that cut a block, in order; pass number 1 is the first."""
    return tuple(stroke for stage in stages_of(job, mill, swivel) for stroke in stage.strokes)


def stages_of(job: BlockJob, mill: Mill, swivel: float = 0.0) -> list[Stage]:
    """Return the same section by section, with what their orders are worth."""
    return _stages(job, mill, swivel)


def program_of(
    job: BlockJob, mill: Mill, strokes: Sequence[Stroke], passes: range, swivel: float = 0.0
) -> Program:
    """Return a program of some passes in a row: it sets every state itself, approaches from above and ends above.

    The stock must be as the passes before the first one leave it, and the swivel base at the setting for which the
    strokes were planned.
    """
    method = Method.of(job, job.cutters[0], mill)
    setup = Setup(
        number=1,
        swivel=swivel,
        roll=0.0,
        offset=mill.work_offset,
        zero="X0 Y0 centre of the block, Z0 top of the stock",
        items=by_hand(
            (
                *_turning(job, swivel, method),
                *_items(job, mill, strokes[passes.start - 1 : passes.stop - 1], passes.start),
            ),
            method,
            job.units,
        ),
    )
    return Program(job.name, job.units, (setup,))


def _items(job: BlockJob, mill: Mill, strokes: Sequence[Stroke], number: int) -> Iterator[Item]:
    """Yield what is done cutter by cutter; the first pass is the given one."""
    before: Cutter | None = None
    cutter = job.cutter(strokes[0].cutter) if strokes else job.cutters[0]
    method = Method.of(job, cutter, mill)
    if not strokes:
        yield from first_cutter(job, cutter, mill, method.safe)
    for tool, group in groupby(strokes, key=lambda stroke: stroke.cutter):
        run, cutter = tuple(group), job.cutter(tool)
        method = Method.of(job, cutter, mill)
        if before is None:
            yield from first_cutter(job, cutter, mill, method.safe)
        else:
            yield from change_of_cutter(job, before, cutter, mill, method.crossing, method.safe)
        yield from _cutting(run, number, method)
        number += len(run)
        before = cutter
    yield from _end(method)


def _stages(job: BlockJob, mill: Mill, swivel: float) -> list[Stage]:
    """Return how every section is cut, in the order in which the sections are best cut."""
    sections = sorted(job.sections, key=lambda section: section.depth)
    numbers = [job.sections.index(section) + 1 for section in sections]
    cut_flats = [_flats_to_cut(job, section) for section in sections]
    methods = [Method.of(job, job.cutter(section.cutter), mill) for section in sections]

    def left_by(deepest: int | None) -> Outline:
        """Return what the given section and all deeper ones leave of the stock, as large as it may be."""
        outline = job.stock.largest_outline().turned(swivel)
        for section, flats in (
            list(zip(sections, cut_flats, strict=True))[deepest:] if deepest is not None else ()
        ):
            polygon = section.polygon().turned(swivel)
            for flat in flats:
                outline = outline.clip(polygon.direction(flat), polygon.inradius)
        return outline

    @cache
    def clearing(section: int, below: int | None) -> Clearing:
        area = Area(sections[section].polygon().turned(swivel), cut_flats[section], left_by(below))
        return clearing_of(area, sections[section].depth, methods[section])

    def stage(section: int, above: int | None, below: int | None) -> Stage:
        top = sections[above].depth if above is not None else 0.0
        feature = f"section {numbers[section]}"
        return plan_stage(feature, clearing(section, below), top, sections[section].depth, methods[section])

    if not mill.axes.z.driven:
        polygons = [section.polygon().turned(swivel) for section in sections]
        return fewest_heights(cut_sections(polygons, cut_flats, left_by(None)), stage)

    def between(before: Stage | None, after: Stage | None) -> float:
        return stages_between(before, after, job, mill)

    depths = [section.depth for section in sections]
    return quickest_order(depths, stage, lambda stage: stage.seconds, between)


def _flats_to_cut(job: BlockJob, section: Section) -> tuple[int, ...]:
    left = flats_left(job, section)
    return tuple(flat for flat in range(1, section.sides + 1) if flat not in left)


def _turning(job: BlockJob, swivel: float, method: Method) -> tuple[Item, ...]:
    """Return what is asked of a person where the swivel base may stand at more than one setting, or not at 0.

    A height that is set by hand is set first: the cutter may stand as low as the program before it has left it.
    """
    if swivel == 0.0 and job.clamping.swivel_settings == (0.0,):
        return ()
    raised: Item = (
        Link((Rapid(Point(z=method.safe)),))
        if method.height_by_hand
        else Ask("note", None, "RAISE ABOVE EVERYTHING, SPINDLE STANDING STILL")
    )
    return (
        raised,
        Ask("swivel", swivel, f"SET SWIVEL {degrees_text(swivel)}"),
        Ask("note", None, "LOCK IT, THEN PICK UP X0 Y0 ANEW"),
    )


def _cutting(strokes: Sequence[Stroke], number: int, method: Method) -> tuple[Item, ...]:
    first = strokes[0]
    down = Rapid(Point(z=method.safe)), Rapid(Point(*first.comes_down)), Rapid(Point(z=first.level))
    start = Link((*down, *(Feed(Point(x, y), method.feed_max) for x, y in first.arrivals)))
    return (start, *items_of(strokes, method, number))


def _end(method: Method) -> tuple[Item, ...]:
    return (Link((Rapid(Point(z=method.safe)),)), Spindle(0.0))
