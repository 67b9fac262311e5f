"""How the vise holds the stock, on the screen and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from polypocket.model.grip import grip_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.screen.lengths import Lengths

__all__ = ["NOT_JUDGED", "caution_lines", "grip_document", "grip_lines"]

#: Of what a dry run knows nothing.
NOT_JUDGED = "Speed, feed, and what cutter, spindle and grip bear, are the job's own figures: nothing here judges them."


def grip_lines(job: BlockJob, mill: Mill) -> Iterator[str]:
    """Yield how the vise holds the stock; nothing on a plate."""
    grip = grip_of(job, mill)
    if grip is None:
        return
    lengths = Lengths(job.units)

    def length(mm: float) -> str:
        return f"{lengths.text(mm)} {lengths.unit}"

    yield (
        f"Grip: {length(grip.across)} between jaws that open to {length(grip.opening)}; {length(grip.held)} held in "
        f"jaws {length(grip.jaw_height)} high, on parallels of {length(grip.parallels)}"
    )
    ends = f"{length(grip.overhang)} beyond each end" if grip.overhang > 0.0 else "nothing beyond their ends"
    yield (
        f"      {length(grip.above)} above the jaws, {ends}; the deepest floor is {length(grip.floor)} above them and "
        f"{length(grip.under)} above the stock's underside"
    )
    yield from (f"      caution: {caution}" for caution in grip.cautions)


def caution_lines(job: BlockJob, mill: Mill) -> Iterator[str]:
    """Yield what to think about before the vise is trusted with the stock, and what has not been judged at all."""
    grip = grip_of(job, mill)
    yield from (f"Caution, grip: {caution}" for caution in (grip.cautions if grip is not None else ()))
    yield NOT_JUDGED


def grip_document(job: BlockJob, mill: Mill) -> dict[str, Any] | None:
    """Return the same as ``json.dumps`` takes it; mm."""
    grip = grip_of(job, mill)
    return None if grip is None else grip._asdict()
