"""Whether the edges at which a person touches off stand where the sheet takes them to be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Material
from polypocket.dryrun.tiles import Standing, whole
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.reader.track import Asked

__all__ = ["edge_faults"]

#: An edge that is shorter than this cannot be touched like one, mm. Common practice, no source.
_LONG_ENOUGH = 1.5
#: Sides in the order in which the track numbers them, and where each is in the bounds of what stands, with its sign.
_SIDES = (("+X", 2, 1.0), ("+Y", 3, 1.0), ("-X", 0, -1.0), ("-Y", 1, -1.0))


def edge_faults(
    context: Context, touched: Sequence[Asked], material: Material, height: float
) -> Iterator[Fault]:
    """Yield a fault for each edge that stands elsewhere than the sheet says: all its readings would be out by that.

    Args:
        context: program, mill and job.
        touched: what is touched.
        material: as it stands then.
        height: of the cutter's tip, mm: it touches what stands above.
    """
    beside = [slab.standing for slab in material.slabs if slab.high > height + HEIGHT]
    bounds = [standing.bounds for standing in beside]
    for asked in touched:
        name, place, sign = _SIDES[asked.number]
        stands = max((sign * each[place] for each in bounds), default=0.0)
        if abs(stands - asked.value) > CONTACT + context.slack:
            yield context.fault(
                "size",
                asked.line,
                f"the edge towards {name} stands {context.text(stands)} from the centre, not "
                f"{context.text(asked.value)}: all that is read from it is out by the difference",
                "touch off at an edge that is known, or correct the readings",
                key=f"{asked.line}",
                amount=abs(stands - asked.value),
            )
        elif (
            beside and asked.kind == "edge" and _length(beside, asked.number % 2, sign, stands) < _LONG_ENOUGH
        ):
            yield context.fault(
                "size",
                asked.line,
                f"towards {name} there is a corner or a curve and no edge: touched beside it, the zero and every pass "
                "are too deep",
                f"write TOUCH {name} CORNER, and look for where it stands furthest out",
                key=f"corner {asked.line}",
            )


def _length(beside: Sequence[Standing], axis: int, sign: float, stands: float) -> float:
    """Return how long what stands furthest out towards a side is, mm."""
    corners = np.concatenate([shapely.get_coordinates(whole(standing)) for standing in beside])
    along = corners[sign * corners[:, axis] > stands - CONTACT, 1 - axis]
    return float(np.ptp(along))
