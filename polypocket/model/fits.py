"""Whether the parts of a job fit each other, and the job the mill: what is known before a path is laid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from polypocket.errors import Mistake
from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob, Section, flats_left, has_material
from polypocket.model.mill import Mill, SpindleDrive, Vise
from polypocket.model.settable import mistakes_of_heights
from polypocket.model.settings import degrees_text, is_whole
from polypocket.model.standing import faces_jaws
from polypocket.shape.outline import Outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.units import MM_PER_INCH, format_length, shown

__all__ = ["CLEAR_OF_JAWS", "mistakes_by_hand", "mistakes_of_fit", "mistakes_on_mill"]

#: Least distance of the lowest floor above the jaws, mm. Common practice, no source.
CLEAR_OF_JAWS: Final = 1.0

#: What stands above the jaws is at most so many times what they hold; less is cause for caution (``model.grip``).
#: Common practice, no source.
_MOST_ABOVE: Final = 10.0

#: What lengths may differ by through rounding alone, mm.
_ROUNDING: Final = 1e-6

#: The same for directions, radians.
_TURNED: Final = 1e-9

#: What a register may be out by, mm: it is set to a thousandth, or a ten-thousandth of an inch. No source.
_ROUNDING_OF_REGISTER: Final = 0.0013

#: The most by which a register may lead the cutter beside its path, as a share of what the ways between cuts keep from
#: the material. Common practice, no source.
_SHARE_OF_CLEARANCE: Final = 0.25

#: What ways between cuts keep from the material, mm: at least twice the gap at which the working feed begins, and not
#: so much that a slip of the pen goes by. Common practice, no source.
_LEAST_CLEARANCE, _MOST_CLEARANCE = 0.2, 25.0


def mistakes_of_fit(job: BlockJob) -> tuple[Mistake, ...]:
    """Return what cannot be in a job whatever the mill; places are those of the job's file."""
    cutters = (mistake for each in job.cutters for mistake in (*_cutter(job, each), *_cut(job, each)))
    return (*_sections(job), *cutters, *_clamping(job))


def mistakes_on_mill(job: BlockJob, mill: Mill) -> tuple[Mistake, ...]:
    """Return what a job asks of a mill that it does not have; places are those of the job's file."""
    if mill.axis_by_hand is not None:
        by_hand = mistakes_of_one_axis(job)
    else:
        by_hand = () if mill.axes.z.driven and mill.spindle.controlled else _several(job)
    heights = () if mill.axes.z.driven else tuple(mistakes_of_heights(job, mill, job.units))
    return (*by_hand, *heights, *_drives(job, mill), *_vise(job, mill), *_register(job, mill))


def mistakes_of_one_axis(job: BlockJob) -> tuple[Mistake, ...]:
    """Return what a job asks for that is not done where a person sets X or Y; places are those of the job's file."""
    if several := _several(job):
        return several
    cutter = job.only_cutter
    found = list(_climbing(cutter))
    if cutter.cut.size_from_control:
        message = (
            "the control does not lead the cutter beside a path of which a person sets one axis; leave it out"
        )
        found.append(Mistake(cutter.place_of("size_from_control"), message))
    return tuple(found)


def mistakes_by_hand(job: BlockJob, mill: Mill) -> tuple[Mistake, ...]:
    """Return what a job asks for that is not done by a person at the handwheels; places are those of the job's file."""
    if several := _several(job):
        return several
    cutter = job.only_cutter
    found = [*mistakes_of_heights(job, mill, mill.units), *_climbing(cutter)]
    if job.stock.oversize > 0.0:
        message = (
            "readings begin at the stock's edges, so that its true size is wanted: measure it, write its sizes as they "
            "are, and 0"
        )
        found.append(Mistake("stock.oversize", message))
    if cutter.cut.size_from_control:
        found.append(Mistake(cutter.place_of("size_from_control"), "there is no control; leave it out"))
    return tuple(found)


def _climbing(cutter: Cutter) -> Iterator[Mistake]:
    if cutter.cut.direction != "conventional":
        message = "climbing pulls the work into the cutter on an axis moved by hand; write conventional"
        yield Mistake(cutter.place_of("direction"), message)


