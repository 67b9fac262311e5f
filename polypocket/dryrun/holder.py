"""Whether the cutter's holder meets the block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion

__all__ = ["holder_faults"]


def holder_faults(context: Context, motion: Motion, met: Sequence[Piece]) -> Iterator[Fault]:
    """Yield a fault where the holder, whose face is ``stick_out`` above the tip, meets material."""
    if not met:
        return
    face = motion.lowest + context.job.cutter(motion.tool).stick_out
    top = max(piece.high for piece in met)
    yield context.fault(
        "holder-contact",
        motion.line,
        f"the holder's face, at Z {context.text(face)}, goes into material up to Z {context.text(top)}",
        "let the cutter stand out further, or take a longer one",
        amount=top - face,
    )
