"""What a person sets up, in rows of words: clamping, stock and cutter, with what to check on them."""

from __future__ import annotations

from typing import TypeAlias

from polypocket.model.cutter import Cutter
from polypocket.model.grip import grip_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.program import Ask
from polypocket.prove import Proof
from polypocket.prove.header import zero_in_words
from polypocket.prove.placing import Placed
from polypocket.prove.words import lengths_in
from polypocket.sheet.clamping import parallels_height
from polypocket.sheet.outlines import reach
from polypocket.sheet.sizes import size_text

__all__ = ["Rows", "by_hand_rows", "clamping_rows", "cutter_rows", "stock_rows"]

Rows: TypeAlias = list[tuple[str, str]]


def clamping_rows(job: BlockJob, placed: Placed) -> Rows:
    """Return how the work is held, and where the zero is."""
    mill, swivel, length = placed.mill, placed.swivel, lengths_in(job.units)
    clamping, rows = job.clamping, []
    if clamping.grip == "vise":
        along = "X, left to right" if clamping.jaws_along == "x" else "Y, away from you"
        opening = 2.0 * reach(job.stock)[1 if clamping.jaws_along == "x" else 0]
        rows += [
            (
                "grip",
                f"vise, jaws along {along}{' before it is turned' if swivel else ''}; opened {length(opening)}",
            ),
            ("swivel base", _setting(swivel)),
            (
                "in the jaws",
                f"{length(clamping.held)}; {length(job.stock.thickness - clamping.held)} stand above them",
            ),
            ("parallels", _parallels(job, mill)),
        ]
        grip = grip_of(job, mill)
        rows += [("caution", caution) for caution in (grip.cautions if grip is not None else ())]
    else:
        above = (
            f"clamps at most {length(clamping.clamp_height)} above the top, inside the smallest section"
            if clamping.clamp_height
            else "from below: nothing above the stock's top"
        )
        rows += [("grip", f"on a plate, {above}")]
    rows.append(("zero", f"{mill.work_offset}: X0 Y0 centre of the block, Z0 top of the stock"))
    for line in zero_in_words(placed, job):
        at = line.removeprefix("Zero in machine coordinates: ")
        rows.append(("zero, machine" if at != line else "", at))
    return rows


def by_hand_rows(job: BlockJob, proof: Proof) -> Rows:
    """Return what a person does at the program's stops; nothing where it asks for nothing."""
    asks = [item for part in proof.parts for item in part.program.setups[0].items if isinstance(item, Ask)]
    heights = [ask.value for ask in asks if ask.kind == "height" and ask.value is not None]
    rows: Rows = []
    if heights:
        each_once = dict.fromkeys(heights)  # the first is asked for again of the cutter that is put in
        told = ", ".join(size_text(height, job.units) for height in each_once)
        unit = "mm" if job.units == "mm" else "in"
        rows.append(
            (
                "height by hand",
                f"at stops, spindle standing still: Z {told} {unit}; unlock, set, lock, hands away",
            )
        )
    for axis in ("x", "y"):
        if settings := sum(ask.kind == axis for ask in asks):
            name = axis.upper()
            words = (
                f"set {settings} times, at stops, spindle standing still; readout or dial at 0 on the block's centre; "
                "40 FROM 50: first to 50, then back to 40; unlock, set, lock, hands away"
            )
            rows.append((f"{name} by hand", words))
    if any(ask.kind == "spindle" for ask in asks):
        rows.append(("spindle by hand", "started and stopped where the program asks for it, only then go on"))
    return rows


def stock_rows(job: BlockJob) -> Rows:
    """Return what to check on the stock."""
    length, stock = lengths_in(job.units), job.stock
    largest = (
        f"no more than {length(stock.oversize)} over, none under"
        if stock.oversize
        else "none over, none under"
    )
    bottom = length(stock.thickness - max(section.depth for section in job.sections))
    return [
        ("check sizes", largest),
        ("check faces", "top and bottom flat and parallel; those that are clamped, square to them"),
        ("stays uncut", f"{bottom} at the bottom"),
    ]


def cutter_rows(job: BlockJob, mill: Mill, cutter: Cutter) -> Rows:
    """Return one of a job's cutters, how it is led, and what to check on it before it goes into the spindle."""
    length, cut = lengths_in(job.units), cutter.cut
    own = [(i, each) for i, each in enumerate(job.sections, start=1) if each.cutter == cutter.number]
    deepest = max(section.depth for _, section in own)
    kind = "carbide" if cutter.material == "carbide" else "high-speed steel"
    rows = []
    if len(job.cutters) > 1:
        rows.append(("cuts", f"section {' and '.join(str(number) for number, _ in own)}"))
        if mill.length_offset:
            rows.append(("length", f"register H{cutter.number} must hold it: look at it first"))
        else:
            rows.append(("length", "touch Z off anew with it"))
    rows += [
        (
            f"cutter {cutter.number}",
            f"end mill, ⌀ {length(cutter.diameter)}, {cutter.flutes} flutes, {kind}",
        ),
        ("check", "edges sharp, none chipped; shank and holder clean; diameter by micrometer; run-out"),
        (
            "lengths",
            f"flutes at least {length(cutter.flute_length)}, {length(cutter.stick_out)} out of the holder; "
            f"deepest floor {length(deepest)}",
        ),
    ]
    if cutter.holder_diameter is not None:
        rows.append(("holder", f"nose no thicker than {length(cutter.holder_diameter)}"))
    if cut.size_from_control:
        rows.append(
            (
                f"register D{cutter.number}",
                f"radius as measured less {length(cutter.path_radius)}: look at it first",
            )
        )
    gear = "" if mill.spindle.controlled else "; started by hand"
    rows += [
        ("spindle, feed", f"{cut.spindle_rpm:g} a minute clockwise{gear}; {length(cut.feed)} a minute"),
        (
            "cut",
            f"{cut.direction}, {length(cut.stepover)} wide"
            + (f", {length(cut.finish_allowance)} left for finishing" if cut.finish_allowance else ""),
        ),
    ]
    return rows


def _parallels(job: BlockJob, mill: Mill) -> str:
    height = parallels_height(job, mill)
    if height is None:
        return "the mill file does not tell how high the jaws are: pack the stock to the height in the jaws"
    if height <= 0.0:
        return "none: the stock lies on the bed of the vise"
    high = lengths_in(job.units)(height)
    return f"{high} high; on lower ones the cutter comes nearer to the jaws, on higher less is held"


def _setting(swivel: float) -> str:
    if not swivel:
        return "at 0°"
    way = "anticlockwise" if swivel > 0.0 else "clockwise"
    return f"at {degrees_text(abs(swivel))}° {way} seen from above; set it first, then pick up the zero"
