"""Where the table really is on screws with play, and whether it is there when a flat gets its final cut.

Each axis is a play operator: of a screw with backlash b the nut may be anywhere in a gap of that width. A
move first takes up the gap in its direction and only then moves the table. What matters is not how large
the lag is but that it is the same at every flat, so an axis must have taken up its screw before it meets
the flat.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.part import Flat, Level
from polypocket.dryrun.sweeps import Sweeper
from polypocket.dryrun.tolerances import BARELY, BORDER, SMALL_BACKLASH, STILL

__all__ = [
    "Border",
    "Borders",
    "Play",
    "Screws",
    "backlash_faults",
    "borders_of",
    "moved",
    "screws_of",
    "takes_up",
]

#: Steps along a motion at which first contact is looked for.
_STEPS = 64
#: Share of a motion to which first contact is found, far below any length that matters.
_SHARP = 1e-12
#: Directions nearer than this to an axis are along it: the other axis of a flat's normal does not matter.
_ALONG_AXIS = 1e-6
#: A flat's border is looked for between its corners, away from them by this share of the flat.
_CORNER = 0.05


class Play(NamedTuple):
    """The gap of one screw.

    Attributes:
        backlash: mm.
        low, high: least and greatest that may be taken up towards plus, mm: 0 and ``backlash`` while
            nothing is known, both ``backlash`` when it is taken up towards plus, both 0 when towards minus.
    """

    backlash: float
    low: float
    high: float

    def moved(self, distance: float) -> Play:
        """Return it after a move of ``distance`` mm, signed."""
        # Most moves leave it as it is: the axis stands still, or goes on to the side to which it is taken up.
        if distance == 0.0 or (self.low == self.backlash if distance > 0.0 else self.high == 0.0):
            return self
        low = min(max(self.low + distance, 0.0), self.backlash)
        high = min(max(self.high + distance, 0.0), self.backlash)
        return Play(self.backlash, low, high)

    def taken_up(self, towards: float) -> bool:
        """Whether it is surely taken up in the direction of the sign of ``towards``."""
        if towards > 0.0:
            return self.low >= self.backlash - STILL
        return self.high <= STILL


#: Of X and Y.
Screws = tuple[Play, Play]


def screws_of(x: float, y: float) -> Screws:
    """Return the screws of X and Y with these backlashes, mm, before anything is known of them."""
    return Play(x, 0.0, x), Play(y, 0.0, y)


def moved(screws: Screws, motion: Motion, first: float = 0.0, last: float = 1.0) -> Screws:
    """Return the screws after a share of a motion; an arc turns an axis round at its quadrants."""
    if not motion.moves_across:
        return screws
    turns = motion.quadrant_shares() if motion.is_arc else ()
    stops = [first, *(share for share in turns if first < share < last), last]
    whole = first == 0.0 and last == 1.0 and len(stops) == 2
    places = (motion.start, motion.end) if whole else map(motion.at, stops)
    for begin, end in pairwise(places):
        screws = (
            screws[0].moved(_difference(begin[0], end[0])),
            screws[1].moved(_difference(begin[1], end[1])),
        )
    return screws


def takes_up(screws: Screws) -> bool:
    """Whether any screw has so much backlash that it must be taken up at every flat."""
    return any(play.backlash > SMALL_BACKLASH for play in screws)


class Border(NamedTuple):
    """A flat that is to be cut, from ``low`` to ``high`` mm, and the strip that tells who touches it."""

    flat: Flat
    low: float
    high: float
    strip: Polygon


class Borders(NamedTuple):
    """The borders of all flats that are cut, and a tree of their strips."""

    each: tuple[Border, ...]
    tree: shapely.STRtree


def borders_of(levels: Sequence[Level], play: float = 0.0) -> Borders:
    """Return the borders of all flats that are cut; a cut may come to one nearer than told by ``play`` mm."""
    found = tuple(
        Border(flat, level.low, level.high, _strip(level, flat, BORDER + play))
        for level in levels
        for flat in level.flats
        if flat.is_cut
    )
    return Borders(found, shapely.STRtree([border.strip for border in found]))


def backlash_faults(
    context: Context,
    borders: Borders,
    screws: Screws,
    motion: Motion,
    swept: Sweeper,
    removed: Sequence[Piece],
) -> Iterator[Fault]:
    """Yield a fault for each flat that a motion finishes with a screw that is not taken up.

    Args:
        context: program, mill and job.
        borders: of the flats.
        screws: before the motion.
        motion: the motion.
        swept: the cutter's swept areas.
        removed: what it surely removes.
    """
    touching: dict[int, list[BaseGeometry]] = {}
    for piece in removed:
        for index in _touched(borders, swept, piece.region):
            border = borders.each[index]
            if border.low <= piece.low < border.high:
                touching.setdefault(index, []).append(piece.region)
    for index in sorted(touching):
        regions = {id(region): region for region in touching[index]}  # slabs that are cut alike hold the same
        region = shapely.geometrycollections(list(regions.values()))
        yield from _judge(context, screws, motion, borders.each[index].flat, region)


def _touched(borders: Borders, swept: Sweeper, region: BaseGeometry) -> list[int]:
    """Return which borders a region touches, found out once: levels that are cut alike hold the same region."""
    found: list[int] = swept.once(
        "borders", (0.0, 1.0), region, lambda: borders.tree.query(region, predicate="intersects").tolist()
    )
    return found


def _judge(
    context: Context, screws: Screws, motion: Motion, flat: Flat, region: BaseGeometry
) -> Iterator[Fault]:
    radius = context.job.cutter(motion.tool).radius
    inwards = -float(np.cos(flat.direction)), -float(np.sin(flat.direction))
    before, after = _near_first_contact(motion, region, radius)
    if _does_not_lag(screws, motion, inwards, before, after):
        return
    contact = _first_contact(motion, region, radius, before, after)
    stops = [contact, *(share for share in motion.quadrant_shares() if share > contact), 1.0]
    for begin, end in pairwise(stops):
        state = moved(screws, motion, 0.0, begin)
        a, b = motion.at(begin), motion.at(end)
        for axis, name in enumerate("XY"):
            wanted = _wanted(_difference(a[axis], b[axis]), inwards[axis])
            if wanted and not any(map(state[axis].taken_up, wanted.values())):
                why = next(iter(wanted))
                yield context.fault(
                    "backlash",
                    motion.line,
                    f"meets flat {flat.number} of section {flat.section} with the screw of {name} "
                    f"({context.text(state[axis].backlash)} of backlash) not taken up {why}",
                    "come onto the flat along a longer straight lead, and from the outside",
                    key=f"{flat.section}/{flat.number}/{name}",
                )
                return


def _wanted(travel: float, inwards: float) -> dict[str, float]:
    """Return ways, by how they are called, in any of which the screw of an axis is to be taken up; none where none is.

    Args:
        travel: how far the axis goes on, mm, signed.
        inwards: of a unit vector from the flat into the part, along the axis.
    """
    wanted = {}
    if abs(travel) > STILL:
        wanted["in the direction in which it moves"] = travel
    # Where it barely moves either will do: what it may lag by is no more than it moves.
    if abs(travel) <= BARELY and abs(inwards) > _ALONG_AXIS:
        wanted["from the outside inwards"] = inwards
    return wanted


def _does_not_lag(
    screws: Screws, motion: Motion, inwards: tuple[float, float], before: float, after: float
) -> bool:
    """Whether both screws are taken up wherever between two shares of a straight motion the cutter meets the flat.

    On a line each axis goes one way only, so that its screw is taken up ever more to that side and less is left to go:
    what is wanted at both shares, and no more, is wanted in between, and what is taken up at both is so in between.
    """
    if motion.is_arc:
        return False
    for axis in (0, 1):
        ways: list[set[str]] = []
        taken_up: list[set[str]] = []
        for share in (before, after):
            play = moved(screws, motion, 0.0, share)[axis]
            wanted = _wanted(_difference(motion.at(share)[axis], motion.end[axis]), inwards[axis])
            ways.append(set(wanted))
            taken_up.append({way for way, towards in wanted.items() if play.taken_up(towards)})
        if ways[0] != ways[1] or (ways[0] and not taken_up[0] & taken_up[1]):
            return False
    return True


def _near_first_contact(motion: Motion, region: BaseGeometry, radius: float) -> tuple[float, float]:
    """Two shares of the path between which the cutter meets what it removes, both 0 where it does from the first."""
    shares = np.linspace(0.0, 1.0, _STEPS + 1)
    centres = shapely.points([motion.at(share)[:2] for share in shares.tolist()])
    near = np.flatnonzero(shapely.distance(centres, region) <= radius)
    if not len(near) or near[0] == 0:
        return 0.0, 0.0
    return float(shares[near[0] - 1]), float(shares[near[0]])


def _first_contact(motion: Motion, region: BaseGeometry, radius: float, before: float, after: float) -> float:
    """Share of the path, between two, after which the cutter has not yet, but is about to, meet what it removes."""
    while after - before > _SHARP:
        middle = (before + after) / 2.0
        if shapely.distance(shapely.points(motion.at(middle)[:2]), region) <= radius:
            after = middle
        else:
            before = middle
    return before


def _strip(level: Level, flat: Flat, outwards: float) -> Polygon:
    """Return a strip along the inner part of a flat, in to ``BORDER`` from its line and out to ``outwards`` mm."""
    c, s = np.cos(flat.direction), np.sin(flat.direction)
    along = [y * c - x * s for x, y in level.finished.vertices if x * c + y * s > flat.distance - BORDER]
    low, high = min(along, default=0.0), max(along, default=0.0)
    margin = _CORNER * (high - low)
    corners = (
        (flat.distance - BORDER, low + margin),
        (flat.distance + outwards, low + margin),
        (flat.distance + outwards, high - margin),
        (flat.distance - BORDER, high - margin),
    )
    return Polygon([(d * c - a * s, d * s + a * c) for d, a in corners])


def _difference(begin: float, end: float) -> float:
    """Return the way from one coordinate to another, mm; 0 where one is not known: nothing taken up."""
    return 0.0 if math.isnan(begin) or math.isnan(end) else end - begin
