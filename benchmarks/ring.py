"""One ring of the cutter's centre, and the part of it in which a piece of material is met."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from polypocket.shape.outline import Outline

__all__ = ["Edge", "Ring", "ring_of"]

Pair = tuple[float, float]
Floats = NDArray[np.float64]

#: Spacing of the places along a ring at which contact is looked for, mm.
_SPACING = 0.4
#: Spacing of the points round a piece of material, mm.
_POINTS = 1.0
#: A point this little outside the cutter's rim is under it, mm: the rim passes points on the ring itself between two
#: places, by spacing² / (8 · radius) at the most.
_RIM = 0.005
#: How far before its beginning a ring without a free place is entered, mm: from outside of all material.
_RUN_IN = 200.0


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight or an arc of a ring, anticlockwise; positions are of the cutter's centre, mm.

    Attributes:
        start: where it begins.
        end: where it ends.
        facing: direction square to the ring at its start, radians.
        centre: of an arc.
        flat: number of the flat that it follows or comes after.
    """

    start: Pair
    end: Pair
    facing: float
    centre: Pair | None
    flat: int

    @property
    def turn(self) -> float:
        """Angle that an arc goes through, radians."""
        if self.centre is None:
            return 0.0
        (cx, cy), (x, y) = self.centre, self.end
        return math.remainder(math.atan2(y - cy, x - cx) - self.facing, math.tau)

    @property
    def length(self) -> float:
        """Mm along the edge."""
        return (
            math.dist(self.start, self.end)
            if self.centre is None
            else math.dist(self.centre, self.end) * self.turn
        )

    def at(self, share: float) -> tuple[Pair, float]:
        """Return the position after a share of the edge, and the direction square to the ring there."""
        if self.centre is None:
            (x1, y1), (x2, y2) = self.start, self.end
            return (x1 + share * (x2 - x1), y1 + share * (y2 - y1)), self.facing
        angle = self.facing + share * self.turn
        return out_from(self.centre, angle, math.dist(self.centre, self.end)), angle

    def part(self, low: float, high: float) -> Edge:
        """Return the part between two shares of it."""
        start, facing = self.at(low)
        return Edge(start, self.at(high)[0], facing, self.centre, self.flat)


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed ring of edges for a cutter of ``radius`` mm."""

    edges: tuple[Edge, ...]
    radius: float

    def project(self, point: Pair) -> float:
        """Return how far along the ring its place nearest to ``point`` is, mm, to the spacing of places."""
        places = _places(self.edges)[0]
        return float(np.hypot(*(places - point).T).argmin()) * _SPACING

    def through(self, material: shapely.Polygon, here: Pair | None) -> list[Edge]:
        """Return the part from first contact with the material to where the last of it has been swept.

        Its end may come some tenths of a millimetre too early, never too late (``_RIM``).

        Where the material is met all the way round, the part begins along the straight that begins nearest to ``here``
        and ends on the corner before it.
        """
        points = shapely.get_coordinates(shapely.segmentize(material, _POINTS))
        edges = self._opened(points, here)
        places, owner, shares = _places(edges)
        under = _squares(points, places) <= (self.radius + _RIM) ** 2
        first = under.argmax(axis=1)[under.any(axis=1)]
        begin, end = int(first.min()), int(first.max())
        i, j = int(owner[begin]), int(owner[end])
        if i == j:
            return [edges[i].part(shares[begin], shares[end])]
        parts = [edges[i].part(shares[begin], 1.0), *edges[i + 1 : j], edges[j].part(0.0, shares[end])]
        return [part for part in parts if part.length > 1e-9] or parts[:1]

    def _opened(self, points: Floats, here: Pair | None) -> list[Edge]:
        """Open the ring in the middle of its longest stretch without contact, or else at a corner."""
        places, owner, shares = _places(self.edges)
        free = np.all(_squares(points, places) > self.radius**2, axis=0)
        if free.any():
            middle = _middle_of_longest(free)
            edge, share, i = self.edges[owner[middle]], float(shares[middle]), int(owner[middle])
            return [edge.part(share, 1.0), *self.edges[i + 1 :], *self.edges[:i], edge.part(0.0, share)]
        straights = [i for i, edge in enumerate(self.edges) if edge.centre is None]
        first = min(straights, key=lambda i: math.dist(here or (0.0, 0.0), self.edges[i].start))
        # Entered along the straight from outside, it ends on the corner before that, at the latest where it began.
        edges = [*self.edges[first:], *self.edges[:first]]
        start = out_from(edges[0].start, edges[0].facing - math.pi / 2.0, _RUN_IN)
        return [Edge(start, edges[0].end, edges[0].facing, None, edges[0].flat), *edges[1:]]


def ring_of(target: Outline, out: float, sharp: bool, radius: float) -> Ring:
    """Return the centre's ring that leaves ``target`` grown by ``out`` mm, its corners kept sharp or rounded.

    The cutter rolls round either on arcs: about the corners of the sharp ring, or about those of the target.
    """
    corners = target.grown(out) if sharp else target
    reach = radius if sharp else out + radius
    sides = list(corners.edges())
    facings = [math.atan2(x1 - x2, y2 - y1) for (x1, y1), (x2, y2) in sides]
    edges: list[Edge] = []
    for i, (start, end) in enumerate(sides):
        facing, following = facings[i], facings[(i + 1) % len(sides)]
        over = out_from(end, facing, reach)
        edges.append(Edge(out_from(start, facing, reach), over, facing, None, i + 1))
        edges.append(Edge(over, out_from(end, following, reach), facing, end, i + 1))
    return Ring(tuple(edges), radius)


def out_from(point: Pair, direction: float, distance: float) -> Pair:
    """Return the point ``distance`` mm from another in a direction."""
    return point[0] + distance * math.cos(direction), point[1] + distance * math.sin(direction)


def _places(edges: Sequence[Edge]) -> tuple[Floats, NDArray[np.int64], Floats]:
    """Return places along edges, and of each the edge that it is on and its share of that."""
    places, owner, shares = [], [], []
    for i, edge in enumerate(edges):
        own = np.linspace(0.0, 1.0, max(2, math.ceil(edge.length / _SPACING) + 1))
        if edge.centre is None:
            way = np.subtract(edge.end, edge.start)
            places.append(np.array(edge.start) + own[:, None] * way)
        else:
            angles = edge.facing + own * edge.turn
            rim = np.column_stack((np.cos(angles), np.sin(angles)))
            places.append(np.array(edge.centre) + math.dist(edge.centre, edge.end) * rim)
        owner.append(np.full(len(own), i))
        shares.append(own)
    return np.concatenate(places), np.concatenate(owner), np.concatenate(shares)


def _squares(points: Floats, places: Floats) -> Floats:
    """Squares of the distances from each point (rows) to each place (columns), mm²."""
    across = points[:, 0, None] - places[:, 0]
    along = points[:, 1, None] - places[:, 1]
    squares: Floats = across * across + along * along
    return squares


def _middle_of_longest(free: NDArray[np.bool_]) -> int:
    """Return the middle of the longest run of true values, the last following on to the first."""
    count = len(free)
    begin = int((~free).argmax())  # a run is never split if the count begins at a false value
    best, middle, run = 0, begin, 0
    for k in range(count + 1):
        if free[(begin + k) % count]:
            run += 1
            continue
        if run > best:
            best, middle = run, (begin + k - 1 - run // 2) % count
        run = 0
    return middle
