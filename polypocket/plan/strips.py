"""Which strips take the material off, flat by flat, and in which order.

Strips are as wide as the stepover, counted outwards from where the flat is to be, so that those of neighbouring flats
meet at the corners; the outermost strip of a flat takes what is over. A flat has as few strips as it can that way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from polypocket.model.job import NOTHING_LEFT
from polypocket.plan.clearances import SIDE
from polypocket.plan.cuts import Cut, cut_along
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = [
    "Order",
    "Situation",
    "corner_by_corner",
    "flat_by_flat",
    "nearest_first",
    "next_line",
    "strips",
]

#: Distances nearer than this are the same, mm.
_SAME = 1e-6

Flats = Mapping[int, Line]
Pair = tuple[float, float]


class Situation(NamedTuple):
    """What an order has to go by.

    Attributes:
        cuts: made so far.
        pending: each flat that still has material, and the line to which its next strip goes.
        standing: what stands.
        flats: all flats and the lines to which they go in the end.
    """

    cuts: Sequence[Cut]
    pending: Flats
    standing: Outline
    flats: Flats

    def distance(self, flat: int) -> float:
        """From the centre to a flat's next line, mm; less than any where nothing is left to cut."""
        return self.pending[flat].distance if flat in self.pending else -math.inf

    def next_round(self) -> int:
        """Return the next flat anticlockwise that still has material."""
        first = min(self.pending)
        return min(
            (flat for flat in self.pending if self.cuts and flat > self.cuts[-1].flats[-1]), default=first
        )


Order = Callable[[Situation], int]


def next_line(reach: float, target: Line, stepover: float) -> Line | None:
    """Return the line to which a flat's next strip goes, where material reaches ``reach`` mm out; ``None`` for none."""
    depth = reach - target.distance
    if depth <= NOTHING_LEFT:
        return None
    strips_after = math.ceil((depth - _SAME) / stepover) - 1
    return Line(target.direction, target.distance + strips_after * stepover)


def strips(
    outline: Outline,
    flats: Flats,
    radius: float,
    stepover: float,
    order: Order,
    beside: float = SIDE,
) -> tuple[Cut, ...]:
    """Return the cuts that bring ``outline`` down to ``flats``, in the given order.

    Args:
        outline: what stands.
        flats: each flat's number and the line to which its material is to be taken.
        radius: of the cutter, mm.
        stepover: width of each strip but the outermost of a flat, which takes what is over, mm.
        order: decides which flat comes next.
        beside: what the cutter keeps from the material when it leaves, mm.
    """
    cuts: list[Cut] = []
    taken = dict.fromkeys(flats, 0)
    standing = outline
    outermost: dict[int, Pair] = {}
    pending: dict[int, Line] = {}
    changed = list(flats)
    while True:
        for flat in changed:
            reach, outermost[flat] = standing.furthest(flats[flat].direction)
            if (line := next_line(reach, flats[flat], stepover)) is not None:
                pending[flat] = line
            else:
                pending.pop(flat, None)
        if not pending:
            return tuple(cuts)
        flat = order(Situation(cuts, pending, standing, flats))
        taken[flat] += 1
        line = pending[flat]
        cuts.append(cut_along(flat, taken[flat], line, standing, radius, beside))
        standing = cuts[-1].after
        # Only a flat that has lost its outermost material has less of it now.
        changed = line.outside(outermost)


def flat_by_flat(so_far: Situation) -> int:
    """Finish a flat before the next one anticlockwise is begun."""
    if so_far.cuts and so_far.cuts[-1].flats[-1] in so_far.pending:
        return so_far.cuts[-1].flats[-1]
    return so_far.next_round()


def corner_by_corner(so_far: Situation) -> int:
    """Go on anticlockwise while the next flat stands as far out, then back to where that began, one strip deeper."""
    if not so_far.cuts:
        return max(so_far.pending, key=lambda flat: (so_far.pending[flat].distance, -flat))
    ring = sorted(so_far.flats)
    at = ring.index(so_far.cuts[-1].flats[-1])
    following = ring[(at + 1) % len(ring)]
    if so_far.distance(following) >= so_far.cuts[-1].lines[-1].distance - _SAME:
        return following
    if ring[at] not in so_far.pending:
        return so_far.next_round()
    for back in range(1, len(ring)):
        if so_far.distance(ring[at - back]) < so_far.distance(ring[at]) - _SAME:
            return ring[at - back + 1]
    return following


def nearest_first(so_far: Situation) -> int:
    """Take the flat whose next strip begins nearest to where the last one ended."""
    if not so_far.cuts:
        return min(so_far.pending)
    here = so_far.cuts[-1].path[-1].to

    def distance(flat: int) -> float:
        line = so_far.pending[flat]
        return math.dist(here, line.point(line.begins(so_far.standing)))

    return min(so_far.pending, key=distance)
