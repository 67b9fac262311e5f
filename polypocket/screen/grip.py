"""How the vise holds the stock, on the screen and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from polypocket.model.grip import grip_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.screen.lengths import Lengths

__all__ = ["grip_document", "grip_lines"]


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


def grip_document(job: BlockJob, mill: Mill) -> dict[str, Any] | None:
    """Return the same as ``json.dumps`` takes it; mm."""
    grip = grip_of(job, mill)
    return None if grip is None else grip._asdict()
