"""What was written, on the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from polypocket.model.job import BlockJob
from polypocket.plan.tally import tally_of
from polypocket.program import stops_of
from polypocket.prove import Proof
from polypocket.prove.checksum import checksum_of, short_form
from polypocket.prove.header import begins_in_words
from polypocket.screen.columns import duration
from polypocket.screen.grip import caution_lines
from polypocket.screen.passes import passes_lines
from polypocket.screen.placed import proof_placed_lines
from polypocket.screen.verdict import findings_lines, time_by_hand

__all__ = ["written_lines"]


def written_lines(
    paths: Sequence[Path], proof: Proof, job: BlockJob, replaced: Collection[Path] = ()
) -> Iterator[str]:
    """Yield what was written, with the checksum that the sheet prints too, and what to do before it is run."""
    at_the_mill = f"{duration(proof.verdict.seconds)} at the mill"
    if proof.is_sheet:
        at_the_mill = time_by_hand(proof.verdict.seconds)
    elif proof.clampings:
        at_the_mill += ", turning or moving the vise in between not counted"
    for path, part in zip(paths, proof.parts, strict=True):
        how = "replaced" if path in replaced else "written"
        checksum = short_form(checksum_of(part.text))
        written = f"{path}: {how}, {part.text.count(chr(10))} lines, checksum {checksum}"
        yield written if len(paths) > 1 else f"{written}, {at_the_mill}"
        if proof.before or len(paths) > 1:
            yield from (f"  {line}" for line in begins_in_words(job, part.program))
    if len(paths) > 1:
        yield at_the_mill
    stops = sum(stops_of(setup.items) for program in proof.programs for setup in program.setups)
    if not proof.is_sheet and stops > len(paths):
        yield f"{stops} stops for a person, whose time is not counted"
    yield from passes_lines(tally_of(proof.programs), job.units)
    yield from proof_placed_lines(proof, job)
    yield from caution_lines(job, proof.placed.mill)
    yield from findings_lines(proof.verdict)
    if proof.clampings:
        yield "Run the parts in their order, each in its own clamping, as its first lines say."
    elif len(paths) > 1:
        yield "Run the parts in their order, on the same stock, without moving it."
    if proof.is_sheet:
        yield "Read it through at the mill before the first line is done."
    else:
        yield "Prove it in the air first, without a cutter."
