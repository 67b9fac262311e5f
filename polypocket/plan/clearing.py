"""How the plane of a level is cleared round a polygon: roughing to the allowance, then finishing to size."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from polypocket.plan.cuts import Cut, mirror_outline, mirrored
from polypocket.plan.items import strokes_seconds
from polypocket.plan.joining import joined
from polypocket.plan.method import Method
from polypocket.plan.strips import (
    NOTHING_LEFT,
    Order,
    corner_by_corner,
    equal_width,
    flat_by_flat,
    nearest_first,
    round_and_round,
    strips,
)
from polypocket.plan.strokes import stroke_of
from polypocket.shape.outline import Outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

__all__ = ["Area", "Clearing", "clearing_of"]

#: How many ways are timed to the last link; the others are behind by an estimate that takes links for straight lines.
_TIMED = 2


@dataclass(frozen=True, slots=True)
class Area:
    """What is to be cleared.

    Attributes:
        polygon: to be left standing.
        flats: numbers of its flats that are to be cut.
        standing: what stands now.
    """

    polygon: RegularPolygon
    flats: tuple[int, ...]
    standing: Outline

    def lines(self, allowance: float) -> dict[int, Line]:
        """Return the line of each flat to be cut, ``allowance`` mm outside its own."""
        inradius = self.polygon.inradius + allowance
        return {flat: Line(self.polygon.direction(flat), inradius) for flat in self.flats}


@dataclass(frozen=True, slots=True)
class Clearing:
    """The cuts that clear an area; the same at every level.

    Attributes:
        roughing: down to the allowance.
        finishing: down to size; none without an allowance.
    """

    roughing: tuple[Cut, ...]
    finishing: tuple[Cut, ...]


def clearing_of(area: Area, depth: float, method: Method) -> Clearing:
    """Return the quickest way that is known to clear an area.

    Args:
        area: to be cleared.
        depth: at which the ways are timed, mm: rising over the work takes longer from further down.
        method: how to cut, and on what.
    """
    ways = sorted(_roughing_ways(area, method), key=lambda cuts: _estimate(cuts, method))[:_TIMED]

    def seconds(cuts: Sequence[Cut]) -> float:
        return strokes_seconds([stroke_of("", -depth, "rough", cut, method) for cut in cuts], method)

    roughing = min(ways, key=seconds)
    if method.allowance <= 0.0:
        return Clearing(roughing, ())
    left = roughing[-1].after if roughing else area.standing
    finishing = _cuts(left, area.lines(0.0), method, round_and_round)
    if method.rolls_to_size:
        finishing = _rolled(finishing, area.polygon.step, method)
    return Clearing(roughing, finishing)


def _roughing_ways(area: Area, method: Method) -> list[tuple[Cut, ...]]:
    """Return the ways worth comparing.

    Each flat's strips for themselves, or all of one width and meeting at the corners, where the cutter may roll on to
    the next flat. That width comes out even for the flat with the most material, or for the one with the least of
    those that have a strip's worth: less than half the stepover would take more than twice the strips.
    """
    flats = area.lines(method.allowance)
    depths = [area.standing.support(line.direction) - line.distance for line in flats.values()]
    depths = [depth for depth in depths if depth > NOTHING_LEFT]
    most = max(depths, default=0.0)
    least = min((depth for depth in depths if 2.0 * depth >= method.stepover), default=most)
    widths = {equal_width(depth, method.stepover) for depth in (most, least)} if depths else set()
    ways = [_cuts(area.standing, flats, method, order) for order in (flat_by_flat, nearest_first)]
    for width in sorted(widths):
        for order in (round_and_round, corner_by_corner):
            cuts = _cuts(area.standing, flats, method, order, width)
            ways.append(_rolled(cuts, area.polygon.step, method) if method.rolls_to_allowance else cuts)
    return ways


def _cuts(
    standing: Outline, flats: Mapping[int, Line], method: Method, order: Order, width: float | None = None
) -> tuple[Cut, ...]:
    """Return straight cuts in an order, of one common width or of each flat's own.

    Cuts are made as conventional ones; to climb, the mirror image of the area is cut.
    """
    if method.climb:
        standing = mirror_outline(standing)
        flats = {-flat: Line(-line.direction, line.distance) for flat, line in flats.items()}
    return _real(strips(standing, flats, method.radius, method.stepover, order, width), method)


def _rolled(cuts: Sequence[Cut], step: float, method: Method) -> tuple[Cut, ...]:
    """Join cuts that can roll round the corners between flats ``step`` radians apart.

    The stepover is measured square to a flat; on the corner the same strip is thicker by 1 / cos(step / 2).
    """
    widest = min(method.radius, method.stepover / math.cos(step / 2.0))
    return _real(joined(_real(cuts, method), method.radius, widest), method)


def _real(cuts: Sequence[Cut], method: Method) -> tuple[Cut, ...]:
    return tuple(mirrored(cut) for cut in cuts) if method.climb else tuple(cuts)


def _estimate(cuts: Sequence[Cut], method: Method) -> float:
    """Minutes at the two feeds, links taken for straight lines."""
    working = sum(_length((cut.start, cut.contact, *(stretch.to for stretch in cut.path))) for cut in cuts)
    between = sum(math.dist(before.path[-1].to, after.start) for before, after in pairwise(cuts))
    return working / method.feed + between / method.feed_max


def _length(points: Iterable[tuple[float, float]]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))
