"""A job, and the program that was made of it, on the screen and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from polypocket.dryrun import as_json
from polypocket.layout import SectionLayout
from polypocket.model.job import BlockJob, Section
from polypocket.plan.tally import tally_of
from polypocket.prove import Proof
from polypocket.prove.words import clamping_in_words, section_in_words, stock_in_words
from polypocket.screen.columns import columns, duration
from polypocket.screen.layout import layout_lines
from polypocket.screen.passes import passes_lines
from polypocket.screen.verdict import findings_lines, verdict_lines
from polypocket.units import Units

__all__ = ["check_document", "job_lines", "proof_lines", "written_lines"]


def job_lines(job: BlockJob, layout: Sequence[SectionLayout]) -> Iterator[str]:
    """Yield what is true of a job on every mill."""
    yield job.name
    yield ""
    rows = [
        ["stock", f"{stock_in_words(job.stock, job.units)}, {job.stock.material}"],
        *(
            [f"section {i}", f"{section_in_words(job, section)}{_cut_with(job, section)}"]
            for i, section in enumerate(job.sections, start=1)
        ),
        ["clamping", clamping_in_words(job.clamping, job.units)],
    ]
    yield from columns(rows, head=False)
    yield ""
    yield from layout_lines(layout, job.units)


def _cut_with(job: BlockJob, section: Section) -> str:
    return f", cutter {section.cutter}" if len(job.cutters) > 1 else ""


def proof_lines(proof: Proof | None, machine: str | None, units: Units) -> Iterator[str]:
    """Yield the passes of a job on a mill, and what their dry run found."""
    yield ""
    if proof is None:
        yield "Passes, lengths and time: name a mill with --machine"
        return
    yield f"Passes on {machine}"
    yield from passes_lines(tally_of(proof.programs), units)
    yield ""
    yield from verdict_lines(proof.verdict, units)


def written_lines(paths: Sequence[Path], proof: Proof, units: Units) -> Iterator[str]:
    """Yield what was written, and what to do before it is run."""
    at_the_mill = f"{duration(proof.verdict.seconds)} at the mill"
    for path, part in zip(paths, proof.parts, strict=True):
        written = f"{path}: written, {part.text.count(chr(10))} lines"
        yield written if len(paths) > 1 else f"{written}, {at_the_mill}"
    if len(paths) > 1:
        yield at_the_mill
    yield from passes_lines(tally_of(proof.programs), units)
    yield from findings_lines(proof.verdict)
    if len(paths) > 1:
        yield "Run the parts in their order, on the same stock, without moving it."
    yield "Prove it in the air first, without a cutter."


def check_document(job: BlockJob, layout: Sequence[SectionLayout], proof: Proof | None) -> dict[str, Any]:
    """Return the same as what ``json.dumps`` takes; lengths mm."""
    return {
        "job": job.name,
        "ok": proof is None or proof.verdict.ok,
        "layout": [asdict(section) for section in layout],
        "passes": [asdict(tally) for tally in tally_of(proof.programs)] if proof else None,
        "dryrun": as_json(proof.verdict) if proof else None,
    }