def _several(job: BlockJob) -> tuple[Mistake, ...]:
    """Return what is wrong with several cutters where a person sets an axis or starts the spindle."""
    if len(job.cutters) == 1:
        return ()
    message = "not yet: where a person sets an axis or starts the spindle one cutter cuts all sections"
    return (Mistake("cutters", message),)


def _register(job: BlockJob, mill: Mill) -> Iterator[Mistake]:
    """Check that the control's register holds what the cutter wants along a path for its nominal size."""
    for cutter in job.cutters:
        if cutter.cut.size_from_control:
            yield from _register_of(job, cutter, mill)


def _register_of(job: BlockJob, cutter: Cutter, mill: Mill) -> Iterator[Mistake]:
    number, wanted = cutter.number, cutter.size_difference
    place = cutter.place_of("size_from_control")
    held = mill.cutter_registers.radius.get(number)
    write = f'write [cutter_registers] radius = {{ "{number}" = "{_length(job, wanted)}" }} in the mill file'
    if held is None:
        message = f"nobody knows what register {number} of {shown(mill.name)} holds; set it and {write}"
        yield Mistake(place, message)
    elif abs(held - wanted) > _ROUNDING_OF_REGISTER:
        message = (
            f"register {number} of {shown(mill.name)} holds {_length(job, held)} and must hold "
            f"{_length(job, wanted)} for this cutter; set it and {write}"
        )
        yield Mistake(place, message)


def _sections(job: BlockJob) -> Iterator[Mistake]:
    """Check that the sections stand inside one another and inside the stock."""
    by_depth = sorted(enumerate(job.sections), key=lambda numbered: numbered[1].depth)
    cut = (
        (section, flat)
        for section in job.sections
        for flat in range(1, section.sides + 1)
        if flat not in flats_left(job, section)
    )
    if not any(has_material(job, section, flat) for section, flat in cut):
        yield Mistake("sections", "all flats are the stock's own; there is nothing to cut")
    for index, section in by_depth:
        yield from _inside_stock(job, index, section)
        if section.depth >= job.stock.thickness - _ROUNDING:
            thickness = _length(job, job.stock.thickness)
            yield Mistake(f"sections[{index}].depth", f"must be less than the stock's thickness, {thickness}")
    for (upper, section), (lower, below) in pairwise(by_depth):
        if below.depth - section.depth < _ROUNDING:
            message = f"as deep as sections[{upper}]; two sections of one depth cannot both be seen"
            yield Mistake(f"sections[{lower}].depth", message)
            continue
        yield from _inside(job, upper, section, below.outline(), f"the deeper sections[{lower}]")


def _inside_stock(job: BlockJob, index: int, section: Section) -> Iterator[Mistake]:
    if job.stock.diameter is None:
        yield from _inside(job, index, section, job.stock.outline(), "the stock")
        return
    # The stock's outline is a polygon round the circle; the corners are checked against the circle itself.
    polygon = section.polygon()
    radius = job.stock.diameter / 2.0
    if polygon.circumradius - radius > _ROUNDING:
        largest = 2.0 * radius * math.cos(math.pi / section.sides)
        yield _sticks_out(job, index, polygon.circumradius - radius, largest, "the stock")


def _inside(job: BlockJob, index: int, section: Section, outer: Outline, called: str) -> Iterator[Mistake]:
    by = outer.sticks_out(section.outline())
    if by > _ROUNDING:
        yield _sticks_out(job, index, by, _largest_across_flats(section, outer), called)


def _sticks_out(job: BlockJob, index: int, by: float, largest: float, called: str) -> Mistake:
    # Rounded down, so that the size in the message does fit.
    step = 0.001 if job.units == "mm" else 0.0001 * MM_PER_INCH
    fits = _length(job, math.floor(largest / step + _ROUNDING) * step)
    much = _length(job, by) if by >= step else f"less than {_length(job, step)}"
    message = f"sticks out of {called} by {much}; as it is turned, at most {fits} across flats fit"
    return Mistake(f"sections[{index}]", message)


def _largest_across_flats(section: Section, outer: Outline) -> float:
    """Return across flats, mm, of the largest polygon, turned as the section is, that fits into ``outer``."""
    unit = RegularPolygon(section.sides, 1.0, section.first_flat).outline()
    inradii: list[float] = []
    for (x1, y1), (x2, y2) in outer.edges():
        direction = math.atan2(x1 - x2, y2 - y1)  # an edge faces to the right of its anticlockwise run
        inradii.append(outer.support(direction) / unit.support(direction))
    return 2.0 * min(inradii)


