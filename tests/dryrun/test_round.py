"""A block that is gone round without a stop, its corners rolled round on arcs: for mills without backlash."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from polypocket.model.mill import Mill
    from tests.dryrun.conftest import Shop

ROUND = """\
G21 G17 G90 G94 G40 G49 G54
(CUTTER 1 DIAMETER 10.000) M0
S3000 M3
G0 Z10.
G0 X40. Y-18.
G0 Z-6.
G1 X23. Y-40. F300.
G1 Y18.
G3 X18. Y23. I-5. J0.
G1 X-18.
G3 X-23. Y18. I0. J-5.
G1 Y-18.
G3 X-18. Y-23. I5. J0.
G1 X18.
G3 X23. Y-18. I0. J5.
G1 Y-10.
G1 X40.
G0 Z10.
M5
M30
"""


def small(shop: Shop) -> Mill:
    return shop.mill(axes__x__backlash=0.01, axes__y__backlash=0.005)


def test_going_round_is_clean(shop: Shop) -> None:
    # the straight cut's front clears the stock's corners, and the arcs are no wider than the flats
    assert shop.run(ROUND, shop.job(), small(shop)).findings == ()


def test_a_finishing_round_may_take_the_allowance_at_a_corner_at_full_depth(shop: Shop) -> None:
    allowed = {"cut__stepover": 4.0, "cut__stepdown": 3.0, "cut__finish_allowance": 2.5}
    assert shop.run(ROUND, shop.job(**allowed), small(shop)).findings == ()
    too_little = shop.run(ROUND, shop.job(**allowed | {"cut__finish_allowance": 2.4}), small(shop))
    assert [(finding.code, finding.line) for finding in too_little.findings] == [("depth-of-cut", 8)]


def test_the_other_way_round_is_climb(shop: Shop) -> None:
    mirrored = []
    for line in ROUND.replace("G3", "G2").splitlines():
        words = line.split()
        mirrored.append(
            " ".join(f"{w[0]}{-float(w[1:]):.1f}" if w[0] in "YJ" and line[0] == "G" else w for w in words)
        )
    text = "\n".join(mirrored) + "\n"
    assert shop.run(text, shop.job(cut__direction="climb"), small(shop)).findings == ()
    result = shop.run(text, shop.job(), small(shop))
    assert [(finding.code, finding.line) for finding in result.findings] == [("direction", 8)]
    assert "(7 lines like this)" in result.findings[0].message


def test_backlash_forbids_it(shop: Shop) -> None:
    result = shop.run(ROUND, shop.job(), shop.mill())
    assert {finding.code for finding in result.findings} == {"backlash"}


def test_the_part_is_measured_through_the_rolled_corners(shop: Shop) -> None:
    as_cut = shop.run(ROUND, shop.job(), small(shop)).as_cut[0]
    assert as_cut.across_flats == pytest.approx([36.0] * 4, abs=0.0005)
    assert as_cut.normals == pytest.approx([0.0, math.pi / 2, math.pi, 3 * math.pi / 2], abs=1e-5)


def test_an_arc_is_within_the_travel_that_its_quadrants_need(shop: Shop) -> None:
    # from (23, 30) half round to (33, 30) through (28, 25)
    text = shop.lines(l9="G3 X33. Y30. I5. J0.\nG0 Z10.")
    straight = shop.run(shop.program, None).travel["y"]
    text = text.replace("G0 X30. Y40.", "G3 X33. Y30. I-30. J0.\nG0 X30. Y40.")
    travel = shop.run(text, None).travel["y"]
    assert straight.high == -110.0
    assert travel.high == pytest.approx(-150.0 + 60.0, abs=1e-9)  # centre (3, 30), radius 30
