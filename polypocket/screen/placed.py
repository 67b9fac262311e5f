"""Where a program wants the work, on the screen and as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from polypocket.model.job import BlockJob
from polypocket.model.settings import degrees_text
from polypocket.prove import Proof
from polypocket.prove.header import zero_in_words
from polypocket.prove.placing import Placed
from polypocket.units import MM_PER_INCH

__all__ = ["placed_document", "placed_lines", "proof_placed_lines"]


def placed_lines(placed: Placed, job: BlockJob) -> Iterator[str]:
    """Yield what a person must set before a program is run that was made for a place chosen here."""
    if placed.swivel or (placed.place is not None and placed.mill.homed and not placed.chosen):
        yield f"Swivel base at {degrees_text(placed.swivel)}°"
    yield from _zero_lines(placed, job)


def _zero_lines(placed: Placed, job: BlockJob) -> Iterator[str]:
    if placed.chosen or not placed.mill.homed:
        yield from zero_in_words(placed, job)


def proof_placed_lines(proof: Proof, job: BlockJob) -> Iterator[str]:
    """Yield where the zero is, of every clamping where there are several."""
    if proof.is_sheet:
        return
    if not proof.clampings:
        yield from placed_lines(proof.placed, job)
    for part, placed in zip(proof.parts, proof.clampings, strict=False):
        yield f"{part.name}, a clamping of its own, swivel base at {degrees_text(placed.swivel)}°:"
        yield from _zero_lines(placed, job)
    if any(placed.chosen for placed in proof.clampings):
        told = (f"--zero {i}={_of_file(placed)}" for i, placed in enumerate(proof.clampings, start=1))
        yield f"To dry-run them again with this mill file: {' '.join(told)}"


def _of_file(placed: Placed) -> str:
    """Return a zero as ``dryrun --zero`` takes it: in the mill file's units."""
    scale = MM_PER_INCH if placed.mill.units == "inch" else 1.0
    zero = placed.mill.work_offsets[placed.mill.work_offset]
    return ",".join(f"{round(value / scale, 4):g}" for value in zero)


def placed_document(placed: Placed) -> dict[str, Any]:
    """Return the setting and the work zero that a program holds for, as ``json.dumps`` takes it; mm and degrees."""
    zero = placed.mill.work_offsets.get(placed.mill.work_offset) if placed.mill.homed else None
    return {"swivel": round(math.degrees(placed.swivel), 9), "zero": zero, "chosen": placed.chosen}
