"""Several clampings where one will not reach: the fewest, and which flats at which setting with which zero.

What a flat needs of the travel is the box of its own strokes, since between strokes the cutter goes over the top, which
takes no more than these boxes together. So at one setting a clamping can have the flats whose boxes fit into one window
of the travel's size; where the zero is set, the window stands still, else it may be anywhere. The fewest windows that
have all flats between them are looked for exactly (``swivelling.fewest_settings``), and planned, in every order, on the
stock that each leaves to the next.

How large a box is depends on what stands beside the flat: on the whole stock it is largest. Fewer clampings may do
where each is chosen for the stock that the ones before have left, so that this is tried too, from several beginnings.
Few flats are shared out in every way there is, so that there are no fewer clampings than those found.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations, islice, permutations
from typing import NamedTuple

from polypocket.model.job import BlockJob, has_material
from polypocket.model.mill import Mill
from polypocket.plan.block import program_of
from polypocket.plan.extent import extent_of
from polypocket.plan.place import Place, place_at
from polypocket.plan.reachable import Flat, reachable, require_parallel
from polypocket.plan.some_flats import all_flats, strokes_of_some
from polypocket.plan.swivelling import fewest_settings
from polypocket.plan.zero_again import has_opposite_corners, touches
from polypocket.shape.reach import Box

__all__ = ["Clamping", "fewest_clampings", "lines_up"]

_QUARTER = math.pi / 2.0
#: Angles nearer than this are one, radians.
_SAME = 1e-9
#: Lengths nearer than this are one, mm.
_ROUNDING = 1e-6
#: Choices of windows, and orders of each, that are planned before it is given up. No source.
_MOST_TRIES, _MOST_ORDERS = 12, 6
#: Beginnings that are kept after each step. No source.
_MOST_WAYS = 6
#: Up to so many flats are shared out in every way: some hundred plans. No source.
_FEW = 4


class Clamping(NamedTuple):
    """One clamping.

    Attributes:
        swivel: setting of the swivel base, radians.
        flats: numbers of the flats that it cuts, by section.
        place: of the work on the table, and the strokes.
    """

    swivel: float
    flats: dict[int, frozenset[int]]
    place: Place


class _Cover(NamedTuple):
    swivel: float
    flats: frozenset[Flat]


def fewest_clampings(job: BlockJob, mill: Mill) -> tuple[Clamping, ...] | None:
    """Return the fewest clampings in which all flats can be reached, in their order; ``None`` where none will do.

    All ways between strokes must go over the top (``job.cut.approach``). Settings are those at which the zero can be
    found anew (``lines_up``). Where a control drives one of X and Y only, a setting has the flats that it brings
    parallel to that axis.

    Raises:
        InputError: no setting brings one of the flats parallel to the one axis that is driven.
    """
    every = frozenset(
        (section, flat)
        for section, flats in all_flats(job).items()
        for flat in flats
        if has_material(job, job.sections[section - 1], flat)
    )
    settings = [
        swivel
        for swivel in job.clamping.swivel_settings
        if lines_up(job, swivel, corners=mill.axis_by_hand is not None)
    ]
    if mill.axis_by_hand is not None:
        require_parallel(job, mill, settings, every)
    for swivel in settings:
        alone = _planned(job, mill, [_Cover(swivel, every)])[0]
        if alone is not None:
            return (alone,)
    if len(every) <= _FEW:
        return _of_all_ways(job, mill, settings, every)
    surely = _by_windows(job, mill, settings, every)
    stepwise = _step_by_step(job, mill, settings, every, len(every) if surely is None else len(surely) - 1)
    return stepwise or surely


def _by_windows(
    job: BlockJob, mill: Mill, settings: Sequence[float], every: frozenset[Flat]
) -> tuple[Clamping, ...] | None:
    """Return clampings found by the boxes that flats have on the whole stock."""
    covers = list(_covers(job, mill, settings, every, frozenset()))
    for _ in range(_MOST_TRIES):
        if not every <= frozenset().union(*(cover.flats for cover in covers)):
            return None
        chosen = _chosen(every, covers)
        wrong: _Cover | None = None
        for order in islice(permutations(chosen), _MOST_ORDERS):
            shared = _shared_out(order)
            clampings = _planned(job, mill, shared)
            if None not in clampings:
                return tuple(at for at in clampings if at is not None)
            wrong = wrong or shared[clampings.index(None)]
        assert wrong is not None  # there is at least one order
        covers = _without(covers, wrong)
    return None


def _step_by_step(
    job: BlockJob, mill: Mill, settings: Sequence[float], every: frozenset[Flat], most: int
) -> tuple[Clamping, ...] | None:
    """Return clampings, at most so many, each with all that it can reach of what the ones before have left.

    After each step those beginnings are kept that have come furthest.
    """
    ways: list[tuple[frozenset[Flat], tuple[Clamping, ...]]] = [(frozenset(), ())]
    for _ in range(most):
        further: dict[frozenset[Flat], tuple[Clamping, ...]] = {}
        for before, clampings in ways:
            for cover in _covers(job, mill, settings, every - before, before):
                after = before | cover.flats
                if after not in further and (at := _clamping(job, mill, cover, _by_section(before))):
                    further[after] = (*clampings, at)
        if every in further:
            return further[every]
        ways = sorted(further.items(), key=lambda way: (-len(way[0]), sorted(way[0])))[:_MOST_WAYS]
    return None


def _of_all_ways(
    job: BlockJob, mill: Mill, settings: Sequence[float], every: frozenset[Flat]
) -> tuple[Clamping, ...] | None:
    """Return the fewest clampings, step by step from the whole stock: all that can be cut next is planned."""
    reached: dict[frozenset[Flat], tuple[Clamping, ...]] = {frozenset(): ()}
    for _ in every:
        following: dict[frozenset[Flat], tuple[Clamping, ...]] = {}
        for before, clampings in reached.items():
            left = sorted(every - before)
            for count in range(len(left), 0, -1):
                for some in combinations(left, count):
                    after = before | frozenset(some)
                    if after in following or after in reached:
                        continue
                    at = _first_that_fits(job, mill, settings, frozenset(some), before)
                    if at is not None:
                        following[after] = (*clampings, at)
        if every in following:
            return following[every]
        reached = following
    return None


def _first_that_fits(
    job: BlockJob, mill: Mill, settings: Sequence[float], some: frozenset[Flat], before: frozenset[Flat]
) -> Clamping | None:
    found = (_clamping(job, mill, _Cover(swivel, some), _by_section(before)) for swivel in settings)
    return next((at for at in found if at is not None), None)


def _without(covers: Sequence[_Cover], wrong: _Cover) -> list[_Cover]:
    """Return covers without one that takes too much room, or any with more; for them those with one flat less."""
    left = [cover for cover in covers if not (cover.swivel == wrong.swivel and cover.flats >= wrong.flats)]
    larger = [cover for cover in covers if cover.swivel == wrong.swivel and cover.flats >= wrong.flats]
    for cover in larger:
        for flat in sorted(wrong.flats):
            smaller = _Cover(wrong.swivel, cover.flats - {flat})
            if smaller.flats and not any(
                smaller.flats <= other.flats for other in left if other.swivel == smaller.swivel
            ):
                left.append(smaller)
    return left


def _covers(
    job: BlockJob, mill: Mill, settings: Sequence[float], every: frozenset[Flat], beside: frozenset[Flat]
) -> Iterator[_Cover]:
    """Yield what each setting can reach at once, no part of anything else that the same setting can."""
    for swivel in settings:
        flats = reachable(job, mill, swivel, every)
        boxes = {flat: _box_of(job, mill, swivel, flat, beside) for flat in sorted(flats)}
        found: list[frozenset[Flat]] = []
        for window in _windows(mill, [box for box in boxes.values() if box]):
            inside = frozenset(flat for flat, box in boxes.items() if box is None or _is_inside(box, window))
            if inside and not any(inside <= other for other in found):
                found = [other for other in found if not other <= inside] + [inside]
        yield from (_Cover(swivel, flats) for flats in found)


def _windows(mill: Mill, boxes: Sequence[Box]) -> Iterator[Box]:
    """Yield the travel, about the work zero: one that is set, or beginning with any of the boxes."""
    width, length = mill.axes.x.high - mill.axes.x.low, mill.axes.y.high - mill.axes.y.low
    zero = mill.work_offsets.get(mill.work_offset) if mill.homed else None
    if zero is not None:
        low_x, low_y = mill.axes.x.low - zero[0], mill.axes.y.low - zero[1]
        yield low_x, low_y, low_x + width, low_y + length
        return
    for x in sorted({box[0] for box in boxes}):
        for y in sorted({box[1] for box in boxes}):
            yield x, y, x + width, y + length


def _is_inside(box: Box, window: Box) -> bool:
    return all(a >= b - _ROUNDING for a, b in zip(box[:2], window[:2], strict=True)) and all(
        a <= b + _ROUNDING for a, b in zip(box[2:], window[2:], strict=True)
    )


def _box_of(job: BlockJob, mill: Mill, swivel: float, flat: Flat, beside: frozenset[Flat]) -> Box | None:
    """Return the box of one flat's strokes where others are cut; ``None`` where nothing is left of it then."""
    strokes = strokes_of_some(job, mill, swivel, _by_section((flat,)), _by_section(beside - {flat}))
    if not strokes:
        return None
    room = extent_of(program_of(job, mill, strokes, range(1, len(strokes) + 1), swivel))
    return room.low[0].at, room.low[1].at, room.high[0].at, room.high[1].at