def _cutter(job: BlockJob, cutter: Cutter) -> Iterator[Mistake]:
    deepest = max(section.depth for section in job.sections if job.cutter(section.cutter) == cutter)
    if cutter.flute_length < deepest - _ROUNDING:
        message = (
            f"must reach down to the deepest section that it cuts, {_length(job, deepest)}, or the shank rubs"
        )
        yield Mistake(f"{cutter.place}.flute_length", message)
    if cutter.stick_out < cutter.flute_length - _ROUNDING:
        message = f"must be at least flute_length, {_length(job, cutter.flute_length)}"
        yield Mistake(f"{cutter.place}.stick_out", message)
    over_clamps = deepest + job.clamping.clamp_height
    if job.clamping.clamp_height > 0.0 and cutter.stick_out < over_clamps - _ROUNDING:
        message = f"must be at least {_length(job, over_clamps)}, or the holder meets the clamps"
        yield Mistake(f"{cutter.place}.stick_out", message)


def _cut(job: BlockJob, cutter: Cutter) -> Iterator[Mistake]:
    cut = cutter.cut
    if cutter.measured is not None and not cut.size_from_control:
        message = "nothing makes up for it; write it as the diameter, or set cut.size_from_control = true"
        yield Mistake(f"{cutter.place}.measured", message)
    most = _SHARE_OF_CLEARANCE * cut.clearance
    if abs(cutter.size_difference) > most + _ROUNDING:
        largest = _length(job, 2.0 * most)
        message = f"must be within {largest} of the diameter, since the ways between cuts are made for that"
        yield Mistake(f"{cutter.place}.measured", message)
    smaller = min(cutter.radius, cutter.path_radius)
    if cut.stepover > smaller + _ROUNDING:
        radius = _length(job, smaller)
        of_cutter = (
            "the cutter's radius" if len(job.cutters) == 1 else f"the radius of cutter {cutter.number}"
        )
        message = (
            f"must be at most {of_cutter}, {radius}; above it a cut straddles the cutter's centre "
            f"and is neither conventional nor climb"
        )
        yield Mistake(cutter.place_of("stepover"), message)
    if not _LEAST_CLEARANCE - _ROUNDING <= cut.clearance <= _MOST_CLEARANCE + _ROUNDING:
        between = f"{_length(job, _LEAST_CLEARANCE)} to {_length(job, _MOST_CLEARANCE)}"
        yield Mistake(
            cutter.place_of("clearance"), f"must be from {between}, not {_length(job, cut.clearance)}"
        )
    if cut.stepdown is not None and cut.stepdown > cutter.flute_length + _ROUNDING:
        message = f"must be at most flute_length, {_length(job, cutter.flute_length)}"
        yield Mistake(cutter.place_of("stepdown"), message)
    if cut.finish_allowance >= cut.stepover:
        message = (
            f"must be less than stepover, {_length(job, cut.stepover)}, or the last pass is the heaviest"
        )
        yield Mistake(cutter.place_of("finish_allowance"), message)


def _clamping(job: BlockJob) -> Iterator[Mistake]:
    if job.clamping.grip != "vise":
        return
    thickness, held = job.stock.thickness, job.clamping.held
    if held >= thickness - _ROUNDING:
        yield Mistake("clamping.held", f"must be less than the stock's thickness, {_length(job, thickness)}")
        return
    deepest = max(section.depth for section in job.sections)
    clear = thickness - held - deepest
    if deepest < thickness - _ROUNDING and clear < CLEAR_OF_JAWS - _ROUNDING:
        where = f"{_length(job, clear)} above" if clear >= 0.0 else f"{_length(job, -clear)} below"
        message = (
            f"the deepest section's floor is {where} the top of the jaws; hold less of the stock, "
            f"so that it is at least {_length(job, CLEAR_OF_JAWS)} above"
        )
        yield Mistake("clamping.held", message)
    if thickness - held > _MOST_ABOVE * held + _ROUNDING:
        message = (
            f"{_length(job, thickness - held)} would stand above the jaws, more than {_MOST_ABOVE:g} times what they "
            "hold; hold more of the stock, or use a plate"
        )
        yield Mistake("clamping.held", message)
    if job.stock.faces() and not faces_jaws(job):
        message = "the stock has no face towards each jaw; turn it with stock.first_flat, or use a plate"
        yield Mistake("clamping.jaws_along", message)


