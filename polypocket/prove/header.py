"""What stands at the head of a program, for the person at the machine."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from polypocket.model.cutter import Cutter
from polypocket.model.grip import grip_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.program import Program, UseCutter
from polypocket.prove.words import clamping_in_words, lengths_in, section_in_words, stock_in_words

if TYPE_CHECKING:
    from polypocket.model.mill import Mill
    from polypocket.prove.placing import Placed

__all__ = [
    "begins_in_words",
    "header_by_hand",
    "header_of",
    "part_in_words",
    "with_cutter_in_words",
    "zero_in_words",
]


def header_of(job: BlockJob, placed: Placed, dialect: str) -> tuple[str, ...]:
    """Return the lines that say what the program is for and what must be so before it is started."""
    mill = placed.mill
    return (
        f"Job: {job.name}",
        f"Mill: {mill.name}; dialect: {dialect}",
        "Prove it in the air first, without a cutter, guards in place, eyes protected, no gloves. The mill's manual, "
        "local rules and a qualified person come before this program.",
        f"Material: {job.stock.material}",
        f"Stock: {stock_in_words(job.stock, job.units)}",
        *(f"Section {i + 1}: {section_in_words(job, section)}" for i, section in enumerate(job.sections)),
        f"Clamping: {clamping_in_words(job.clamping, job.units)}",
        *cautions_in_words(job, mill),
        *_swivel_in_words(job, placed.swivel),
        f"Zero: {mill.work_offset}, X0 Y0 on the block's centre, Z0 on the stock's top",
        *zero_in_words(placed, job),
        *_cutters_in_words(job, mill),
        *_by_hand_in_words(job, mill),
        "Before the start: cutter above everything on the table, zero set, nothing loose, way clear",
    )


def header_by_hand(job: BlockJob, mill: Mill) -> tuple[str, ...]:
    """Return what a person reads before the first line of a sheet is worked through."""
    length = lengths_in(job.units)
    cutter = job.only_cutter
    cut = cutter.cut
    return (
        f"Job: {job.name}",
        f"Mill: {mill.name}; no control, a person turns the handwheels",
        "Guard cutter and chips, protect your eyes; no gloves, rings or loose sleeves. Stop the spindle and let it "
        "stand before you set, touch, measure or wipe; brush chips away, never by hand. The mill's manual, local rules "
        "and qualified instruction come before this sheet.",
        f"Material: {job.stock.material}",
        f"Stock: {stock_in_words(job.stock, job.units)}. Measure it: all readings begin at its edges",
        *(f"Section {i + 1}: {section_in_words(job, section)}" for i, section in enumerate(job.sections)),
        "Scribe every flat on the top face first (polypocket check): the checks below go by the lines",
        f"Clamping: {clamping_in_words(job.clamping, job.units)}; at swivel 0 the jaws run as said",
        *cautions_in_words(job, mill),
        f"In the spindle: cutter {cutter.number}, {cutter.material}, diameter {length(cutter.diameter)}, "
        f"{cutter.flutes} flutes that cut over {length(cutter.flute_length)}, "
        f"{length(cutter.stick_out)} out of the holder",
        f"Cut: {cut.direction}, spindle {cut.spindle_rpm:g} a minute clockwise, feed {length(cut.feed)} a minute",
        "A reading rises as the cutter goes right over the work (table left), or away from you (table towards you). "
        "Z rises as the work goes down from the cutter, or the cutter up from it: knee down, quill up. On dials 3 t 20 "
        "is 3 whole turns and 20 divisions from zero, -3 t 20 as many the other way, counted, not read off the dial; "
        "come up to each always the same way, from outside the work.",
        "Tick each box when it is done, and only then go on.",
    )


def zero_in_words(placed: Placed, job: BlockJob) -> tuple[str, ...]:
    """Return where the zero must be put, or on a mill without home switches the room that is needed round it.

    Z is that of the job's first cutter, which is said where there are several.
    """
    mill, place = placed.mill, placed.place
    length = lengths_in(mill.units)
    if not mill.homed:
        assert place is not None  # such a mill sets no zero, so that the room was looked at
        room = (
            f"{axis.upper()} {length(low.at)} to {length(high.at)}"
            for axis, low, high in zip("xyz", place.room.low, place.room.high, strict=True)
        )
        return (
            "No home switches: before cutting jog from the zero through all of the room that the program needs, "
            f"with the cutter above everything in X and Y: {', '.join(room)}",
        )
    zero = zip("XYZ", mill.work_offsets[mill.work_offset], strict=True)
    where = ", ".join(f"{axis} {length(value)}" for axis, value in zero)
    at = f"Zero in machine coordinates: {where}{with_cutter_in_words(job)}"
    if not placed.chosen or place is None or not place.fits:
        return (at, *_out_of_reach(mill))
    region = (
        f"{axis} {length(low)} to {length(high)}"
        for axis, low, high in zip("XYZ", place.region.low, place.region.high, strict=True)
    )
    around = ", but not everywhere in it" if place.region.area is not None else ""
    return (
        at,
        f"Put the zero there: the mill file sets none. It has room in {', '.join(region)}{around}, "
        "but elsewhere write the place into the mill file and the program anew",
        *_out_of_reach(mill),
    )


def _out_of_reach(mill: Mill) -> Iterator[str]:
    """Yield what to do about a zero to which the cutter cannot be brought."""
    zero = zip("XY", (mill.axes.x, mill.axes.y), mill.work_offsets[mill.work_offset][:2], strict=True)
    if out := [name for name, axis, at in zero if not axis.low <= at <= axis.high]:
        yield (
            f"The travel of {' and '.join(out)} ends before the zero: touch a face that is in reach, and set the "
            "zero by the face's distance from the block's centre and the cutter's radius"
        )


def cautions_in_words(job: BlockJob, mill: Mill) -> tuple[str, ...]:
    """Return what a person should think about before the vise is trusted with the stock."""
    grip = grip_of(job, mill)
    return tuple(f"Caution, grip: {caution}" for caution in grip.cautions) if grip is not None else ()


def with_cutter_in_words(job: BlockJob) -> str:
    """Return with which cutter in the spindle the Z of a zero holds, to stand behind it; nothing where there is one."""
    return f", this Z with cutter {job.cutters[0].number} in the spindle" if len(job.cutters) > 1 else ""


def begins_in_words(job: BlockJob, program: Program) -> tuple[str, ...]:
    """Return which cutter a program begins with, where the job has several; some begin in the middle of the job."""
    if len(job.cutters) == 1:
        return ()
    items = (item for setup in program.setups for item in setup.items)
    first = next(item for item in items if isinstance(item, UseCutter))
    return (
        f"This program begins with cutter {first.number}, diameter {lengths_in(job.units)(first.diameter)}",
    )


def _swivel_in_words(job: BlockJob, swivel: float) -> tuple[str, ...]:
    """Return how the swivel base has to stand, where it is not a matter of course."""
    if job.clamping.swivel_settings == (0.0,):
        return ()
    turned = (
        f"{degrees_text(abs(swivel))}° {'anticlockwise' if swivel > 0.0 else 'clockwise'} seen from above"
    )
    jaws = "; at 0° the jaws run as said" if swivel else ""
    return (f"Swivel base at {turned if swivel else '0°'}{jaws}; set it first, then pick up the zero",)


def _cutters_in_words(job: BlockJob, mill: Mill) -> Iterator[str]:
    if len(job.cutters) > 1:
        if mill.length_offset:
            yield "Lengths: register H of each cutter's number must hold its length. Look at them before the start"
        else:
            yield "Z0 is touched off anew with each cutter, as the program asks"
    length = lengths_in(job.units)
    for cutter in job.cutters:
        cuts = [str(i) for i, section in enumerate(job.sections, start=1) if section.cutter == cutter.number]
        sections = f"For section{'s' * (len(cuts) > 1)} {' and '.join(cuts)}"
        yield (
            f"{sections if len(job.cutters) > 1 else 'In the spindle'}: cutter {cutter.number}, {cutter.material}, "
            f"diameter {length(cutter.diameter)}, {cutter.flutes} flutes that cut over {length(cutter.flute_length)}, "
            f"{length(cutter.stick_out)} out of the holder"
        )
        cut = cutter.cut
        yield from _register_in_words(job, cutter)
        yield f"Cut: {cut.direction}, spindle {cut.spindle_rpm:g} a minute, feed {length(cut.feed)} a minute"


def _register_in_words(job: BlockJob, cutter: Cutter) -> Iterator[str]:
    if not cutter.cut.size_from_control:
        return
    number, nominal = cutter.number, lengths_in(job.units)(cutter.path_radius)
    yield (
        f"The control leads the cutter by register D{number}, which must hold the cutter's radius less {nominal}: "
        "0 for one of that size, less than 0 for one that was ground down. Look at it before the start"
    )


def _by_hand_in_words(job: BlockJob, mill: Mill) -> tuple[str, ...]:
    """Return what a person does on a mill that drives less than everything."""
    lines: list[str] = []
    if mill.axis_by_hand is not None:
        axis = "XY"[mill.axis_by_hand]
        lines.append(
            f"{axis} by hand, in {'mm' if job.units == 'mm' else 'inches'} from the block's centre: readout or dial "
            "reads 0 there, whole turns are counted. At each stop: spindle standing. Unlock, set what is asked for, "
            "lock, hands away, then on. Where 40 FROM 50 is asked for, first to 50, then back to 40: the screw is "
            "taken up"
        )
    if not mill.axes.z.driven:
        lines.append(
            f"Height by hand, in {'mm' if job.units == 'mm' else 'inches'} from the stock's top. At each stop: "
            "spindle standing, cutter clear of the work. Unlock, set what is asked for, lock, hands away, then go on. "
            "After the end raise the cutter above everything before anything moves"
        )
    if not mill.spindle.controlled:
        lines.append(
            "Spindle by hand: start and stop it where the program asks, and only then go on. Measure and wipe with "
            "the spindle standing still only"
        )
    return tuple(lines)


def part_in_words(part: str, passes: range, last: int, first: int = 1) -> tuple[str, ...]:
    """Return what tells a program of some of a job's passes from one of all; nothing where it has them all.

    ``first`` is the pass with which its clamping begins, ``last`` the job's last.
    """
    lines = []
    if part:
        lines.append(
            f"This is {part}: passes {passes.start} to {passes.stop - 1}; run the parts in their order"
        )
    if passes.start > first:
        lines.append(
            f"Begins with pass {passes.start} of {last}: the stock must be as the passes before it leave it, "
            "clamped and zeroed as it was. In doubt cut in the air first and measure"
        )
    return tuple(lines)
