"""How vise and stock stand on the table: the plan of the vise's body, and how high they bring the work zero."""

from __future__ import annotations

import math
from typing import Final

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.shape.outline import Outline, rectangle_outline

__all__ = ["faces_jaws", "parallels", "vise_body", "zero_height"]

#: Directions nearer than this are one, radians.
_TURNED: Final = 1e-9


def faces_jaws(job: BlockJob) -> bool:
    """Whether a face of the stock lies on each jaw."""
    towards = math.pi / 2.0 if job.clamping.jaws_along == "x" else 0.0
    return all(
        any(abs(math.remainder(direction - jaw, math.tau)) < _TURNED for direction, _ in job.stock.faces())
        for jaw in (towards, towards + math.pi)
    )


def vise_body(job: BlockJob, mill: Mill) -> Outline | None:
    """Return the plan of the vise's body, its swivel at 0, centred under the jaws; ``None`` for no vise."""
    if mill.vise is None or job.clamping.grip != "vise":
        return None
    x, y, _ = mill.vise.body
    if job.clamping.jaws_along == "y":
        x, y = y, x
    return rectangle_outline(x, y)


def parallels(job: BlockJob, mill: Mill) -> float:
    """Return how high the stock is packed up in the jaws, mm: they are higher by so much than what is held."""
    if mill.vise is None or job.clamping.grip != "vise":
        return 0.0
    return mill.vise.jaw_height - job.clamping.held


def zero_height(job: BlockJob, mill: Mill) -> float | None:
    """Return the machine's Z at the work zero, the stock's top, with the vise standing on the table, mm.

    The jaws' top is the body's; above it there is what is not held. ``None`` where the mill file does not give the
    table's Z, or where the stock is on a plate, of which nobody knows how thick it is. As the table's Z it holds for
    the cutter with which that was measured.
    """
    if mill.table is None or mill.vise is None or job.clamping.grip != "vise":
        return None
    return mill.table.z + mill.vise.body[2] + job.stock.thickness - job.clamping.held
