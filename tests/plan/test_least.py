"""The quickest order of strips against every order there is, and the bound below them all."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations
from random import Random
from typing import TYPE_CHECKING

import pytest

from polypocket.plan.bound import least_seconds_of_strips
from polypocket.plan.cuts import Cut, cut_along, mirror_outline, mirrored
from polypocket.plan.items import strokes_seconds
from polypocket.plan.least import MOST_STROKES, quickest_strokes
from polypocket.plan.method import Method
from polypocket.plan.order import quickest_order
from polypocket.plan.strips import next_line
from polypocket.plan.strokes import stroke_of
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from polypocket.shape.stroke import Line

if TYPE_CHECKING:
    from tests.plan.conftest import MakeMethod


def every_order(outline: Outline, flats: dict[int, Line], method: Method) -> Iterator[tuple[Cut, ...]]:
    """Every sequence of strips that takes all off, worked out by trying each flat at each step."""
    pending = {
        flat: line
        for flat, target in flats.items()
        if (line := next_line(outline.support(target.direction), target, method.stepover)) is not None
    }
    if not pending:
        yield ()
    for flat, line in pending.items():
        cut = cut_along(flat, 1, line, outline, method.radius)
        for rest in every_order(cut.after, flats, method):
            yield (cut, *rest)


def lines_of(polygon: RegularPolygon) -> dict[int, Line]:
    return {flat: Line(polygon.direction(flat), polygon.inradius) for flat in range(1, polygon.sides + 1)}


CASES = [
    (rectangle_outline(40.0, 40.0), RegularPolygon(4, 18.5), 2.0),
    (rectangle_outline(44.0, 40.0), RegularPolygon(4, 18.5), 2.5),
    (RegularPolygon(3, 13.2, 0.3).outline(), RegularPolygon(3, 11.8, 0.3), 1.0),
    (RegularPolygon(5, 18.3, 0.7).outline(), RegularPolygon(5, 18.0, 0.7), 2.0),
]


@pytest.mark.parametrize("climb", [False, True])
@pytest.mark.parametrize(("outline", "polygon", "stepover"), CASES)
def test_no_order_is_quicker(
    method: MakeMethod, outline: Outline, polygon: RegularPolygon, stepover: float, climb: bool
) -> None:
    how = method(backlash=(0.05, 0.07), stepover=stepover, climb=climb, allowance=0.0)
    flats = lines_of(polygon)
    found = quickest_strokes(outline, flats, 6.0, "finish", how, most=2000)
    assert found is not None

    def seconds(cuts: tuple[Cut, ...]) -> float:
        return strokes_seconds(
            [stroke_of("", -6.0, "finish", mirrored(cut) if climb else cut, how) for cut in cuts], how
        )

    if climb:  # tried in the mirror, as it is planned
        outline = mirror_outline(outline)
        flats = {-flat: Line(-line.direction, line.distance) for flat, line in flats.items()}
    every = list(every_order(outline, flats, how))
    assert len(every) > 1
    times = [seconds(cuts) for cuts in every]
    assert strokes_seconds(found, how) == pytest.approx(min(times), abs=1e-6)
    bound = least_seconds_of_strips(outline, flats, how, joins=False)
    assert 0.0 < bound <= min(times)
    assert least_seconds_of_strips(outline, flats, how, joins=True) <= bound


def test_strips_of_a_flat_are_counted_from_the_outermost(method: MakeMethod) -> None:
    how = method(backlash=(0.05, 0.07), stepover=1.0, allowance=0.0)
    found = quickest_strokes(
        rectangle_outline(40.0, 40.0), lines_of(RegularPolygon(4, 18.5)), 6.0, "rough", how, most=2000
    )
    assert found is not None
    for flat in range(1, 5):
        assert [s.cut.index for s in found if s.cut.flats == (flat,)] == [1, 2]


def test_too_many_are_not_compared(method: MakeMethod) -> None:
    how = method(backlash=(0.05, 0.07), stepover=1.0, allowance=0.0)
    polygon = RegularPolygon(12, 18.0)
    assert 12 * 2**11 > MOST_STROKES
    assert quickest_strokes(RegularPolygon(12, 18.2).outline(), lines_of(polygon), 6.0, "finish", how) is None


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_sections_with_the_ways_between_them(seed: int) -> None:
    """Against every permutation, with made-up times of stages and of the ways between them."""
    random = Random(seed)
    cost: dict[object, float] = {}

    def seconds(key: object) -> float:
        return cost.setdefault(key, random.uniform(1.0, 100.0))

    def between(before: object, after: object) -> float:
        return cost.setdefault(("way", before, after), random.uniform(1.0, 100.0))

    def stages_of(order: tuple[int, ...]) -> list[tuple[int, int | None, int | None]]:
        stages = []
        for i, section in enumerate(order):
            above = [other for other in order[:i] if other < section]
            below = [other for other in order[:i] if other > section]
            stages.append((section, max(above, default=None), min(below, default=None)))
        return stages

    def total(stages: list[tuple[int, int | None, int | None]]) -> float:
        ways = sum(between(a, b) for a, b in zip([None, *stages], [*stages, None], strict=True))
        return sum(map(seconds, stages)) + ways

    chosen = quickest_order(list(range(4)), lambda *key: key, seconds, between)
    assert total(chosen) == pytest.approx(min(total(stages_of(order)) for order in permutations(range(4))))
