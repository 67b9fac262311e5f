"""The stock as it stands, in slabs between the heights that occur, and what a motion meets and removes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import GRID, common, on_grid, without
from polypocket.dryrun.sweeps import Share, Sweeper, share_below
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.model.job import BlockJob
from polypocket.shape.swept import outline_area

__all__ = ["Material", "Piece", "Slab", "heights_of", "meets", "remove", "start", "thick_part"]


@dataclass(frozen=True, slots=True)
class Slab:
    """What stands between two heights, the same all the way up.

    Attributes:
        low, high: mm from the stock's top.
        standing: what is not surely removed.
    """

    low: float
    high: float
    standing: BaseGeometry


@dataclass(frozen=True, slots=True)
class Piece:
    """What a motion meets in one slab.

    Attributes:
        low, high: of the slab, mm.
        region: the material, drawn in by half of ``CONTACT`` all round, so that slivers of rounding are gone.
    """

    low: float
    high: float
    region: BaseGeometry


@dataclass(frozen=True, slots=True)
class Material:
    """The stock as it stands, from the top down."""

    slabs: tuple[Slab, ...]


def start(job: BlockJob, motions: Iterable[Motion]) -> Material:
    """Return the largest stock that a job allows, in slabs between the heights of its feed moves."""
    thickness = job.stock.thickness
    fixed = [0.0, -thickness, *(-section.depth for section in job.sections)]
    fed = (z for motion in motions if not motion.is_rapid for z in (motion.start[2], motion.end[2]))
    heights = heights_of(fixed, (z for z in fed if -thickness < z < 0.0))
    area = on_grid(outline_area(job.stock.largest_outline()))
    return Material(tuple(Slab(low, high, area) for high, low in pairwise(heights)))


def heights_of(fixed: Sequence[float], others: Iterable[float]) -> tuple[float, ...]:
    """Return heights from the top down, none nearer than ``HEIGHT`` to another; the ``fixed`` ones stay."""
    heights = sorted(set(fixed), reverse=True)
    for height in sorted(set(others), reverse=True):
        if min(abs(height - other) for other in heights) > HEIGHT:
            heights.append(height)
    return tuple(sorted(heights, reverse=True))


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
    pieces: list[Piece] = []
    for slab in material.slabs:
        share = _share(motion, slab, anywhere=anywhere, base=base)
        if share is None:
            break  # the tip never gets so low, nor to what is below
        region = _met(slab.standing, swept, share)
        if region is not None:
            pieces.append(Piece(slab.low, slab.high, region))
    return tuple(pieces)


def remove(material: Material, motion: Motion, swept: Sweeper) -> Material:
    """Return the material without what the cutter surely removes in a motion."""
    slabs: list[Slab] = []
    for slab in material.slabs:
        share = _share(motion, slab, anywhere=False, base=0.0)
        if share is not None:
            left = _left(slab.standing, swept, share)
            if left is not slab.standing:
                slab = Slab(slab.low, slab.high, left)
        slabs.append(slab)
    return Material(tuple(slabs))


def thick_part(area: BaseGeometry) -> BaseGeometry:
    """Return an area drawn in by half of ``CONTACT``: what is thinner than ``CONTACT`` vanishes."""
    return area.buffer(-CONTACT / 2.0, join_style="mitre")


def _met(standing: BaseGeometry, swept: Sweeper, share: Share) -> BaseGeometry | None:
    """Return what of a slab is met.

    Where the centre stays so far away that only what is thinner than half of ``CONTACT`` could be met, a disc in
    what is met would be smaller than what ``thick_part`` takes away.
    """
    if swept.gap(standing) > -CONTACT / 2.0:
        return None
    region = swept.once(
        "met", share, standing, lambda: thick_part(common(swept.facing(share, standing), standing))
    )
    return None if region.is_empty else region


def _left(standing: BaseGeometry, swept: Sweeper, share: Share) -> BaseGeometry:
    """Return what is left of a slab: itself where nothing of it is removed that is more than rounding to the grid."""
    if swept.gap(standing) > -2.0 * GRID:
        return standing
    return swept.once("left", share, standing, lambda: without(standing, swept.facing(share, standing)))


def _share(motion: Motion, slab: Slab, *, anywhere: bool, base: float) -> Share | None:
    tolerance = min(HEIGHT, (slab.high - slab.low) / 2.0)
    if anywhere:
        return share_below(motion, slab.high - base - tolerance)
    return share_below(motion, slab.low - base + tolerance)
