"""Where the cutter may go at depth: inside the travel, and outside of what stands on the table."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.model.cutter import Cutter
from polypocket.model.mill import Mill
from polypocket.plan.clearances import SIDE
from polypocket.shape.outline import Outline
from polypocket.shape.reach import Box

__all__ = ["EVERYWHERE", "Room", "room_of"]

_FAR = 1e4


class Room(NamedTuple):
    """The room of a mill about its work zero, mm.

    Attributes:
        travel: of the cutter's axis.
        keep_outs: each one's plan and the height of its top.
        cutter, holder: radius of the cutter, and of the holder that stands ``stick_out`` above the tip; 0 where the job
            gives none.
        stick_out: mm.
    """

    travel: Box
    keep_outs: tuple[tuple[Box, float], ...] = ()
    cutter: float = 0.0
    holder: float = 0.0
    stick_out: float = 0.0

    def obstacles(self, level: float) -> tuple[Outline, ...]:
        """Return what the cutter's axis must stay out of with the tip at ``level``, holder and all."""
        found = []
        for (low_x, low_y, high_x, high_y), top in self.keep_outs:
            distance = self.cutter if top > level else -1.0
            if top > level + self.stick_out:
                distance = max(distance, self.holder)
            if distance >= 0.0:
                d = distance + SIDE
                corners = (
                    (high_x + d, low_y - d),
                    (high_x + d, high_y + d),
                    (low_x - d, high_y + d),
                    (low_x - d, low_y - d),
                )
                found.append(Outline(corners))
        return tuple(found)


#: No ends of travel, and nothing in the way.
EVERYWHERE = Room((-_FAR, -_FAR, _FAR, _FAR))


def room_of(cutter: Cutter, mill: Mill) -> Room:
    """Return the room of a mill for a cutter, as far as its file tells it."""
    zero = mill.work_offsets.get(mill.work_offset)
    if zero is None or not mill.homed:
        return EVERYWHERE
    x, y, z = zero
    axes = mill.axes
    keep_outs = tuple(
        ((each.x[0] - x, each.y[0] - y, each.x[1] - x, each.y[1] - y), each.z[1] - z)
        for each in mill.keep_out
    )
    return Room(
        (axes.x.low - x, axes.y.low - y, axes.x.high - x, axes.y.high - y),
        keep_outs,
        cutter.path_radius,
        (cutter.holder_diameter or 0.0) / 2.0,
        cutter.stick_out,
    )