def _drives(job: BlockJob, mill: Mill) -> Iterator[Mistake]:
    called = shown(mill.name)
    for cutter in job.cutters:
        rpm = cutter.cut.spindle_rpm
        if not mill.spindle.has(rpm):
            message = f"{rpm:g} is not a speed of {called}; {_speeds_near(rpm, mill.spindle)}"
            yield Mistake(cutter.place_of("spindle_rpm"), message)
        if cutter.cut.feed > mill.feed_max * (1.0 + 1e-9):
            message = f"must be at most the fastest feed of {called}, {_of_mill(job, mill, mill.feed_max, ' a minute')}"
            yield Mistake(cutter.place_of("feed"), message)


def _speeds_near(rpm: float, spindle: SpindleDrive) -> str:
    if spindle.speeds is None:
        return f"it turns at {spindle.rpm_low:g} to {spindle.rpm_high:g}"
    near = [speed for speed in spindle.speeds if speed < rpm][-1:]
    near += [speed for speed in spindle.speeds if speed > rpm][:1]
    return "take " + " or ".join(f"{speed:g}" for speed in near)


def _vise(job: BlockJob, mill: Mill) -> Iterator[Mistake]:
    if job.clamping.grip != "vise":
        return
    called, vise = shown(mill.name), mill.vise
    if vise is None:
        yield Mistake("clamping.grip", f'{called} has no vise; hold the stock on a plate: grip = "plate"')
        return
    across = _across_jaws(job)
    if across > vise.opening + _ROUNDING:
        message = (
            f"the stock measures up to {_length(job, across)} across the jaws, "
            f"and the vise of {called} opens to {_of_mill(job, mill, vise.opening)}"
        )
        yield Mistake("clamping.jaws_along", message)
    if job.clamping.held > vise.jaw_height + _ROUNDING:
        height = _of_mill(job, mill, vise.jaw_height)
        message = f"must be at most the height of the jaws of {called}, {height}"
        yield Mistake("clamping.held", message)
    yield from _settings(job, vise, called)


def _settings(job: BlockJob, vise: Vise, called: str) -> Iterator[Mistake]:
    """Check that the vise can be set as the job says."""
    settings = job.clamping.swivel_settings
    if not vise.swivel_base:
        if settings != (0.0,):
            message = f"the vise of {called} has no swivel base; leave the key out"
            yield Mistake("clamping.swivel_settings", message)
        return
    graduation = vise.swivel_graduation
    off = [each for each in settings if graduation is not None and not is_whole(each, graduation)]
    if graduation is not None and off:
        message = (
            f"{degrees_text(off[0])}° is not a whole graduation of the swivel base of {called}, "
            f"which has {degrees_text(graduation)}° from line to line"
        )
        yield Mistake("clamping.swivel_settings", message)


def _across_jaws(job: BlockJob) -> float:
    """Return the stock's size across the jaws at the most, mm; ``oversize`` is the size's, not a face's."""
    if job.stock.diameter is not None:
        return job.stock.diameter + job.stock.oversize
    low_x, low_y, high_x, high_y = job.stock.outline().extents()
    size = high_y - low_y if job.clamping.jaws_along == "x" else high_x - low_x
    return size + job.stock.oversize


def _length(job: BlockJob, mm: float) -> str:
    """Return a length in the units of the job's file."""
    return format_length(mm, job.units)


def _of_mill(job: BlockJob, mill: Mill, mm: float, per: str = "") -> str:
    """Return a length of the mill's, in the units of the job's file, and how the mill's file has it.

    Where a file of the mill is in the wrong units, the job would else get the blame.
    """
    in_file = "the mill file is in mm" if mill.units == "mm" else "the mill file is in inches"
    if job.units != mill.units:
        in_file = f"{format_length(mm, mill.units)} in the mill file"
    return f"{_length(job, mm)}{per} ({in_file})"
