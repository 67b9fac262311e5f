"""A planner to compare with: contour-parallel rings round the whole polygon, made by a geometry engine's offset.

Each ring of a level is the edge of the polygon grown by the allowance and a whole number of strips, and the cutter's
centre runs outside it by the radius. Of a ring only those pieces are driven in which the cutter meets material that
still stands; each is entered and left along its tangent with 1 mm to spare. From piece to piece the cutter goes round
the outside at the highest feed, or over the top, whichever is quicker. Then one ring takes the allowance off; where the
screws do not allow to roll round finished corners, each flat is finished by itself. Rings may have sharp or round
corners, and sections may be cut from the top or from the bottom: the quickest of the four programs counts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

import shapely
from links import Piece, program_of
from ring import Edge, ring_of

from polypocket.model.job import BlockJob, Section, flats_left
from polypocket.model.mill import Mill
from polypocket.plan.clearances import OVERRUN
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.timing import items_seconds
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line, clear_of, first_contact

__all__ = ["Area", "rings_seconds"]

Pair = tuple[float, float]

#: Half the width of a plane that holds everything, mm: where a flat is not cut, rings run off it.
_PLANE = 300.0
#: Material thinner than this is none, mm, and smaller than this, mm².
_NOTHING = 1e-4


def rings_seconds(job: BlockJob, mill: Mill) -> float:
    """Return the seconds that the quickest program of rings takes, from and to the safe height over the centre."""
    method = Method.of(job, job.cutters[0], mill)
    ways = product((True, False), (False, True) if len(job.sections) > 1 else (False,))
    return min(
        items_seconds(
            program_of(list(_pieces(job, sharp, upwards, method)), method),
            (0.0, 0.0, method.safe),
            method.kinematics,
        )
        for sharp, upwards in ways
    )


def _pieces(job: BlockJob, sharp: bool, upwards: bool, method: Method) -> Iterator[tuple[float, Piece]]:
    """Yield the heights and pieces of all sections, from the top down or from the bottom up."""
    standing, top = job.stock.largest_outline(), 0.0
    for section in sorted(job.sections, key=lambda section: section.depth, reverse=upwards):
        area = Area.of(job, section, standing)
        roughing = area.roughing(sharp, method)
        left = roughing[-1].after if roughing else standing
        for depth in levels(top, section.depth, method.stepdown):
            yield from ((-depth, piece) for piece in roughing)
        yield from ((-section.depth, piece) for piece in area.finishing(left, method))
        if upwards:
            standing = area.left_standing()
        else:
            top = section.depth


@dataclass(frozen=True, slots=True)
class Area:
    """What is to come off round a polygon: flats to be cut down to size, and what stands."""

    polygon: RegularPolygon
    flats: tuple[int, ...]
    standing: Outline

    @classmethod
    def of(cls, job: BlockJob, section: Section, standing: Outline) -> Area:
        """Return a section's, without the flats that stay as the stock's."""
        left = flats_left(job, section)
        flats = tuple(flat for flat in range(1, section.sides + 1) if flat not in left)
        return cls(section.polygon(), flats, standing)

    def target(self, allowance: float) -> Outline:
        """Return what the flats to be cut leave of the plane."""
        return self._clipped(rectangle_outline(2.0 * _PLANE, 2.0 * _PLANE), allowance)

    def left_standing(self) -> Outline:
        """Return what the flats to be cut leave of what stands."""
        return self._clipped(self.standing, 0.0)

    def roughing(self, sharp: bool, method: Method) -> list[Piece]:
        """Return the pieces down to the allowance, outermost ring first."""
        target = self.target(method.allowance)
        if sharp:
            depth = target.sticks_out(self.standing)
        else:
            polygon = shapely.Polygon(target.vertices)
            depth = max(polygon.distance(shapely.Point(vertex)) for vertex in self.standing.vertices)
        count = math.ceil(depth / method.stepover - 1e-9) if depth > _NOTHING else 0
        standing = self.standing
        pieces: list[Piece] = []
        for k in reversed(range(count)):
            here = pieces[-1].path[-1].end if pieces else None
            if k == 0 and not method.rolls_to_allowance:
                pieces += self._flat_by_flat(standing, method.allowance, method)
            else:
                pieces += _ring_pieces(standing, target, k * depth / count, sharp, method.radius, here)
            standing = pieces[-1].after if pieces else standing
        return pieces

    def finishing(self, left: Outline, method: Method) -> list[Piece]:
        """Return the one ring round at size, or each flat by itself."""
        if method.allowance <= 0.0:
            return []
        if not method.rolls_to_size:
            return self._flat_by_flat(left, 0.0, method)
        return _ring_pieces(left, self.target(0.0), 0.0, True, method.radius, None)

    def _clipped(self, outline: Outline, allowance: float) -> Outline:
        for flat in self.flats:
            outline = outline.clip(self.polygon.direction(flat), self.polygon.inradius + allowance)
        return outline

    def _flat_by_flat(self, standing: Outline, allowance: float, method: Method) -> list[Piece]:
        """Return one straight along each flat, the screws taken up before it."""
        pieces = []
        for flat in self.flats:
            line = Line(self.polygon.direction(flat), self.polygon.inradius + allowance)
            if standing.support(line.direction) - line.distance <= _NOTHING:
                continue
            contact = first_contact(standing, line, method.radius)
            end = max(contact, clear_of(standing, line, method.radius))
            ends = line.point(contact, method.radius), line.point(end, method.radius)
            after = standing.clip(line.direction, line.distance)
            edge = Edge(*ends, line.direction, None, flat)
            pieces.append(Piece.along([edge], OVERRUN, standing, after, method.radius, method.backlash))
            standing = after
        return pieces


def _ring_pieces(
    standing: Outline, target: Outline, out: float, sharp: bool, radius: float, here: Pair | None
) -> list[Piece]:
    """Return the pieces of the ring that leaves ``target`` grown by ``out`` mm, from the one nearest to ``here`` on."""
    corners = "mitre" if sharp else "round"
    grown = shapely.Polygon(target.vertices).buffer(out, join_style=corners, mitre_limit=1e3, quad_segs=32)
    material = shapely.Polygon(standing.vertices)
    parts = [part for part in shapely.get_parts(shapely.difference(material, grown)) if part.area > _NOTHING]
    ring = ring_of(target, out, sharp, radius)
    paths = sorted(
        ((ring.through(part, here), part) for part in parts),
        key=lambda found: ring.project(found[0][0].start),
    )
    if here is not None and paths:
        nearest = min(range(len(paths)), key=lambda i: math.dist(here, paths[i][0][0].start))
        paths = paths[nearest:] + paths[:nearest]
    outlines = [standing]
    for _, part in paths:
        material = shapely.difference(material, part)
        outlines.append(_hull(material))
    return [
        Piece.along(path, OVERRUN, before, after, radius, None)
        for (path, _), (before, after) in zip(paths, pairwise(outlines), strict=True)
    ]


def _hull(material: shapely.Geometry) -> Outline:
    hull = shapely.orient_polygons(shapely.convex_hull(material))
    return Outline(tuple((x, y) for x, y in hull.exterior.coords[:-1]))