def _chosen(every: frozenset[Flat], covers: Sequence[_Cover]) -> list[_Cover]:
    """Return the fewest covers that have all flats between them, the largest first."""
    ordered = sorted(covers, key=lambda cover: (-len(cover.flats), abs(cover.swivel)))
    best = {cover.flats: cover for cover in reversed(ordered)}
    sets = [cover.flats for cover in ordered if best[cover.flats] is cover]
    chosen = [best[flats] for flats in fewest_settings(every, sets)]
    return sorted(chosen, key=lambda cover: (-len(cover.flats), abs(cover.swivel)))


def _shared_out(covers: Sequence[_Cover]) -> list[_Cover]:
    """Return covers with each flat in the first that has it only."""
    taken: frozenset[Flat] = frozenset()
    result = []
    for cover in covers:
        result.append(_Cover(cover.swivel, cover.flats - taken))
        taken |= cover.flats
    return result


def _planned(job: BlockJob, mill: Mill, chosen: Sequence[_Cover]) -> list[Clamping | None]:
    """Plan each clamping on the stock that the ones before have left, up to one that does not fit: ``None``."""
    done: dict[int, frozenset[int]] = {}
    planned: list[Clamping | None] = []
    for cover in chosen:
        planned.append(_clamping(job, mill, cover, done, alone=len(chosen) == 1))
        if planned[-1] is None:
            break
        flats = planned[-1].flats
        done = {
            number: done.get(number, frozenset()) | flats.get(number, frozenset())
            for number in {*done, *flats}
        }
    return planned


