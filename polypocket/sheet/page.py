"""The sheet as one HTML file: drawings, tables and the passes in it, nothing fetched from anywhere.

A program with errors gets no sheet to carry: ``write`` leaves no such program, and its page is made only so that a
person can see what is wrong, pass by pass. Every part of it says DO NOT RUN, it has no checksum by which a program on
the control could be taken for it, no checks and no signature.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import PurePath
from typing import Any, NamedTuple

from polypocket.errors import InputError
from polypocket.model.job import BlockJob
from polypocket.model.shipped import material_notes
from polypocket.plan.tally import Tally, tally_of
from polypocket.prove import Proof
from polypocket.prove.checksum import checksum_of, short_form
from polypocket.prove.words import section_in_words, stock_in_words
from polypocket.screen.columns import duration
from polypocket.screen.passes import numbers_text
from polypocket.sheet.bars import bars_of
from polypocket.sheet.cautions import AFTER, BEFORE, BEFORE_AGAIN, CAUTIONS, DEFER
from polypocket.sheet.checks import checks_of
from polypocket.sheet.clamping import clamping_drawings
from polypocket.sheet.drawable import require_drawable
from polypocket.sheet.flip_book import flip_book
from polypocket.sheet.hold import by_hand_rows, clamping_rows, cutter_rows, stock_rows
from polypocket.sheet.part import part_drawing
from polypocket.sheet.projection import Projection, projection_sign
from polypocket.sheet.recorder import Recorder
from polypocket.sheet.section_drawing import section_drawing
from polypocket.sheet.sizes import angle_text, deviation_text, size_text
from polypocket.sheet.svg import svg_of

__all__ = ["ProgramRow", "Turn", "page_of"]


#: Sizes on paper for up to two sections and one cutter, and for one more of either, and two more, and any number.
_SIZES = (1.0, 0.92, 0.86, 0.75)


class ProgramRow(NamedTuple):
    """A program as the title block names it: file, number of lines, checksum in short and in full."""

    name: str
    lines: int
    short: str
    checksum: str


class Turn(NamedTuple):
    """Which of several clampings a page is for: its number from 1, and how many there are."""

    number: int = 1
    of: int = 1


_ONLY = Turn()


def page_of(
    job: BlockJob,
    dialect: str,
    proof: Proof,
    recorder: Recorder,
    projection: Projection,
    turn: Turn = _ONLY,
) -> str:
    """Return the page of a proof whose dry run was recorded.

    Args:
        job: the job.
        dialect: its name.
        proof: of the job on the mill.
        recorder: that looked on at the proof's dry run.
        projection: of the drawings.
        turn: which of several programs, each in a clamping of its own, the page is for.

    Raises:
        InputError: the program asks for what the drawings do not know.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined  # late: nothing else needs it

    if proof.is_sheet:
        raise InputError("no sheet: for a mill without a control, write leaves the sheet to work by")
    require_drawable(proof.programs)
    mill = proof.placed.mill
    environment = Environment(
        loader=PackageLoader("polypocket.sheet", "page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    part = part_drawing(job, projection)
    swivel = proof.parts[0].program.setups[0].swivel
    return environment.get_template("sheet.html").render(
        job=job,
        mill=mill,
        dialect=dialect,
        ok=proof.verdict.ok,
        findings=proof.verdict.findings,
        programs=_programs(proof),
        unit="mm" if job.units == "mm" else "in",
        projection=projection,
        projection_sign=svg_of(projection_sign(projection)),
        scale=part.scale,
        part=svg_of(part.drawing),
        sections=[svg_of(section_drawing(job, number)) for number in range(1, len(job.sections) + 1)],
        section_words=[section_in_words(job, section) for section in job.sections],
        tolerance_size=deviation_text(size_text(job.tolerance.size, job.units), job.units),
        tolerance_angle=deviation_text(angle_text(job.tolerance.angle)),
        clamping=[svg_of(drawing) for drawing in clamping_drawings(job, mill, swivel)],
        clamping_rows=[*clamping_rows(job, proof.placed), *by_hand_rows(job, proof)],
        turned=bool(swivel),
        turn=turn,
        this_clamping=proof.parts[0].clamping if turn.of > 1 else (),
        on_paper=_size_on_paper(job),
        stock_words=stock_in_words(job.stock, job.units),
        stock_rows=stock_rows(job),
        cutters=[(_cutter(job, cutter.number), cutter_rows(job, mill, cutter)) for cutter in job.cutters],
        bars=[(bar, svg_of(bar.bar) if bar.bar else "") for bar in bars_of(proof.verdict.travel, mill.units)],
        travel_title="Travel, machine coordinates" if mill.homed else "Room needed from the work zero",
        mill_unit="mm" if mill.units == "mm" else "in",
        duration=duration(proof.verdict.seconds),
        tallies=[_tally(tally, job) for tally in tally_of(proof.programs)],
        checks=checks_of(job) if turn.number == turn.of else (),
        cautions=CAUTIONS,
        before=BEFORE if turn.number == 1 else BEFORE_AGAIN,
        after=AFTER,
        defer=DEFER,
        material=material_notes().get(job.stock.material, {}),
        book=_embedded(flip_book(job, proof, recorder)),
    )


def _size_on_paper(job: BlockJob) -> float:
    """Return in what share of its usual size a sheet is printed, so that each goes on one page."""
    crowded = max(len(job.sections) - 2, 0) + max(len(job.cutters) - 1, 0)
    return _SIZES[min(crowded, len(_SIZES) - 1)]


def _programs(proof: Proof) -> list[ProgramRow]:
    return [
        ProgramRow(
            PurePath(part.name).name,
            part.text.count("\n"),
            short_form(checksum_of(part.text)),
            checksum_of(part.text),
        )
        for part in proof.parts
    ]


def _cutter(job: BlockJob, number: int) -> str:
    return "Cutter" if len(job.cutters) == 1 else f"Cutter {number}"


def _tally(tally: Tally, job: BlockJob) -> dict[str, Any]:
    depths: Sequence[str] = [size_text(depth, job.units) for depth in tally.levels]
    return {
        "feature": tally.feature,
        "role": tally.role,
        "numbers": numbers_text(tally).replace(" to ", "–"),
        "first": tally.first,
        "passes": tally.passes,
        "depths": ", ".join(depths),
    }


def _embedded(data: dict[str, Any]) -> str:
    """Return data as JSON that can stand in a page: nothing in it ends the element that holds it."""
    return json.dumps(data, separators=(",", ":"), allow_nan=False).replace("<", "\\u003c")
