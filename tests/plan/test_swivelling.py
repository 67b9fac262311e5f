"""Settings of the swivel base: worked by hand, and the fewest against every choice of them."""

from __future__ import annotations

import math
from itertools import combinations, permutations
from random import Random

import pytest

from polypocket.errors import InputError
from polypocket.plan.swivelling import AtSetting, fewest_settings, in_a_row, settings_for
from polypocket.shape.polygon import RegularPolygon


def whole_degrees(low: int, high: int, step: int = 1) -> list[float]:
    return [math.radians(degrees) for degrees in range(low, high + 1, step)]


def found(
    sides: int, allowed: list[float], powered: str = "", first: float = 0.0, error: float = 0.0
) -> dict[float, dict[int, int]]:
    polygon = RegularPolygon(sides, 10.0, first)
    chosen = settings_for(polygon, range(1, sides + 1), allowed, error, powered)
    return {round(math.degrees(each.angle), 6): dict(each.faces) for each in chosen}


def test_three_sides() -> None:
    """Flats face 0, 120 and 240°. 120 − 30 = 90 and 240 + 30 = 270; no two are a whole number of quarters apart."""
    assert found(3, whole_degrees(-45, 45)) == {0.0: {1: 0}, -30.0: {2: 1}, 30.0: {3: 3}}


def test_twelve_sides() -> None:
    """Flats face 0, 30, 60 …; those a quarter apart, four each, go together: at 0, at −30 and at +30."""
    chosen = found(12, whole_degrees(-45, 45))
    assert chosen[0.0] == {1: 0, 4: 1, 7: 2, 10: 3}
    assert chosen[-30.0] == {2: 0, 5: 1, 8: 2, 11: 3}
    assert chosen[30.0] == {12: 0, 3: 1, 6: 2, 9: 3}
    assert len(chosen) == 3


def test_ten_sides_prefer_the_power_feed() -> None:
    """Flats face 0, 36, 72 …, opposite ones together. At 36 − 36 = 0 they run along Y, at 36 + 54 = 90 along X."""
    assert sorted(found(10, whole_degrees(-60, 60))) == [-36.0, -18.0, 0.0, 18.0, 36.0]
    along_x = found(10, whole_degrees(-60, 60), "x")
    assert sorted(along_x) == [-54.0, -18.0, 0.0, 18.0, 54.0]
    assert along_x[54.0] == {2: 1, 7: 3}
    assert along_x[0.0] == {1: 0, 6: 2}  # ±90 is not among the settings
    assert sorted(found(10, whole_degrees(-90, 90), "x")) == [-90.0, -54.0, -18.0, 18.0, 54.0]
    assert 0.0 in found(10, whole_degrees(-90, 90), "y")


def test_a_setting_that_is_missing() -> None:
    """Seven flats are 51.43° apart: 360/7 − 90 = −38.571429 is no whole degree."""
    with pytest.raises(
        InputError, match=r"none brings flat 2 of 7 parallel .* allow 38\.571429° or -51\.428571°"
    ):
        found(7, whole_degrees(-60, 60))
    # Where half a degree does not matter, the nearest line does.
    assert len(found(7, whole_degrees(-60, 60), error=math.radians(0.5))) == 7


@pytest.mark.parametrize("seed", range(60))
def test_no_choice_has_fewer_settings(seed: int) -> None:
    random = Random(seed)
    wanted = frozenset(range(random.randint(1, 7)))
    covers = [
        frozenset(each for each in wanted if random.random() < 0.4) for _ in range(random.randint(1, 7))
    ]
    enough = [
        count
        for count in range(len(covers) + 1)
        if any(wanted <= frozenset().union(*some) for some in combinations(covers, count))
    ]
    if not enough:
        with pytest.raises(ValueError, match="in no cover"):
            fewest_settings(wanted, covers)
        return
    chosen = fewest_settings(wanted, covers)
    assert wanted <= frozenset().union(*chosen)
    assert len(chosen) == enough[0]


def turns(orders: list[list[AtSetting]]) -> int:
    row = [each.angle for order in orders for each in order]
    return sum(a != b for a, b in zip([math.nan, *row], row, strict=False))


@pytest.mark.parametrize("seed", range(40))
def test_no_order_turns_the_base_less_often(seed: int) -> None:
    random = Random(seed)
    settings = [AtSetting(float(angle), {1: 0}) for angle in range(4)]
    visits = [random.sample(settings, random.randint(1, 3)) for _ in range(random.randint(1, 3))]
    least = math.inf
    ways: list[list[list[AtSetting]]] = [[]]
    for visit in visits:
        ways = [[*way, list(order)] for way in ways for order in permutations(visit)]
    least = min(turns(way) for way in ways)
    orders = in_a_row(visits)
    assert [sorted(order) for order in orders] == [sorted(visit) for visit in visits]
    assert turns(orders) == least
