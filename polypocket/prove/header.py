"""What stands at the head of a program, for the person at the machine."""

from __future__ import annotations

from collections.abc import Iterator

from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.prove.words import clamping_in_words, lengths_in, section_in_words, stock_in_words

__all__ = ["header_of", "part_in_words"]


def header_of(job: BlockJob, mill: Mill, dialect: str, swivel: float = 0.0) -> tuple[str, ...]:
    """Return the lines that say what the program is for and what must be so before it is started."""
    on_mill = lengths_in(mill.units)
    zero = zip("XYZ", mill.work_offsets[mill.work_offset], strict=True)
    return (
        f"Job: {job.name}",
        f"Mill: {mill.name}; dialect: {dialect}",
        "Prove it in the air first, without a cutter, guards in place, eyes protected, no gloves. The mill's manual, "
        "local rules and a qualified person come before this program.",
        f"Material: {job.stock.material}",
        f"Stock: {stock_in_words(job.stock, job.units)}",
        *(f"Section {i + 1}: {section_in_words(job, section)}" for i, section in enumerate(job.sections)),
        f"Clamping: {clamping_in_words(job.clamping, job.units)}",
        *_swivel_in_words(job, swivel),
        f"Zero: {mill.work_offset}, X0 Y0 on the block's centre, Z0 on the stock's top",
        f"Zero in machine coordinates: {', '.join(f'{axis} {on_mill(value)}' for axis, value in zero)}",
        *_cutters_in_words(job, mill),
        "Before the start: cutter above everything on the table, zero set, nothing loose, way clear",
    )


def _swivel_in_words(job: BlockJob, swivel: float) -> tuple[str, ...]:
    """Return how the swivel base has to stand, where it is not a matter of course."""
    if job.clamping.swivel_settings == (0.0,):
        return ()
    turned = (
        f"{degrees_text(abs(swivel))}° {'anticlockwise' if swivel > 0.0 else 'clockwise'} seen from above"
    )
    return (f"Swivel base at {turned if swivel else '0°'}; set it first, then pick up the zero",)


def _cutters_in_words(job: BlockJob, mill: Mill) -> Iterator[str]:
    if len(job.cutters) > 1:
        first = job.cutters[0]
        if mill.length_offset:
            yield "Lengths: register H of each cutter's number must hold its length. Look at them before the start"
        else:
            yield f"Z0 is touched off with each cutter; in machine coordinates it is told for cutter {first.number}"
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


def part_in_words(part: str, passes: range, last: int) -> tuple[str, ...]:
    """Return what tells a program of some of a job's passes from one of all; nothing where it has them all."""
    lines = []
    if part:
        lines.append(
            f"This is {part}: passes {passes.start} to {passes.stop - 1}; run the parts in their order"
        )
    if passes.start > 1:
        lines.append(
            f"Begins with pass {passes.start} of {last}: the stock must be as the passes before it leave it, "
            "clamped and zeroed as it was. In doubt cut in the air first and measure"
        )
    return tuple(lines)
