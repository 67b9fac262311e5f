"""A second way to see what a neutral program cuts: strokes taken from the block one by one, with shapely alone.

It shares no code with the dry run. It takes the planner's own values, not the text, so that what it finds is the
plan's and not that of rounding. Lengths mm; the block stands in slabs, from one height that occurs to the next.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.program import Arc, Feed, Link, Move, Pass, Program, Rapid, UseCutter

__all__ = ["SLIVER", "Bite", "Replay", "Touch", "replay"]

Floats = NDArray[np.float64]
Triple = tuple[float, float, float]

#: The cutter may come so near to material without being said to touch it, mm: more than all circles are out here.
SLIVER = 0.002
#: Straight pieces of a circle's quadrant: at a radius of 8 mm they stand back from it by 0.0006 mm.
_QUADRANT = 64
#: Angle of the straight pieces of an arc's path, radians: at a radius of 8 mm they stand back by 0.0001 mm.
_TURN = 0.01
#: Without a grid, overlays of edges that run along each other within rounding can take the wrong side of one, mm.
_GRID = 1e-6
#: Heights nearer than this are one, mm.
_SAME_HEIGHT = 1e-9


@dataclass(frozen=True)
class Touch:
    """Where a move that should not cut meets material."""

    move: Move
    start: Triple
    area: float
    after_pass: int


@dataclass(frozen=True)
class Bite:
    """What one cutting move removes.

    Attributes:
        owner: the pass that it belongs to.
        move: the move itself.
        width: on the side that the pass names, from the cutter's rim inwards, mm; square to the travel at the time.
        astray: how far what it removes reaches past the path of the cutter's centre on the other side, mm.
        height: from the cutter's tip to the top of what it removes, mm.
    """

    owner: Pass
    move: Feed | Arc
    width: float
    astray: float
    height: float


@dataclass
class Replay:
    """What became of the block.

    Attributes:
        slabs: the height of each slab's lower end, and what stands in it, from the top down.
        touches: of moves that should not cut.
        bites: of moves that do.
    """

    slabs: dict[float, BaseGeometry]
    touches: list[Touch] = field(default_factory=list)
    bites: list[Bite] = field(default_factory=list)


def replay(program: Program, job: BlockJob, mill: Mill) -> Replay:
    """Take every stroke of a program from stock as large as it may be."""
    (setup,) = program.setups
    heights = {-section.depth for section in job.sections}
    heights |= {item.level for item in setup.items if isinstance(item, Pass)}
    stock = Polygon(job.stock.largest_outline().vertices)
    result = Replay({height: stock for height in _distinct(heights)})
    position: tuple[float | None, float | None, float | None] = (None, None, None)
    number = 0
    radius = math.nan
    for owner, move in _moves(setup.items):
        if isinstance(move, UseCutter):
            radius = job.cutter(move.number).radius
            position = (*position[:2], None)  # another tip is at another height
            continue
        number = owner.number if owner else number
        assert isinstance(move, Rapid | Feed | Arc), f"no block has a {move}"
        end = _arrive(position, move)
        if None in position:
            # Nothing is known of the way, so that only a height above the stock will do.
            if end[2] is None or (end[2] < 0.0 and position[:2] == (None, None)):
                result.touches.append(Touch(move, (math.nan,) * 3, math.inf, number))
        else:
            _take(
                result,
                position,
                end,
                move,
                owner,
                radius,
                mill.rapid_path == "independent",
                number,
            )  # type: ignore[arg-type]
        position = end
    return result


def _distinct(heights: set[float]) -> list[float]:
    kept: list[float] = []
    for height in sorted(heights, reverse=True):
        if not kept or kept[-1] - height > _SAME_HEIGHT:
            kept.append(height)
    return kept


def _moves(items: Sequence[object]) -> Iterator[tuple[Pass | None, Move | UseCutter]]:
    """Yield every move, with its pass where it is one that may cut, and the cutters between them."""
    for item in items:
        match item:
            case UseCutter():
                yield None, item
            case Link(moves):
                yield from ((None, move) for move in moves)
            case Pass():
                yield from ((None, move) for move in item.lead_in)
                yield from ((item, move) for move in item.cut)
                yield from ((None, move) for move in item.lead_out)


def _arrive(
    position: tuple[float | None, ...], move: Rapid | Feed | Arc
) -> tuple[float | None, float | None, float | None]:
    x, y, z = (old if new is None else new for old, new in zip(position, move.to, strict=True))
    return x, y, z


def _take(
    result: Replay,
    start: Triple,
    end: Triple,
    move: Rapid | Feed | Arc,
    owner: Pass | None,
    radius: float,
    independent: bool,
    number: int,
) -> None:
    lowest = min(start[2], end[2])
    at = [height for height in result.slabs if height > lowest - _SAME_HEIGHT]
    if not at or lowest > -_SAME_HEIGHT:
        return
    path = _path(start, end, move, independent)
    if owner is None:
        swept = path.buffer(radius - SLIVER, quad_segs=_QUADRANT)
        area = max(shapely.intersection(result.slabs[height], swept, grid_size=_GRID).area for height in at)
        if area > 1e-9:
            result.touches.append(Touch(move, start, area, number))
        return
    assert isinstance(move, Feed | Arc), "a rapid in a cut"
    assert start[2] == end[2], "a cut that changes its height"
    swept = path.buffer(radius, quad_segs=_QUADRANT)
    tops = dict(zip(result.slabs, [0.0, *result.slabs], strict=False))
    width = astray = height = 0.0
    for low in at:
        # Thinned by a little, so that what circles of straight pieces have left is not taken for material.
        removed = shapely.intersection(result.slabs[low], swept, grid_size=_GRID).buffer(
            -SLIVER / 2.0, quad_segs=2
        )
        result.slabs[low] = shapely.difference(result.slabs[low], swept, grid_size=_GRID)
        if removed.is_empty:
            continue
        inwards = _to_the_left(start, end, move, radius, shapely.get_coordinates(removed))
        inwards = inwards if owner.side == "left" else -inwards
        width = max(width, radius - float(inwards.min()) + SLIVER / 2.0)
        astray = max(astray, -float(inwards.min()))
        height = max(height, tops[low] - lowest)
    result.bites.append(Bite(owner, move, width, astray, height))


def _path(start: Triple, end: Triple, move: Move, independent: bool) -> BaseGeometry:
    """Where the cutter's centre goes, seen from above: a box where the axes of a rapid need not arrive together."""
    if isinstance(move, Arc):
        return shapely.LineString(_along(start, end, move))
    if isinstance(move, Rapid) and independent:
        corners = (start[:2], (end[0], start[1]), end[:2], (start[0], end[1]))
        return shapely.MultiPoint(corners).convex_hull
    return shapely.MultiPoint((start[:2], end[:2])).convex_hull


