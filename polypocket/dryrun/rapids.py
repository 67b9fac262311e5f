"""Whether a rapid, or a motion from a place that is not known, may hit something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion

__all__ = ["rapid_faults", "unknown_faults"]


def rapid_faults(context: Context, motion: Motion, met: Sequence[Piece]) -> Iterator[Fault]:
    """Yield a fault where a rapid meets material."""
    if not met:
        return
    top = max(piece.high for piece in met)
    box = motion.moves_across and context.mill.rapid_path == "independent"
    way = "on its way (the axes need not arrive together)" if box else "on its way"
    yield context.fault(
        "rapid-contact",
        motion.line,
        f"a rapid meets material {way}, which stands up to Z {context.text(top)}, "
        f"at Z {context.text(motion.lowest)}",
        "lift above the material first, go round it, or use a feed move",
        amount=top - motion.lowest,
    )


def unknown_faults(context: Context, motion: Motion) -> Iterator[Fault]:
    """Yield a fault where a motion starts or ends in the unknown and its height may be below an obstacle.

    Up or down to a height above everything is the safe first motion, and from there anywhere.
    """
    top = context.job.clamping.clamp_height
    start, end = motion.start[2], motion.end[2]
    straight_up_or_down = not motion.moves_across or _same(motion)
    height = end if straight_up_or_down else math.nan if math.isnan(start + end) else min(start, end)
    if height >= top:
        return
    known = "its height is not known" if math.isnan(height) else f"it goes to Z {context.text(height)}"
    yield context.fault(
        "rapid-contact",
        motion.line,
        f"moves before the program has said where the cutter is: {known}",
        f"go first to a Z above {context.text(top)}, with no other axis",
        key="unknown",
    )


def _same(motion: Motion) -> bool:
    """Whether X and Y stay, known or not."""
    return all(
        a == b or (math.isnan(a) and math.isnan(b))
        for a, b in zip(motion.start[:2], motion.end[:2], strict=True)
    )
