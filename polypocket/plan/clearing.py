"""How the plane of a level is cleared round a polygon: roughing to the allowance, then finishing to size."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Literal, NamedTuple

from polypocket.plan.bound import least_seconds_of_strips
from polypocket.plan.cuts import Cut, mirror_outline, mirrored
from polypocket.plan.items import least_seconds, strokes_seconds
from polypocket.plan.joining import joined
from polypocket.plan.least import quickest_strokes
from polypocket.plan.method import Method
from polypocket.plan.strips import Order, corner_by_corner, flat_by_flat, nearest_first, strips
from polypocket.plan.strokes import Stroke, stroke_of
from polypocket.shape.outline import Outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

#: Orders that differ by less are alike, seconds: the model of time is no better. No source.
_ALIKE = 0.05

__all__ = ["Area", "Bound", "Clearing", "clearing_of"]

#: Gives a number of seconds that no order can do without; ``float`` itself gives 0.
Bound = Callable[[], float]


class Area(NamedTuple):
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


class Clearing(NamedTuple):
    """The strokes that clear an area, at the depth at which they were timed; they are the same at every level.

    Attributes:
        roughing: down to the allowance.
        finishing: down to size; none without an allowance.
        roughing_seconds, finishing_seconds: that they and the ways between them take.
        roughing_bound, finishing_bound: give the seconds that any order must take, as many as they take themselves
            where all orders were compared; worked out only when somebody asks.
    """

    roughing: tuple[Stroke, ...]
    finishing: tuple[Stroke, ...]
    roughing_seconds: float
    finishing_seconds: float
    roughing_bound: Bound = float
    finishing_bound: Bound = float


def clearing_of(area: Area, depth: float, method: Method) -> Clearing:
    """Return the quickest way that is known to clear an area.

    Args:
        area: to be cleared.
        depth: at which the ways are timed, mm: rising over the work takes longer from further down.
        method: how to cut, and on what.
    """

    def strokes(area: Area, order: Order, role: Literal["rough", "finish"]) -> tuple[Stroke, ...]:
        return tuple(stroke_of("", -depth, role, cut, method) for cut in _cuts(area, method, order, role))

    # Going round corners is a few hundredths of the time, alike for all orders, and the longest to work out.
    ways = [strokes(area, order, "rough") for order in (flat_by_flat, nearest_first, corner_by_corner)]
    roughing = min(ways, key=lambda way: least_seconds(way, method))
    rough = _compared(area, roughing, "rough", depth, method)
    if method.allowance <= 0.0:
        return Clearing(rough.strokes, (), rough.seconds, 0.0, rough.bound)
    roughed = area._replace(standing=rough.strokes[-1].cut.after) if rough.strokes else area
    finish = _compared(roughed, strokes(roughed, corner_by_corner, "finish"), "finish", depth, method)
    return Clearing(rough.strokes, finish.strokes, rough.seconds, finish.seconds, rough.bound, finish.bound)


class _Compared(NamedTuple):
    strokes: tuple[Stroke, ...]
    seconds: float
    bound: Bound


def _compared(
    area: Area, strokes: tuple[Stroke, ...], role: Literal["rough", "finish"], depth: float, method: Method
) -> _Compared:
    """Return strokes or quicker ones, beside the least seconds that are possible: of all orders where they are few.

    Strokes that are joined round corners are not compared with all others.
    """
    flats = area.lines(method.allowance if role == "rough" else 0.0)
    joins = method.backlash_to_take_up(role) is None
    seconds = strokes_seconds(strokes, method)
    if not joins and (best := quickest_strokes(area.standing, flats, depth, role, method)) is not None:
        least = strokes_seconds(best, method)
        taken = _Compared(best, least, lambda: least)
        return taken if least < seconds - _ALIKE else _Compared(strokes, seconds, lambda: seconds)
    bound = partial(least_seconds_of_strips, area.standing, flats, method, joins=joins)
    return _Compared(strokes, seconds, bound)


def _cuts(area: Area, method: Method, order: Order, role: Literal["rough", "finish"]) -> tuple[Cut, ...]:
    """Return cuts in an order, rolling round corners where the mill's backlash allows it.

    Cuts are made as conventional ones; to climb, the mirror image of the area is cut, and mirrored back.
    """
    standing, flats = area.standing, area.lines(method.allowance if role == "rough" else 0.0)
    if method.climb:
        standing = mirror_outline(standing)
        flats = {-flat: Line(-line.direction, line.distance) for flat, line in flats.items()}
    cuts = strips(standing, flats, method.radius, method.stepover, order, method.beside)
    if method.backlash_to_take_up(role) is None:
        # The stepover is measured square to a flat; on the corner the same strip is thicker.
        thickest = min(method.radius, method.stepover / math.cos(area.polygon.step / 2.0))
        cuts = joined(cuts, method.radius, method.stepover, thickest)
    return tuple(mirrored(cut) for cut in cuts) if method.climb else cuts