def _along(start: Triple, end: Triple, arc: Arc) -> Floats:
    begin, sweep = _angles(start, end, arc)
    radius = math.dist(start[:2], arc.centre)
    assert abs(radius - math.dist(end[:2], arc.centre)) < 1e-6, f"{arc} is no circle from {start}"
    angles = begin + sweep * np.linspace(0.0, 1.0, math.ceil(abs(sweep) / _TURN) + 1)
    return np.array(arc.centre) + radius * np.column_stack((np.cos(angles), np.sin(angles)))


def _angles(start: Triple, end: Triple, arc: Arc) -> tuple[float, float]:
    """Return the angle at which an arc begins, and how far it turns, anticlockwise positive."""
    (x, y), turn = arc.centre, math.tau
    begin, finish = math.atan2(start[1] - y, start[0] - x), math.atan2(end[1] - y, end[0] - x)
    sweep = -((begin - finish) % turn) if arc.clockwise else (finish - begin) % turn
    return begin, sweep + math.copysign(turn * arc.turns, sweep)


def _to_the_left(start: Triple, end: Triple, move: Feed | Arc, radius: float, points: Floats) -> Floats:
    """How far points lie on the left of the travel when the cutter's rim reaches them, mm; negative on the right.

    On an arc of radius r the centre C of a cutter of radius R is R away from a point P that is ρ away from the arc's
    centre M. The law of cosines gives C's distance from P measured towards M: r − (r² + ρ² − R²) / 2r.
    """
    if isinstance(move, Feed):
        length = math.dist(start[:2], end[:2])
        along = np.array((end[0] - start[0], end[1] - start[1])) / length
        left: Floats = (points - np.array(start[:2])) @ np.array((-along[1], along[0]))
        return left
    away = math.dist(start[:2], move.centre)
    square: Floats = ((points - np.array(move.centre)) ** 2).sum(axis=1)
    inwards = away - (away**2 + square - radius**2) / (2.0 * away)
    return -inwards if move.clockwise else inwards
