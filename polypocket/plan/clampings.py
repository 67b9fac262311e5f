"""Several clampings where one will not reach: the fewest, and which flats at which setting with which zero.

What a flat needs of the travel is the box of its own strokes, since between strokes the cutter goes over the top, which
takes no more than these boxes together. So at one setting a clamping can have the flats whose boxes fit into one window
of the travel's size; where the zero is set, the window stands still, else it may be anywhere. The fewest windows that
have all flats between them are looked for exactly (``swivelling.fewest_settings``), and each is planned and measured
before it is believed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.block import program_of
from polypocket.plan.extent import extent_of
from polypocket.plan.place import Place, place_at
from polypocket.plan.some_flats import all_flats, strokes_of_some
from polypocket.plan.swivelling import fewest_settings
from polypocket.plan.zero_again import touches
from polypocket.shape.reach import Box

__all__ = ["Clamping", "fewest_clampings", "lines_up"]

#: A section's number and a flat's.
Flat = tuple[int, int]
_QUARTER = math.pi / 2.0
#: Angles nearer than this are one, radians.
_SAME = 1e-9
#: Lengths nearer than this are one, mm.
_ROUNDING = 1e-6


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
    found anew (``lines_up``).
    """
    every = frozenset((section, flat) for section, flats in all_flats(job).items() for flat in flats)
    covers = list(_covers(job, mill, every))
    while covers and every <= frozenset().union(*(cover.flats for cover in covers)):
        chosen = _chosen(every, covers)
        clampings = _planned(job, mill, chosen)
        wrong = next((cover for cover, at in zip(chosen, clampings, strict=True) if at is None), None)
        if wrong is None:
            return tuple(at for at in clampings if at is not None)
        # It takes more room than its flats one by one: any one of them less may do.
        covers = [
            cover for cover in covers if not (cover.swivel == wrong.swivel and cover.flats >= wrong.flats)
        ]
        smaller = (_Cover(wrong.swivel, wrong.flats - {flat}) for flat in wrong.flats)
        covers += [cover for cover in smaller if cover.flats and cover not in covers]
    return None


def _covers(job: BlockJob, mill: Mill, every: frozenset[Flat]) -> Iterator[_Cover]:
    """Yield what each setting can reach at once, no part of anything else that the same setting can."""
    for swivel in job.clamping.swivel_settings:
        if not lines_up(job, swivel):
            continue
        boxes = {flat: _box_of(job, mill, swivel, flat) for flat in sorted(every)}
        found: list[frozenset[Flat]] = []
        for window in _windows(mill, list(boxes.values())):
            inside = frozenset(flat for flat, box in boxes.items() if _is_inside(box, window))
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


def _box_of(job: BlockJob, mill: Mill, swivel: float, flat: Flat) -> Box:
    """Return the box of the strokes of one flat in the whole stock."""
    strokes = strokes_of_some(job, mill, swivel, {flat[0]: frozenset((flat[1],))}, {})
    if not strokes:
        return 0.0, 0.0, 0.0, 0.0
    room = extent_of(program_of(job, mill, strokes, range(1, len(strokes) + 1), swivel))
    return room.low[0].at, room.low[1].at, room.high[0].at, room.high[1].at


def _chosen(every: frozenset[Flat], covers: Sequence[_Cover]) -> list[_Cover]:
    """Return the fewest covers, the largest first, each flat in one of them only."""
    ordered = sorted(covers, key=lambda cover: (-len(cover.flats), abs(cover.swivel)))
    best = {cover.flats: cover for cover in reversed(ordered)}
    sets = [cover.flats for cover in ordered if best[cover.flats] is cover]
    chosen = [best[flats] for flats in fewest_settings(every, sets)]
    chosen.sort(key=lambda cover: (-len(cover.flats), abs(cover.swivel)))
    taken: frozenset[Flat] = frozenset()
    result = []
    for cover in chosen:
        result.append(_Cover(cover.swivel, cover.flats - taken))
        taken |= cover.flats
    return result


def _planned(job: BlockJob, mill: Mill, chosen: Sequence[_Cover]) -> list[Clamping | None]:
    """Plan each clamping on the stock that the ones before have left; ``None`` where it does not fit after all."""
    done: dict[int, frozenset[int]] = {}
    planned: list[Clamping | None] = []
    for cover in chosen:
        flats = _by_section(cover.flats)
        strokes = strokes_of_some(job, mill, cover.swivel, flats, done)
        place = place_at(job, mill, cover.swivel, strokes)
        zero = mill.work_offsets.get(mill.work_offset) if mill.homed else None
        fits = place.fits and (zero is None or place.region.holds(zero))
        if fits and len(chosen) > 1:
            found = touches(job, mill, cover.swivel, zero or place.zero, done)
            fits = {touch.axis for touch in found} == {0, 1}
        planned.append(Clamping(cover.swivel, flats, place) if fits else None)
        done = {
            number: done.get(number, frozenset()) | flats.get(number, frozenset())
            for number in {*done, *flats}
        }
    return planned


def _by_section(flats: Iterable[Flat]) -> dict[int, frozenset[int]]:
    result: dict[int, frozenset[int]] = {}
    for section, flat in flats:
        result[section] = result.get(section, frozenset()) | {flat}
    return result


def lines_up(job: BlockJob, swivel: float) -> bool:
    """Whether a person can find the block's centre on both axes at a setting.

    From faces of the stock that lie along the axes, of which each has one opposite, or from any two sides of round
    stock.
    """
    if job.stock.diameter is not None:
        return True
    facing = [direction + swivel for direction, _ in job.stock.faces()]
    return all(
        any(abs(math.remainder(each - axis, math.tau)) <= _SAME for each in facing)
        for axis in (0.0, _QUARTER, 2.0 * _QUARTER, 3.0 * _QUARTER)
    )
