"""The ways of clearing an area that are compared, and the one that is taken."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from polypocket.plan.clearing import Area, Clearing, clearing_of
from polypocket.plan.cuts import Cut
from polypocket.plan.items import strokes_seconds
from polypocket.plan.method import Method
from polypocket.plan.strips import flat_by_flat, strips
from polypocket.plan.strokes import Stroke, stroke_of
from polypocket.shape.outline import Outline, rectangle_outline
from polypocket.shape.polygon import RegularPolygon

MakeMethod = Callable[..., Method]

SQUARE = rectangle_outline(40.0, 40.0)


def all_flats(polygon: RegularPolygon, standing: Outline = SQUARE) -> Area:
    return Area(polygon, tuple(range(1, polygon.sides + 1)), standing)


def strokes_of(cuts: tuple[Cut, ...], method: Method) -> list[Stroke]:
    return [stroke_of("", -5.0, "rough", cut, method) for cut in cuts]


def stretches(clearing: Clearing) -> int:
    return sum(len(stroke.cut.flats) for stroke in clearing.roughing)


@pytest.mark.parametrize("sides", [3, 5, 8, 12])
@pytest.mark.parametrize("climb", [False, True])
def test_no_slower_than_flat_by_flat(method: MakeMethod, sides: int, climb: bool) -> None:
    area = all_flats(RegularPolygon(sides, 18.0 * math.cos(math.pi / sides)))
    how = method(climb=climb)
    chosen = clearing_of(area, 5.0, how).roughing
    if not climb:
        plain = strips(SQUARE, area.lines(0.0), how.radius, how.stepover, flat_by_flat)
        assert strokes_seconds(chosen, how) <= strokes_seconds(strokes_of(plain, how), how) + 1e-9
    assert {stroke.cut.anticlockwise for stroke in chosen} == {not climb}


def test_knows_its_own_time(method: MakeMethod) -> None:
    how = method(allowance=0.3)
    clearing = clearing_of(all_flats(RegularPolygon(6, 15.0)), 5.0, how)
    assert clearing.roughing_seconds == pytest.approx(strokes_seconds(clearing.roughing, how))
    assert clearing.finishing_seconds == pytest.approx(strokes_seconds(clearing.finishing, how))


@pytest.mark.parametrize("climb", [False, True])
@pytest.mark.parametrize("allowance", [0.0, 0.3])
def test_roughing_leaves_the_allowance_and_finishing_the_flats(
    method: MakeMethod, climb: bool, allowance: float
) -> None:
    polygon = RegularPolygon(6, 15.0, 0.2)
    clearing = clearing_of(all_flats(polygon), 5.0, method(climb=climb, allowance=allowance))
    roughed = RegularPolygon(6, 15.0 + allowance, 0.2)
    assert clearing.roughing[-1].cut.after.area == pytest.approx(roughed.area, rel=1e-6)
    if allowance:
        assert clearing.finishing[-1].cut.after.area == pytest.approx(polygon.area, rel=1e-6)
        assert sorted(flat for stroke in clearing.finishing for flat in stroke.cut.flats) == [
            1,
            2,
            3,
            4,
            5,
            6,
        ]
    else:
        assert clearing.finishing == ()


def test_play_in_the_screws_means_flat_by_flat(method: MakeMethod) -> None:
    """Each flat is finished by itself; roughing may still roll, since the allowance is twice the play."""
    area = all_flats(RegularPolygon(6, 15.0))
    tight = clearing_of(area, 5.0, method(allowance=0.3))
    loose = clearing_of(area, 5.0, method(allowance=0.3, backlash=(0.05, 0.1)))
    assert [len(stroke.cut.flats) for stroke in tight.finishing] == [6]
    assert [len(stroke.cut.flats) for stroke in loose.finishing] == [1] * 6
    worn = clearing_of(area, 5.0, method(backlash=(0.05, 0.1)))
    assert all(len(stroke.cut.flats) == 1 for stroke in worn.roughing)


def test_a_skin_on_one_flat_does_not_set_the_width_of_all_strips(method: MakeMethod) -> None:
    """A rectangle half a micrometre larger than the octagon: strips as thin as that would be thousands."""
    area = all_flats(RegularPolygon(8, 25.93), rectangle_outline(55.247, 51.861))
    clearing = clearing_of(area, 10.0, method(radius=4.0, stepover=4.0))
    assert stretches(clearing) <= 8 * math.ceil(10.74 / 4.0)


def test_nothing_to_clear(method: MakeMethod) -> None:
    polygon = RegularPolygon(6, 15.0)
    area = all_flats(polygon, Outline(polygon.vertices()))
    clearing = clearing_of(area, 5.0, method(allowance=0.2))
    assert clearing[:4] == Clearing((), (), 0.0, 0.0)[:4]
    assert clearing.roughing_bound() == clearing.finishing_bound() == 0.0
