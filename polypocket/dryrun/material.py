"""The stock as it stands, in slabs between the heights that occur, and what a motion meets and removes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.meeting import Meeting, meeting
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import on_grid
from polypocket.dryrun.sweeps import Share, Sweeper, share_below
from polypocket.dryrun.tiles import Standing, apart, tiles_of, whole
from polypocket.dryrun.tolerances import HEIGHT, ROUNDING
from polypocket.model.job import BlockJob
from polypocket.shape.swept import outline_area

__all__ = ["Material", "Piece", "Slab", "heights_of", "meets", "remove", "start", "turned"]

#: Heights as near to each other as ``HEIGHT`` are one, however they are written in binary, mm.
_ONE_HEIGHT = HEIGHT + ROUNDING


class Slab(NamedTuple):
    """What stands between two heights, the same all the way up.

    Attributes:
        low, high: mm from the stock's top.
        standing: what is not surely removed.
    """

    low: float
    high: float
    standing: Standing


class Piece(NamedTuple):
    """What a motion meets in one slab.

    Attributes:
        low, high: of the slab, mm.
        region: the material, drawn in by half of ``CONTACT`` all round, so that slivers of rounding are gone.
    """

    low: float
    high: float
    region: BaseGeometry


class Material(NamedTuple):
    """The stock as it stands, from the top down."""

    slabs: tuple[Slab, ...]


def start(job: BlockJob, motions: Iterable[Motion], turn: float = 0.0) -> Material:
    """Return the largest stock that a job allows, in slabs between the heights of its feed moves.

    It stands turned by ``turn`` radians.
    """
    thickness = job.stock.thickness
    fixed = [0.0, -thickness, *(-section.depth for section in job.sections)]
    fed = (z for motion in motions if not motion.is_rapid for z in (motion.start[2], motion.end[2]))
    heights = heights_of(fixed, (z for z in fed if -thickness < z < 0.0))
    standing = tiles_of(on_grid(outline_area(job.stock.largest_outline().turned(turn))))
    return Material(tuple(Slab(low, high, standing) for high, low in pairwise(heights)))


def turned(material: Material, angle: float) -> Material:
    """Return the material turned about the upright axis through the work zero, radians anticlockwise from above."""
    if angle == 0.0:
        return material
    areas = {id(slab.standing): slab.standing for slab in material.slabs}
    turn = {
        key: tiles_of(on_grid(rotate(whole(standing), angle, (0.0, 0.0), use_radians=True)))
        for key, standing in areas.items()
    }
    return Material(tuple(Slab(slab.low, slab.high, turn[id(slab.standing)]) for slab in material.slabs))


def heights_of(fixed: Sequence[float], others: Iterable[float]) -> tuple[float, ...]:
    """Return heights from the top down, none nearer than ``HEIGHT`` to another; the ``fixed`` ones stay."""
    stay = sorted(set(fixed))
    heights: list[float] = []
    for height in sorted(set(others), reverse=True):
        place = bisect_left(stay, height)
        near = [*stay[max(0, place - 1) : place + 1], *heights[-1:]]
        if min(abs(height - other) for other in near) > _ONE_HEIGHT:
            heights.append(height)
    return tuple(sorted([*stay, *heights], reverse=True))


def meets(
    material: Material, motion: Motion, swept: Sweeper, *, anywhere: bool, base: float = 0.0
) -> tuple[Piece, ...]:
    """Return the material that a motion meets.

    Args:
        material: as it stands before the motion.
        motion: with both ends known.
        swept: its swept areas, of the cutter or of the holder.
        anywhere: the tip may be at its lowest all the way, and a slab is met where any of it is: what may
            be hit. Otherwise a slab is met where the tip is at or below its floor: what is surely removed.
        base: how far above the tip the swept body begins, mm.
    """
    return tuple(
        Piece(slab.low, slab.high, each.met)
        for slab, each in _meetings(material, motion, swept, anywhere=anywhere, base=base)
        if each.met is not None
    )


def remove(material: Material, motion: Motion, swept: Sweeper) -> Material:
    """Return the material without what the cutter surely removes in a motion."""
    cut = {
        slab: Slab(slab.low, slab.high, each.left)
        for slab, each in _meetings(material, motion, swept, anywhere=False, base=0.0)
        if each.left is not slab.standing
    }
    if not cut:
        return material
    return Material(tuple(cut.get(slab, slab) for slab in material.slabs))


def _meetings(
    material: Material, motion: Motion, swept: Sweeper, *, anywhere: bool, base: float
) -> Iterator[tuple[Slab, Meeting]]:
    """Yield the slabs that a motion may meet, from the top down, and what the share of it that is so low does there."""
    last: tuple[Standing, Share] | None = None
    found: Meeting | None = None
    for slab in material.slabs:
        tolerance = min(_ONE_HEIGHT, (slab.high - slab.low) / 2.0)
        height = slab.high - tolerance if anywhere else slab.low + tolerance
        share = share_below(motion, height - base)
        if share is None:
            return  # the tip never gets so low, nor to what is below
        # Neighbours often hold the same.
        if last is None or slab.standing is not last[0] or share != last[1]:
            last = slab.standing, share
            near = not apart(slab.standing.bounds, swept.bounds)
            found = meeting(slab.standing, swept, share) if near else None
        if found is not None:
            yield slab, found
