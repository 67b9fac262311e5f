"""Work that is turned past a cutter at depth: stock of 40 mm that may be 0.5 mm larger on every side.

Its corners reach 20.5 · √2 = 28.9914 from the centre, and the cutter's radius is 5: 33.9914 is clear.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from polypocket.dryrun.context import Context
from polypocket.dryrun.in_the_way import in_the_way
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.part import levels_of
from polypocket.reader import Kind, read
from tests.dryrun.conftest import DIALECT, Shop

QUARTER = math.pi / 2.0


def found(
    shop: Shop,
    start: tuple[float, float, float],
    *,
    outside: float = 500.0,
    by_hand: bool = True,
    before: float = 0.0,
) -> list[tuple[str, int, str]]:
    """What is said where the work is turned from ``before`` to 90° and the cutter stands at ``start``."""
    track = replace(read(shop.program, DIALECT, name="test"), by_hand=by_hand, outside=outside)
    job, mill = shop.job(), shop.mill()
    first = Motion(
        7, 12, Kind.RAPID, start, (99.0, 0.0, -6.0), (math.nan, math.nan), 0, math.nan, 0.0, 1, False
    )
    then = replace(first, line=13, start=(0.0, 0.0, -6.0))
    context = Context("test", "mm", mill, job, levels_of(job, QUARTER), QUARTER)
    return [
        (each.code, each.line, each.message) for each in in_the_way(context, track, [first, then], before)
    ]


SAID = [("rapid-contact", 12, "the work, which reaches 28.991 mm from its centre, is turned past the cutter")]


@pytest.mark.parametrize(
    ("x", "y", "clean"),
    [
        (34.0, 0.0, True),
        (0.0, -34.0, True),
        (-24.1, 24.1, True),  # 34.083
        (-24.0, 24.0, False),  # 33.941
        (33.987, 0.0, True),  # within what surfaces may be apart
        (33.985, 0.0, False),
        (math.nan, 50.0, False),
        (50.0, math.nan, False),
    ],
)
def test_how_near_the_cutter_may_stand(shop: Shop, x: float, y: float, clean: bool) -> None:
    assert found(shop, (x, y, -0.5)) == ([] if clean else SAID)


@pytest.mark.parametrize(("outside", "clean"), [(34.0, True), (33.9, False)])
def test_anywhere_on_the_rim_that_the_sheet_tells_of(shop: Shop, outside: float, clean: bool) -> None:
    assert found(shop, (60.0, 0.0, -6.0), outside=outside) == ([] if clean else SAID)


@pytest.mark.parametrize(("z", "clean"), [(0.0, True), (0.5, True), (-0.001, False), (math.nan, False)])
def test_above_the_work_nothing_is_in_the_way(shop: Shop, z: float, clean: bool) -> None:
    assert found(shop, (0.0, 0.0, z)) == ([] if clean else SAID)


def test_only_where_it_is_turned_and_only_by_hand(shop: Shop) -> None:
    middle = (0.0, 0.0, -6.0)
    assert found(shop, middle) == SAID
    assert found(shop, middle, before=QUARTER) == []
    assert found(shop, middle, before=-QUARTER) == SAID
    assert found(shop, middle, by_hand=False) == []  # a program begins anew, and says how high
