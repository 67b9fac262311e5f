"""Whether the cutter stands in the way of work that is turned with the swivel base."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.tolerances import CONTACT
from polypocket.reader.track import Track

__all__ = ["in_the_way"]


def in_the_way(context: Context, track: Track, motions: Sequence[Motion], before: float) -> Iterator[Fault]:
    """Yield a fault where the work is turned past a cutter that stands lower than its top and too near.

    Args:
        context: program, mill and job, with the setting to which the work is turned.
        track: the program.
        motions: those at this setting, in order; the first one begins where the cutter stood.
        before: the setting before, radians.
    """
    x, y, z = motions[0].start
    if context.turn == before or z >= 0.0 or not track.by_hand:
        return  # other programs begin anew, and say how high
    reach = max(math.hypot(*corner) for corner in context.job.stock.largest_outline().vertices)
    # A person may stand anywhere on the rim that the sheet tells of.
    away = min(math.hypot(x, y), track.outside) - context.job.only_cutter.radius
    if not away >= reach - CONTACT:  # nor where it is not known
        yield context.fault(
            "rapid-contact",
            motions[0].line,
            f"the work, which reaches {context.text(reach)} from its centre, is turned past the cutter",
            "move the cutter clear of all that turns before the swivel is set",
            key="turned",
        )
