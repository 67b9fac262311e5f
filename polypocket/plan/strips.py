"""Which strips take the material off, flat by flat, and in which order.

Each strip of a flat is as wide as the next one and no wider than the stepover. The width is worked out anew at each
turn, because a neighbour's cut may have taken the outermost of the material already.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from polypocket.plan.cuts import Cut, cut_along
from polypocket.shape.outline import Outline
from polypocket.shape.stroke import Line

__all__ = [
    "NOTHING_LEFT",
    "Order",
    "Situation",
    "corner_by_corner",
    "equal_width",
    "flat_by_flat",
    "nearest_first",
    "round_and_round",
    "strips",
]

#: Material thinner than this is none, mm: a tenth of the finest resolution a program is written with.
NOTHING_LEFT = 1e-4

#: Slack in counting strips: a depth that is a whole number of widths but for rounding takes just so many.
_WHOLE = 1e-9

#: Distances nearer than this are the same, mm.
_SAME = 1e-6

Flats = Mapping[int, Line]


@dataclass(frozen=True, slots=True)
class Situation:
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


Order = Callable[[Situation], int]


def strips(
    outline: Outline, flats: Flats, radius: float, widest: float, order: Order, width: float | None = None
) -> tuple[Cut, ...]:
    """Return the cuts that bring ``outline`` down to ``flats``, in the given order.

    Args:
        outline: what stands.
        flats: each flat's number and the line to which its material is to be taken.
        radius: of the cutter, mm.
        widest: a strip may be, mm.
        order: decides which flat comes next.
        width: of the strips of all flats, so that they meet at the corners; without it each flat's material is
            shared out for itself, which may take fewer strips.
    """
    cuts: list[Cut] = []
    taken = dict.fromkeys(flats, 0)
    standing = outline

    while True:
        pending: dict[int, Line] = {}
        for flat, target in flats.items():
            depth = standing.support(target.direction) - target.distance
            if depth > NOTHING_LEFT:
                each = width or equal_width(depth, widest)
                strips_after = math.ceil((depth - _SAME) / each) - 1
                pending[flat] = Line(target.direction, target.distance + strips_after * each)
        if not pending:
            return tuple(cuts)
        flat = order(Situation(cuts, pending, standing, flats))
        taken[flat] += 1
        cuts.append(cut_along(flat, taken[flat], pending[flat], standing, radius))
        standing = cuts[-1].after


def equal_width(depth: float, widest: float) -> float:
    """Width of the fewest equal strips that are no wider than ``widest``."""
    return depth / max(1, math.ceil(depth / widest - _WHOLE))


def flat_by_flat(so_far: Situation) -> int:
    """Finish a flat before the next one anticlockwise is begun."""
    if so_far.cuts and so_far.cuts[-1].flats[-1] in so_far.pending:
        return so_far.cuts[-1].flats[-1]
    return round_and_round(so_far)


def round_and_round(so_far: Situation) -> int:
    """One strip of each flat in turn, anticlockwise."""
    first = min(so_far.pending)
    return min(
        (flat for flat in so_far.pending if so_far.cuts and flat > so_far.cuts[-1].flats[-1]), default=first
    )


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
        return round_and_round(so_far)
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
        begins = min(u for u, v in line.frame(so_far.standing) if v > line.distance)
        return math.dist(here, line.point(begins))

    return min(so_far.pending, key=distance)
