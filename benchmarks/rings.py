"""A planner to compare with: contour-parallel rings round the whole polygon, made by a geometry engine's offset.

Each ring of a level is the edge of the polygon grown by the allowance and a whole number of strips, and the cutter's
centre runs outside it by the radius. Of a ring only those pieces are driven in which the cutter meets material that
still stands; each is entered and left along its tangent. Pieces become the same cuts as the planner's own, so that
leads, ways between them (round the outside or over the top, whichever is quicker) and times come from the same code:
what differs is where the cuts are. Rings may have sharp or round corners, and sections may be cut from the top or from
the bottom; the quickest of the four counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

import shapely
from ring import Edge, Ring, ring_of

from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.plan.clearances import LEAST_GAP, OVERRUN, SIDE
from polypocket.plan.cuts import Cut, Stretch
from polypocket.plan.items import items_of
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.strips import NOTHING_LEFT, equal_width, round_and_round, strips
from polypocket.plan.strokes import Stroke, stroke_of
from polypocket.plan.timing import items_seconds
from polypocket.program.items import Link
from polypocket.program.moves import Feed, Point, Rapid
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.stroke import Line, first_contact

__all__ = ["rings_seconds"]

Pair = tuple[float, float]
Corners = Literal["mitre", "round"]

#: Half the width of a plane that holds everything, mm: where a flat is not cut, rings run off it.
_PLANE = 300.0
#: A piece of material smaller than this is none, mm².
_NOTHING = 1e-4


@dataclass(frozen=True, slots=True)
class Area:
    """What is to come off round a polygon: the lines of the flats to be cut, at size, and what stands."""

    lines: dict[int, Line]
    standing: Outline

    def target(self, allowance: float) -> Outline:
        """Return what the flats to be cut leave of the plane."""
        target = rectangle_outline(2.0 * _PLANE, 2.0 * _PLANE)
        for line in self.lines.values():
            target = target.clip(line.direction, line.distance + allowance)
        return target

    def flat_by_flat(self, standing: Outline, allowance: float, method: Method) -> tuple[Cut, ...]:
        """Return one straight cut along each flat."""
        lines = {flat: Line(line.direction, line.distance + allowance) for flat, line in self.lines.items()}
        return strips(standing, lines, method.radius, method.radius, round_and_round)


def rings_seconds(job: BlockJob, mill: Mill) -> float:
    """Return the seconds that the quickest program of rings takes, from and to the safe height over the centre."""
    method = Method.of(job, mill)
    ways = product(("mitre", "round"), (False, True))
    return min(_seconds(_strokes(job, corners, upwards, method), method) for corners, upwards in ways)


def _strokes(job: BlockJob, corners: Corners, upwards: bool, method: Method) -> list[Stroke]:
    """Return the strokes of all sections, from the top down or from the bottom up."""
    standing, top = job.stock.largest_outline(), 0.0
    strokes: list[Stroke] = []
    for section in sorted(job.sections, key=lambda section: section.depth, reverse=upwards):
        polygon, left = section.polygon(), flats_left(job, section)
        lines = {
            flat: Line(polygon.direction(flat), polygon.inradius)
            for flat in range(1, section.sides + 1)
            if flat not in left
        }
        area = Area(lines, standing)
        roughing = _roughing(area, corners, method)
        finishing = _finishing(area, roughing[-1].after if roughing else standing, method)
        for depth in levels(top, section.depth, method.stepdown):
            strokes += [stroke_of("", -depth, "rough", cut, method) for cut in roughing]
        strokes += [stroke_of("", -section.depth, "finish", cut, method) for cut in finishing]
        if upwards:
            for line in lines.values():
                standing = standing.clip(line.direction, line.distance)
        else:
            top = section.depth
    return strokes


def _seconds(strokes: Sequence[Stroke], method: Method) -> float:
    first = strokes[0]
    down = Rapid(Point(*first.comes_down)), Rapid(Point(z=first.level))
    arrivals = (Feed(Point(x, y), method.feed_max) for x, y in first.arrivals)
    items = (
        Link((*down, *arrivals)),
        *items_of(strokes, method),
        Link((Rapid(Point(z=method.safe)),)),
    )
    return items_seconds(items, (0.0, 0.0, method.safe), method.kinematics)


def _roughing(area: Area, corners: Corners, method: Method) -> tuple[Cut, ...]:
    """Return the cuts down to the allowance, outermost ring first."""
    target = area.target(method.allowance)
    if corners == "round":
        polygon = shapely.Polygon(target.vertices)
        depth = max(polygon.distance(shapely.Point(vertex)) for vertex in area.standing.vertices)
    else:
        depth = target.sticks_out(area.standing)
    if depth <= NOTHING_LEFT:
        return ()
    width = equal_width(depth, method.stepover)
    standing = area.standing
    cuts: list[Cut] = []
    for k in reversed(range(round(depth / width))):
        if k == 0 and not method.rolls_to_allowance:
            cuts += area.flat_by_flat(standing, method.allowance, method)
        else:
            cuts += _ring_cuts(standing, target, k * width, corners, method, cuts)
        standing = cuts[-1].after if cuts else standing
    return tuple(cuts)


def _finishing(area: Area, left: Outline, method: Method) -> tuple[Cut, ...]:
    """Return the one ring round at size, or flat by flat where the screws do not allow to roll on."""
    if method.allowance <= 0.0:
        return ()
    if not method.rolls_to_size:
        return area.flat_by_flat(left, 0.0, method)
    return tuple(_ring_cuts(left, area.target(0.0), 0.0, "round", method, ()))


def _ring_cuts(
    standing: Outline, target: Outline, out: float, corners: Corners, method: Method, before: Sequence[Cut]
) -> list[Cut]:
    """Return the cuts of the ring that leaves ``target`` grown by ``out`` mm, from the nearest piece on."""
    grown = shapely.Polygon(target.vertices).buffer(out, join_style=corners, mitre_limit=1e3, quad_segs=32)
    material = shapely.Polygon(standing.vertices)
    pieces = [p for p in shapely.get_parts(shapely.difference(material, grown)) if p.area > _NOTHING]
    ring = ring_of(target, out, corners == "mitre", method.radius)
    here = before[-1].path[-1].to if before else None
    cuts = [_cut(ring, piece, here, len(before) + 1, method) for piece in pieces]
    places = [ring.project(cut.contact) for cut in cuts]
    order = sorted(range(len(cuts)), key=lambda i: places[i])
    if here is not None and order:
        nearest = min(order, key=lambda i: math.dist(here, cuts[i].start))
        at = order.index(nearest)
        order = order[at:] + order[:at]
    placed: list[Cut] = []
    stands = standing
    for i in order:
        material = shapely.difference(material, pieces[i])
        left = _hull(material)
        placed.append(replace(cuts[i], before=stands, after=left))
        stands = left
    return placed


def _hull(material: shapely.Geometry) -> Outline:
    hull = shapely.orient_polygons(shapely.convex_hull(material))
    return Outline(tuple((x, y) for x, y in hull.exterior.coords[:-1]))


def _cut(ring: Ring, material: shapely.Polygon, here: Pair | None, index: int, method: Method) -> Cut:
    """Return the cut along the ring that takes a piece of material off: from first contact to its last point swept."""
    edges = ring.through(material, here)
    (place, facing), (end, leaving) = edges[0].at(0.0), edges[-1].at(1.0)
    line = Line(facing, place[0] * math.cos(facing) + place[1] * math.sin(facing) - method.radius)
    hull = _hull(material)

    def before(gap: float) -> float:
        """Where along the tangent the cutter comes within ``gap`` mm of the material."""
        try:
            return min(line.along(place), first_contact(hull, line, method.radius, gap))
        except ValueError:  # the tangent of an arc that only grazes it
            return line.along(place)

    start = min(line.along(place) - SIDE, before(LEAST_GAP))
    off = Line(leaving, end[0] * math.cos(leaving) + end[1] * math.sin(leaving) - method.radius)
    last = off.along(end) + OVERRUN
    flats = tuple(dict.fromkeys(edge.flat for edge in edges))
    return Cut(
        flats=flats,
        index=index,
        lines=(line,) * len(flats),
        approach=line.point(min(start, before(SIDE)), method.radius),
        start=line.point(start, method.radius),
        contact=place,
        path=(
            *(Stretch(edge.end, edge.centre) for edge in edges[:-1]),
            *_run_on(edges[-1], off.point(last, method.radius)),
        ),
        leave=off.point(last + SIDE, method.radius + SIDE),
        anticlockwise=True,
        before=hull,
        after=hull,
    )


def _run_on(edge: Edge, end: Pair) -> tuple[Stretch, ...]:
    """Return the last edge run on along its tangent."""
    return (Stretch(end),) if edge.centre is None else (Stretch(edge.end, edge.centre), Stretch(end))
