"""Whether a feed motion cuts into the finished part."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import GRID, common
from polypocket.dryrun.part import Flat, Level
from polypocket.dryrun.sweeps import Share, Sweeper, share_below
from polypocket.dryrun.tiles import Bounds, apart
from polypocket.dryrun.tolerances import GOUGE, HEIGHT
from polypocket.shape.swept import outline_area

__all__ = ["Guard", "gouges", "guards_of"]

#: A level, the area that no cutter may enter, and the area's bounds.
Guard = tuple[Level, BaseGeometry, Bounds]

#: Halvings of the depth of a gouge: from a block's size to well below a micrometre.
_HALVINGS = 30


def guards_of(levels: tuple[Level, ...]) -> tuple[Guard, ...]:
    """Return each level with the area that no cutter may enter: its finished outline less the tolerance."""
    guards: list[Guard] = []
    for level in levels:
        area = _inside(level, GOUGE)
        shapely.prepare(area)
        guards.append((level, area, area.bounds))
    return tuple(guards)


def gouges(context: Context, guards: tuple[Guard, ...], motion: Motion, swept: Sweeper) -> Iterator[Fault]:
    """Yield a fault for each level of the part that a feed motion may cut into."""
    for level, share in _entered(guards, motion, swept):
        side, flat = _depth(level, swept(share))
        below = level.high - motion.lowest
        if below < side:
            yield _floor(context, level, motion, below)
        else:
            yield _flank(context, level, flat, motion, side)


def _entered(guards: tuple[Guard, ...], motion: Motion, swept: Sweeper) -> list[tuple[Level, Share]]:
    """Return the levels that a motion enters, from the top down, and in which share of it."""
    entered: list[tuple[Level, Share]] = []
    for level, area, bounds in reversed(guards):
        share = share_below(motion, level.high - HEIGHT)
        if share is None:
            continue
        if apart(bounds, swept.bounds) or swept.gap(area) > GRID:
            break  # the levels above stand inside of this one
        if area.intersects(swept(share)):
            entered.append((level, share))
    return entered[::-1]


@lru_cache(maxsize=4096)
def _inside(level: Level, distance: float) -> BaseGeometry:
    """Return the level's finished outline drawn in by ``distance`` mm; empty where that is too much.

    Remembered, since the depths of all gouges are looked for from the same halves on.
    """
    return outline_area(level.finished).buffer(-distance, join_style="mitre")


def _depth(level: Level, swept: BaseGeometry) -> tuple[float, Flat | None]:
    """How deep a sweep reaches into a level's outline from the side, mm, and past which flat."""
    deep, too_deep = 0.0, math.sqrt(level.finished.area)
    for _ in range(_HALVINGS):
        middle = (deep + too_deep) / 2.0
        if _inside(level, middle).intersects(swept):
            deep = middle
        else:
            too_deep = middle
    deepest = common(_inside(level, deep), swept)
    point = (swept if deepest.is_empty else deepest).representative_point()
    return deep, level.flat_near(point.x, point.y)


def _floor(context: Context, level: Level, motion: Motion, below: float) -> Fault:
    above = next((upper for upper in context.levels if upper.low == level.high), None)
    what = f"the floor of {above.feature}" if above else "the top"
    return context.fault(
        "gouge",
        motion.line,
        f"cuts {context.text(below)} below {what}, to Z {context.text(motion.lowest)}",
        f"stop at Z {context.text(level.high)} inside {level.feature}",
        key=f"floor {level.feature}",
        amount=below,
    )


def _flank(context: Context, level: Level, flat: Flat | None, motion: Motion, depth: float) -> Fault:
    where = f"flat {flat.number} of {level.feature}" if flat else level.feature
    return context.fault(
        "gouge",
        motion.line,
        f"cuts {context.text(depth)} into {where} at Z {context.text(motion.lowest)}",
        "move the path outwards by that much, or correct the cutter's radius that it was made for",
        key=where,
        amount=depth,
    )
