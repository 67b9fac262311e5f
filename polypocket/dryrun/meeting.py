"""What one sweep does to what stands in a slab: what it meets, and what it leaves.

A tile counts where the sweep reaches further into it than rounding to the grid. Whether what is met is thick enough to
matter is asked of the pieces from all the tiles together, so that no seam makes a thin piece of a thick one.
"""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.overlay import GRID, lost, only_areas, thick_part, together, without
from polypocket.dryrun.sweeps import Share, Sweeper
from polypocket.dryrun.tiles import Standing, Tile, changed, tiles_near
from polypocket.dryrun.tolerances import CONTACT
from polypocket.lazily import kept_property

__all__ = ["Meeting", "meeting"]

#: Less than this is rounding to the grid, mm.
_ROUNDING = 2.0 * GRID


class Meeting:
    """A share of a path and what stands; each answer is found out when it is asked for, once."""

    def __init__(self, standing: Standing, swept: Sweeper, share: Share) -> None:
        self._standing, self._swept, self._share = standing, swept, share

    @kept_property
    def met(self) -> BaseGeometry | None:
        """What is met, drawn in by half of ``CONTACT`` all round; ``None`` where it is no thicker than that.

        Where the centre stays so far away that only what is thinner than half of ``CONTACT`` could be met, a disc in
        what is met would be smaller than what ``thick_part`` takes away.
        """
        if not any(gap <= -CONTACT / 2.0 for gap in self._reached.values()) or not self._shared:
            return None
        pieces = list(self._shared.values())
        region = thick_part(pieces[0] if len(pieces) == 1 else together(pieces))
        return None if region.is_empty else region

    @kept_property
    def left(self) -> Standing:
        """What is left: the same where nothing is removed that is more than rounding."""
        if not self._reached:
            return self._standing
        # What is shared is known where it has been asked for; then it is known too where nothing is.
        tiles = self._shared if "_shared" in self.__dict__ else self._reached
        left = {tile: self._remains[tile] for tile in tiles}
        return changed(self._standing, left, self._swept.bounds)

    @kept_property
    def _reached(self) -> dict[Tile, float]:
        """How far the path stays away from the tiles that it reaches into, mm, negative."""
        tiles = tiles_near(self._standing, self._swept.bounds)
        return {tile: gap for tile in tiles if (gap := self._swept.gap_to(tile.area)) <= -_ROUNDING}

    @kept_property
    def _facing(self) -> dict[Tile, BaseGeometry]:
        return {tile: self._swept.facing(self._share, tile.corners) for tile in self._reached}

    @kept_property
    def _remains(self) -> dict[Tile, BaseGeometry]:
        """What is left of the tiles that the path reaches into."""
        return {tile: without(tile.area, self._facing[tile]) for tile in self._reached}

    @kept_property
    def _shared(self) -> dict[Tile, BaseGeometry]:
        """What the sweep has in common with the tiles, where there is anything."""
        shared = {
            tile: only_areas(lost(tile.area, self._facing[tile], remains))
            for tile, remains in self._remains.items()
        }
        return {tile: area for tile, area in shared.items() if not area.is_empty}


def meeting(standing: Standing, swept: Sweeper, share: Share) -> Meeting:
    """Return what a share of a path and what stands do to each other; the same as the last time it was asked for."""
    return swept.once("meeting", share, standing, lambda: Meeting(standing, swept, share))
