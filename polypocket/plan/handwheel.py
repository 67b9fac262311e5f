"""The whole work of a block on a mill without a control: for a person at the handwheels.

Section by section from the top down, each at a height that is set once a level; at each height setting after setting of
the swivel base, and at each setting the flats that it brings parallel to an axis. After each turn the part stands
elsewhere, so that every flat is touched off anew.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.model.settable import step_of
from polypocket.model.settings import degrees_text
from polypocket.plan.by_hand import height_asked
from polypocket.plan.clearances import SAFE
from polypocket.plan.flat_by_hand import ByHand, FlatByHand, flat_by_hand
from polypocket.plan.heights import cut_sections
from polypocket.plan.levels import levels
from polypocket.plan.swivelling import AtSetting, in_a_row, settings_for
from polypocket.program.items import Ask, Item, Pass, Spindle, TouchOff, UseCutter
from polypocket.program.moves import Feed, Point
from polypocket.program.program import Program
from polypocket.program.setup import Setup
from polypocket.shape.polygon import RegularPolygon

__all__ = ["plan_by_hand"]

#: Between flats the cutter keeps at least this far from all that the work reaches when it is turned, mm. Common
#: practice, no source.
_WELL_CLEAR = 5.0


class Visit(NamedTuple):
    """One height.

    Attributes:
        number: of the section, as the job lists them.
        polygon: of the section.
        height: Z, mm.
        is_floor: the section's own floor, where its flats are finished.
    """

    number: int
    polygon: RegularPolygon
    height: float
    is_floor: bool


def plan_by_hand(job: BlockJob, mill: Mill) -> Program:
    """Return the work of a block, one setup for each time that height or swivel is set.

    Raises:
        InputError: no setting of the swivel base that the job allows brings one of the flats parallel to an axis.
    """
    visits = _visits(job, mill)
    powered = "".join(name for name, axis in (("x", mill.axes.x), ("y", mill.axes.y)) if axis.power_feed)
    settings = {
        visit.number: settings_for(
            visit.polygon,
            _flats(job, visit.number),
            job.clamping.swivel_settings,
            job.tolerance.angle / 2.0,
            powered if len(powered) == 1 else "",
        )
        for visit in visits
    }
    method = ByHand(
        radius=job.only_cutter.radius,
        stepover=job.only_cutter.cut.stepover,
        allowance=job.only_cutter.cut.finish_allowance,
        beside=job.only_cutter.cut.clearance,
        steps=(mill.axes.x.step(mill.readout), mill.axes.y.step(mill.readout)),
        backlash=(mill.axes.x.backlash, mill.axes.y.backlash),
    )
    orders = in_a_row([settings[visit.number] for visit in visits])
    if job.only_cutter.cut.finish_allowance < max(method.steps):
        # With nothing left for a last pass the readings of all levels must be alike, and so the edges touched.
        first = {visit.number: order for visit, order in reversed(list(zip(visits, orders, strict=True)))}
        orders = [first[visit.number] for visit in visits]
    setups: list[Setup] = []
    number = 1
    for visit, order in zip(visits, orders, strict=True):
        for setup, passes in _setups(job, mill, method, visit, order, number):
            number += passes
            if setup.items:
                setups.append(setup)
    return Program(job.name, mill.units, _asking(job, mill, tuple(setups)))


def _outside(job: BlockJob, mill: Mill) -> float:
    """Return how far the cutter's axis keeps from the block's centre while the work is turned, mm: along X or along Y.

    A whole number of millimetres, or of twentieths of an inch.
    """
    reach = max(math.hypot(*corner) for corner in job.stock.outline().vertices)
    axes = mill.axes.x, mill.axes.y
    back = job.only_cutter.cut.clearance + max(2.0 * axis.backlash + axis.step(mill.readout) for axis in axes)
    whole = 1.0 if mill.units == "mm" else 1.27
    return math.ceil((reach + job.only_cutter.radius + max(_WELL_CLEAR, back)) / whole) * whole


def _raised(job: BlockJob) -> float:
    """Return the height above everything from which the work begins, mm."""
    return SAFE + job.clamping.clamp_height


def _visits(job: BlockJob, mill: Mill) -> tuple[Visit, ...]:
    sections = sorted(enumerate(job.sections, start=1), key=lambda each: each[1].depth)
    polygons = [section.polygon() for _, section in sections]
    flats = [_flats(job, number) for number, _ in sections]
    stock = job.stock.outline()
    visits: list[Visit] = []
    step = step_of(mill.axes.z, mill, mill.units)
    top = 0.0
    for index in cut_sections(polygons, flats, stock):
        number, section = sections[index]
        depth = polygons[index].inradius + job.only_cutter.cut.finish_allowance
        is_roughed = any(stock.support(polygons[index].direction(flat)) > depth for flat in flats[index])
        stepdown = job.only_cutter.cut.stepdown if is_roughed else None
        above = levels(top, section.depth, stepdown, step)[:-1]
        visits += [Visit(number, polygons[index], -down, False) for down in above]
        visits.append(Visit(number, polygons[index], -round(section.depth / step) * step, True))
        top = section.depth
    return tuple(visits)


def _flats(job: BlockJob, number: int) -> tuple[int, ...]:
    section = job.sections[number - 1]
    left = flats_left(job, section)
    return tuple(flat for flat in range(1, section.sides + 1) if flat not in left)


def _setups(
    job: BlockJob, mill: Mill, method: ByHand, visit: Visit, order: list[AtSetting], number: int
) -> Iterator[tuple[Setup, int]]:
    """Yield the setups of one height, and the number of passes of each."""
    standing = job.stock.outline()
    for at in order:
        items: list[Item] = []
        for flat, faces in sorted(at.faces.items(), key=lambda each: each[1]):
            plan = flat_by_hand(
                standing.turned(at.angle),
                faces,
                visit.polygon.inradius,
                method,
                is_floor=visit.is_floor,
            )
            if plan is None:
                continue
            standing = plan.after.turned(-at.angle)
            first = number + sum(isinstance(item, Pass) for item in items)
            items += _flat(job, mill, visit, flat, plan, first)
        passes = sum(isinstance(item, Pass) for item in items)
        yield _setup(visit, at, items), passes
        number += passes


def _setup(visit: Visit, at: AtSetting, items: list[Item]) -> Setup:
    asks = (
        Ask("height", visit.height, f"section {visit.number}"),
        Ask("swivel", at.angle, f"SET SWIVEL {degrees_text(at.angle)}"),
    )
    return Setup(
        number=1,
        swivel=at.angle,
        roll=0.0,
        offset="",
        zero="where the cutter touches the work, anew for each flat",
        items=(*asks, *items) if items else (),
    )


def _asking(job: BlockJob, mill: Mill, setups: tuple[Setup, ...]) -> tuple[Setup, ...]:
    """Return setups numbered, without what is set already; the first begins with cutter and raised height."""
    result = []
    height = swivel = None
    for number, setup in enumerate(setups, start=1):
        items: list[Item] = []
        if number == 1:
            items = [
                UseCutter(job.only_cutter.number, job.only_cutter.diameter, None, by_hand=True),
                Ask("outside", _outside(job, mill), "KEEP OUTSIDE"),
                height_asked(_raised(job), mill.units),
            ]
        for item in setup.items:
            match item:
                case Ask("height", value, _) if value == height:
                    continue
                case Ask("swivel", value, _) if value == swivel:
                    continue
                case Ask("height", value, _):
                    height = value
                case Ask("swivel", value, _):
                    swivel = value
            items.append(item)
        result.append(Setup(number, setup.swivel, setup.roll, setup.offset, setup.zero, tuple(items)))
    return tuple(result)


def _flat(
    job: BlockJob, mill: Mill, visit: Visit, flat: int, plan: FlatByHand, number: int
) -> Iterator[Item]:
    """Yield touching off and the passes of a flat, each back where it began, clear of the work."""
    cuts = mill.axes.y if plan.faces % 2 == 0 else mill.axes.x
    feature = f"section {visit.number}"
    yield TouchOff(
        feature, flat, plan.faces, plan.touch, plan.edges, plan.last, cuts.power_feed, plan.corners
    )
    yield Spindle(job.only_cutter.cut.spindle_rpm)

    def to(depth: float, along: float, rate: float) -> Feed:
        return Feed(Point(*plan.place(depth, along), visit.height), rate)

    for index, (role, depth) in enumerate(plan.passes):
        yield Pass(
            number=number + index,
            feature=feature,
            flat=flat,
            last_flat=flat,
            level=visit.height,
            index=index + 1,
            role=role,
            side="left",
            size_register=None,
            lead_in=(to(depth, plan.begins, mill.feed_max),),
            cut=(to(depth, plan.ends, job.only_cutter.cut.feed),),
            lead_out=(
                to(-plan.clear, plan.ends, mill.feed_max),
                to(-plan.clear, plan.begins, mill.feed_max),
            ),
        )
    yield Spindle(0.0)
