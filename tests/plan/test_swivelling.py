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


def test_all_four_settings_that_would_do_are_told() -> None:
    """Flat 2 of 8 faces 45°; of two that are as near to 0 the one anticlockwise is told first."""
    with pytest.raises(InputError, match=r"flat 2 of 8 .* allow 45° or -45° or 135° or -135°$"):
        found(8, [0.0])


def test_the_most_exact_setting() -> None:
    """Flats face 0, 120 and 240°; 0.4° nearer to 0 is allowed, and is not as exact."""
    allowed = [math.radians(each) for each in (0.0, -29.6, -30.0, 29.6, 30.0)]
    assert found(3, allowed, error=math.radians(0.5)) == {0.0: {1: 0}, -30.0: {2: 1}, 30.0: {3: 3}}


def test_the_flat_that_is_most_out_counts() -> None:
    """Of five flats 1 faces 0 and 5 faces 288°, 18 past 270: at −9 both are 9 out, at −8 they are 8 and 10."""
    pentagon = RegularPolygon(5, 10.0)
    (only,) = settings_for(pentagon, (1, 5), whole_degrees(-60, 60), math.radians(10.0), "")
    assert math.degrees(only.angle) == pytest.approx(-9.0)
    assert only.faces == {1: 0, 5: 3}


def test_a_flat_is_cut_at_one_of_two_settings() -> None:
    """Flat 4 faces 216°, 36 past 180. At −9 flats 1 and 5 are 9 out, at −27 flats 5 and 4: flat 5 is cut at −9."""
    pentagon = RegularPolygon(5, 10.0)
    allowed = [math.radians(each) for each in (-27.0, -9.0)]
    chosen = settings_for(pentagon, (1, 5, 4), allowed, math.radians(9.0), "")
    assert [(round(math.degrees(each.angle)), dict(each.faces)) for each in chosen] == [
        (-9, {1: 0, 5: 3}),
        (-27, {4: 2}),
    ]


@pytest.mark.parametrize("first", [0, 7, 33])
@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 9, 10, 12, 15, 18, 20, 24])
def test_as_near_to_0_as_can_be(sides: int, first: int) -> None:
    """Whole degrees, and a setting that is exact but for a rounding is as exact as one that is exactly so."""
    facing = [first + 360 // sides * number for number in range(sides)]
    nearest = {min((-each % 90, -each % 90 - 90), key=lambda angle: (abs(angle), angle)) for each in facing}
    assert set(found(sides, whole_degrees(-90, 90), first=math.radians(first))) == nearest


def test_which_way_flats_run() -> None:
    """Those that face +X or −X run along Y."""
    at = AtSetting(0.0, {1: 0, 2: 1, 3: 3, 4: 2, 5: 3})
    assert (at.along("x"), at.along("y")) == (3, 2)


def test_the_earlier_of_covers_that_are_as_good() -> None:
    """What is in the fewest covers is looked for first, of these what has the lowest number, and in their order."""
    pairs = [frozenset({1, 2}), frozenset({2, 3}), frozenset({1, 3})]
    assert fewest_settings(frozenset({1, 2, 3}), pairs) == (pairs[0], pairs[1])
    rarest = [frozenset({1, 3}), frozenset({1, 2}), frozenset({3})]
    assert fewest_settings(frozenset({1, 2, 3}), rarest) == (rarest[1], rarest[0])
    single = [frozenset({2}), frozenset({1})]
    assert fewest_settings(frozenset({1, 2}), single) == (single[1], single[0])
    flats = [frozenset({(1, 2)}), frozenset({(1, 1)})]
    assert fewest_settings(frozenset({(1, 1), (1, 2)}), flats) == (flats[1], flats[0])


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


def test_where_nothing_is_gained_the_order_stays() -> None:
    far, near = AtSetting(1.0, {1: 0}), AtSetting(0.0, {2: 0})
    assert in_a_row([[far, near]]) == [[far, near]]
    assert in_a_row([[near, far]]) == [[near, far]]
