"""A job, and the program that was made of it, on the screen and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from polypocket.dryrun import as_json
from polypocket.layout import SectionLayout
from polypocket.model.job import BlockJob, Section
from polypocket.plan.tally import tally_of
from polypocket.prove import Proof
from polypocket.prove.words import clamping_in_words, section_in_words, stock_in_words
from polypocket.screen.columns import columns
from polypocket.screen.grip import grip_document, grip_lines
from polypocket.screen.layout import layout_lines
from polypocket.screen.order import order_document, order_lines
from polypocket.screen.passes import passes_lines
from polypocket.screen.placed import placed_document, proof_placed_lines
from polypocket.screen.verdict import verdict_lines

__all__ = ["check_document", "job_lines", "proof_lines"]


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


def proof_lines(proof: Proof | None, machine: str | None, job: BlockJob) -> Iterator[str]:
    """Yield the passes of a job on a mill, and what their dry run found."""
    yield ""
    if proof is None:
        yield "Passes, lengths and time: name a mill with --machine"
        return
    yield f"Passes on {machine}"
    yield from passes_lines(tally_of(proof.programs), job.units)
    yield from order_lines(proof.stages)
    yield from proof_placed_lines(proof, job)
    yield ""
    yield from grip_lines(job, proof.placed.mill)
    yield from verdict_lines(proof.verdict, job.units, by_hand=proof.is_sheet)


def check_document(job: BlockJob, layout: Sequence[SectionLayout], proof: Proof | None) -> dict[str, Any]:
    """Return the same as what ``json.dumps`` takes; lengths mm."""
    return {
        "job": job.name,
        "ok": proof is None or proof.verdict.ok,
        "layout": [asdict(section) for section in layout],
        "passes": [tally._asdict() for tally in tally_of(proof.programs)] if proof else None,
        "order": order_document(proof.stages) if proof else None,
        "place": placed_document(proof.placed) if proof and not proof.is_sheet else None,
        "clampings": [placed_document(each) for each in proof.clampings] if proof else None,
        "grip": grip_document(job, proof.placed.mill) if proof else None,
        "dryrun": as_json(proof.verdict) if proof else None,
    }