def _clamping(
    job: BlockJob, mill: Mill, cover: _Cover, done: Mapping[int, frozenset[int]], *, alone: bool = False
) -> Clamping | None:
    """Plan one clamping; ``None`` where it does not fit, or its zero cannot be found. ``alone``: there is no other."""
    if reachable(job, mill, cover.swivel, cover.flats) != cover.flats:
        return None
    flats = _by_section(cover.flats)
    strokes = strokes_of_some(job, mill, cover.swivel, flats, done)
    if not strokes:
        return None
    place = place_at(job, mill, cover.swivel, strokes)
    zero = mill.work_offsets.get(mill.work_offset) if mill.homed else None
    if not place.fits or (zero is not None and not place.region.holds(zero)):
        return None
    found = {touch.axis for touch in touches(job, mill, cover.swivel, zero or place.zero, done)}
    return Clamping(cover.swivel, flats, place) if alone or found == {0, 1} else None


def _by_section(flats: Iterable[Flat]) -> dict[int, frozenset[int]]:
    result: dict[int, frozenset[int]] = {}
    for section, flat in flats:
        result[section] = result.get(section, frozenset()) | {flat}
    return result


def lines_up(job: BlockJob, swivel: float, *, corners: bool = False) -> bool:
    """Whether a person can find the block's centre on both axes at a setting.

    From faces of the stock that lie along the axes, of which each has one opposite, or from any two sides of round
    stock; with ``corners``, from the corners that reach furthest out on both sides, where each has one opposite.
    """
    if job.stock.diameter is not None or (corners and has_opposite_corners(job)):
        return True
    facing = [direction + swivel for direction, _ in job.stock.faces()]
    return all(
        any(abs(math.remainder(each - axis, math.tau)) <= _SAME for each in facing)
        for axis in (0.0, _QUARTER, 2.0 * _QUARTER, 3.0 * _QUARTER)
    )
