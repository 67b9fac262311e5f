"""Whether a rapid, or a motion from a place that is not known, may hit something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Material, Piece, meets
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.sweeps import Sweepers
from polypocket.dryrun.tolerances import CONTACT, ROUNDING

__all__ = ["near_faults", "rapid_faults", "unknown_faults"]


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


def near_faults(
    context: Context, before: Motion | None, motion: Motion, material: Material, sweepers: Sweepers
) -> Iterator[Fault]:
    """Yield a fault where a rapid by hand does not keep the job's clearance from the material beside it.

    The one that leaves the wall which was cut ``before``, square to the cut, begins at it.
    """
    if not context.beside or (before is not None and not before.is_rapid and _are_square(before, motion)):
        return
    keeps = context.job.cutter(motion.tool).radius + context.beside - context.slack - CONTACT
    if not meets(material, motion, sweepers(motion, keeps), anywhere=True):
        return
    yield context.fault(
        "rapid-contact",
        motion.line,
        f"on its way the cutter comes nearer to the work than the job's clearance, {context.text(context.beside)}",
        "begin and go back further outside",
        key="near",
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


def _are_square(one: Motion, other: Motion) -> bool:
    """Whether two straight motions are square to each other in the plane."""
    (x1, y1), (x2, y2) = ((each.end[0] - each.start[0], each.end[1] - each.start[1]) for each in (one, other))
    return abs(x1 * x2 + y1 * y2) <= ROUNDING


def _same(motion: Motion) -> bool:
    """Whether X and Y stay, known or not."""
    return all(
        a == b or (math.isnan(a) and math.isnan(b))
        for a, b in zip(motion.start[:2], motion.end[:2], strict=True)
    )
