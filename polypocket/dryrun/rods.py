"""What turns in the spindle, as rods that stand on end, and how far a motion brings one into a block.

A rod has no upper end: above the cutter is its holder, and above that the spindle's nose and the head, of which the
files say nothing. So a block is entered wherever the rod is over its plan and reaches lower than its top; whether the
block has a lower end changes nothing. A cutter's shank above the flutes is as thick as its flutes (common practice, no
source), and so is part of the same rod.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from polypocket.dryrun.motions import Motion
from polypocket.dryrun.sweeps import share_below
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.reader.track import Track
from polypocket.shape.reach import Box, arc_to_box, box_to_box, segment_to_box

__all__ = ["Block", "Rod", "entry", "rods_of"]

_EVERYWHERE: Box = (-math.inf, -math.inf, math.inf, math.inf)


class Rod(NamedTuple):
    """A cylinder without an upper end, on the spindle's axis.

    Attributes:
        name: as findings call it.
        radius: mm; 0 where nobody knows: the axis alone.
        base: how far above the tip it begins, mm.
    """

    name: str
    radius: float
    base: float


class Block(NamedTuple):
    """A block with sides along the axes, measured from the work zero, mm: its plan, and the height of its top."""

    plan: Box
    top: float


def rods_of(track: Track, job: BlockJob | None) -> Callable[[Motion], tuple[Rod, ...]]:
    """Return what tells which rods go with a motion.

    With a job they are the cutter that is in and its holder; a holder whose diameter the job does not tell is judged
    as far as the cutter is thick. Without a job the cutter is as thick as the program's comments say,
    ``(CUTTER 1 DIAMETER 12.000)``, the thickest of that number; where they say nothing it is known by its axis alone.
    """
    if job is not None:
        of_cutter = {cutter.number: _of_cutter(cutter) for cutter in job.cutters}
        return lambda motion: of_cutter[job.cutter(motion.tool).number]
    radii: dict[int, float] = {}
    for asked in track.asks:
        if asked.kind == "cutter" and not math.isnan(asked.value):
            radii[asked.number] = max(radii.get(asked.number, 0.0), asked.value / 2.0)

    @cache
    def of_tool(number: int) -> tuple[Rod, ...]:
        return (Rod("the cutter", radii.get(number, 0.0), 0.0),)

    return lambda motion: of_tool(motion.tool)


def entry(motion: Motion, rod: Rod, block: Block, *, independent: bool) -> float:
    """Return how far a motion brings a rod into a block, mm: what it would have to be lifted, or moved away, if less.

    0 where it stays clear; infinite where the program has not said where the cutter is, and it may go in. On a slope
    the motion's lowest point counts. Touching within ``CONTACT`` or ``HEIGHT`` is clear.

    Args:
        motion: any, known or not.
        rod: what is moved.
        block: what it may meet.
        independent: the axes of a rapid need not arrive together: it may go anywhere in the box of its ends.
    """
    if not motion.is_known:
        around, lowest = _anywhere(motion)
        meets = (
            lowest + rod.base < block.top - HEIGHT and box_to_box(around, block.plan) < rod.radius + CONTACT
        )
        return math.inf if meets else 0.0
    deep = block.top - motion.lowest - rod.base
    if deep <= HEIGHT or box_to_box(_bounds(motion), block.plan) > rod.radius:
        return 0.0
    away = _distance(motion, block.top - rod.base - HEIGHT, block.plan, independent=independent)
    if away == 0.0:
        return deep
    side = rod.radius - away
    return min(deep, side) if side > CONTACT else 0.0


def _of_cutter(cutter: Cutter) -> tuple[Rod, ...]:
    rod = Rod("the cutter", cutter.radius, 0.0)
    if cutter.holder_diameter is None:
        return (rod,)
    return rod, Rod("the holder", cutter.holder_diameter / 2.0, cutter.stick_out)


def _distance(motion: Motion, height: float, plan: Box, *, independent: bool) -> float:
    """Return how near a known motion comes to a rectangle while the tip is at or below a height, mm.

    An arc in an upright plane counts by the box of its plan, at its lowest.
    """
    if motion.is_upright_arc:
        return box_to_box(_bounds(motion), plan)
    share = share_below(motion, height)
    if share is None:
        return math.inf
    if motion.is_rapid and independent:
        return box_to_box(_bounds(motion), plan)
    first, last = share
    if motion.is_arc:
        begin = motion.start_angle + first * motion.sweep
        return arc_to_box(motion.centre, motion.path_radius, begin, (last - first) * motion.sweep, plan)
    return segment_to_box(motion.at(first)[:2], motion.at(last)[:2], plan)


def _bounds(motion: Motion) -> Box:
    """Return a rectangle that a known path stays in; that of its ends, but for an arc, whose whole circle counts."""
    if motion.is_upright_arc:
        across = [motion.at(share)[:2] for share in (0.0, *motion.quadrant_shares(), 1.0)]
        (low_x, high_x), (low_y, high_y) = ((min(along), max(along)) for along in zip(*across, strict=True))
        return low_x, low_y, high_x, high_y
    if motion.is_arc:
        (x, y), radius = motion.centre, motion.path_radius
        return x - radius, y - radius, x + radius, y + radius
    (x1, y1, _), (x2, y2, _) = motion.start, motion.end
    return min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)


def _anywhere(motion: Motion) -> tuple[Box, float]:
    """Return where a motion between places that are not all known may go, and how low the tip may come, mm.

    Straight up or down it comes no lower than its end: the mill can stand wherever it stands.
    """
    (x1, y1, z1), (x2, y2, z2) = motion.start, motion.end
    across = motion.is_arc or any(a != b and not math.isnan(a) for a, b in ((x2, x1), (y2, y1)))
    lowest = min(z1, z2) if across else z2
    if math.isnan(z2) or (across and math.isnan(z1)):
        lowest = -math.inf
    if motion.is_arc:
        return _EVERYWHERE, lowest
    low_x, high_x = _between(x1, x2)
    low_y, high_y = _between(y1, y2)
    return (low_x, low_y, high_x, high_y), lowest


def _between(one: float, other: float) -> tuple[float, float]:
    return (-math.inf, math.inf) if math.isnan(one + other) else (min(one, other), max(one, other))
