"""What is worked out on columns of motions is what the motions one by one say."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.dryrun.duration import lengths_of
from polypocket.dryrun.limits import limit_faults
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import Paths, paths_of, turning_points
from polypocket.dryrun.travel import extremes_of
from polypocket.reader import Dialect, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

TENTHS = st.integers(-30, 30).map(lambda tenths: tenths / 10.0)
ARC = st.builds(
    lambda g, x, y, x2, y2, z: f"G0 X{x} Y{y}\nG{g} X{x2} Y{y2} Z{z} R{math.dist((x, y), (x2, y2)) * 0.7:.6f}",
    st.integers(2, 3), *(TENTHS for _ in range(5)),
).filter(lambda text: "R0.000000" not in text)  # fmt: skip
CIRCLE = st.builds(
    lambda g, x, y, i, j: f"G0 X{x} Y{y}\nG{g} X{x} Y{y} I{i} J{j}",
    st.integers(2, 3),
    *(TENTHS for _ in range(4)),
)
LINE = st.builds(lambda g, x, y, z: f"G{g} X{x} Y{y} Z{z}", st.integers(0, 1), TENTHS, TENTHS, TENTHS)
OTHER = st.sampled_from(
    [
        "(SET Z 4)",
        "(SET Z 4)\n(SET Z 4)",
        "(SET Z 1)\nG0 Z4",
        "G53 G0 Z0.",
        "G55",
        "G54",
        "G91\nX.5\nG90",
        "G4 P1",
        "M0",
    ]
)
LINES = st.lists(st.one_of(LINE, ARC, CIRCLE, OTHER), max_size=12).map("\n".join)
OFFSETS = {"G54": (100.0, -50.0, -70.0), "G55": (130.0, -50.0, -71.0)}


def columns_of(body: str, before: str = "G21 G90 G17\nF300\n") -> Paths:
    track = read(f"{before}{body}\nM30\n", Dialect(name="test"), name="test")
    return paths_of(track, "G54", OFFSETS)


def places(motion: Motion) -> list[tuple[float, float, float]]:
    """Many places on a motion's way, its ends and where it turns round among them."""
    shares = [number / 50.0 for number in range(51)]
    return [motion.at(share) for share in (*shares, *motion.quadrant_shares())]


@given(LINES)
@settings(max_examples=150)
def test_columns_and_motions_agree(body: str) -> None:
    paths = columns_of(body)
    motions = motions_of(paths)
    assert len(motions) == len(paths)
    assert all(a.end == b.start or math.isnan(sum(a.end)) for a, b in pairwise(motions))
    assert paths.is_known.tolist() == [motion.is_known for motion in motions]
    known = [motion for motion in motions if motion.is_known]
    np.testing.assert_allclose(paths.length, [motion.length for motion in motions], rtol=1e-12, atol=1e-12)
    arcs = [motion for motion in motions if motion.is_arc and not math.isnan(motion.path_radius)]
    np.testing.assert_allclose(paths.arcs.sweep, [arc.sweep for arc in arcs], rtol=1e-12)
    np.testing.assert_allclose(paths.arcs.radius, [arc.path_radius for arc in arcs], rtol=1e-12)
    lengths = lengths_of([paths])
    assert lengths.feed == pytest.approx(sum(motion.length for motion in known if not motion.is_rapid))
    assert lengths.rapid == pytest.approx(sum(motion.length for motion in known if motion.is_rapid))
    at, x, y = turning_points(paths)
    expected = [
        (number, *motion.at(share)[:2])
        for number, motion in enumerate(motions)
        for share in (motion.quadrant_shares() if motion.sweep > 0 else motion.quadrant_shares()[::-1])
    ] if arcs else []  # fmt: skip
    np.testing.assert_allclose(np.column_stack((at, x, y)), np.reshape(expected, (-1, 3)), atol=1e-9)


@given(LINES)
@settings(max_examples=100)
def test_extremes_are_those_of_places_on_the_way(body: str) -> None:
    paths = columns_of(body)
    extremes = extremes_of(paths)
    motions = [motion for motion in motions_of(paths) if motion.is_known]
    for axis, name in enumerate("xyz"):
        values = [place[axis] for motion in motions for place in places(motion)]
        if values:
            assert extremes[name].low <= min(values) + 1e-9
            assert extremes[name].high >= max(values) - 1e-9
        if values and not np.isnan(paths.end[:, :]).any():
            assert extremes[name].low == pytest.approx(min(values), abs=1e-9)
            assert extremes[name].high == pytest.approx(max(values), abs=1e-9)


def test_an_arc_reaches_its_quadrant_exactly_and_the_line_is_told() -> None:
    extremes = extremes_of(columns_of("G0 X3 Y4 Z5\nG3 X-3 Y4 I-3 J-4\nG1 X0 Y0\nY5\nG1 X-5"))
    assert (extremes["y"].high, extremes["y"].high_line) == (5.0, 4)
    assert (extremes["x"].low, extremes["x"].low_line) == (-5.0, 7)
    full = extremes_of(columns_of("G0 X3 Y4 Z5\nG2 X3 Y4 I-3 J-4"))
    assert [(full[a].low, full[a].high, full[a].low_line, full[a].high_line) for a in "xy"] == [
        (-5.0, 5.0, 4, 4)
    ] * 2


def test_many_lines_alike_become_one_finding(shop: Shop) -> None:
    lines = [f"G1 X{number % 7}. F{1600 + (number * 37) % 400}." for number in range(1000)]
    text = (
        "G21 G90 G17 G94\nS9000 M3\nG0 X0. Y0. Z1.\n"
        + "\n".join(lines)
        + "\n/G1 X1. F100.\n/X2.\nS9000\nS60\nX1.\nM30\n"
    )
    findings = {finding.code: finding for finding in shop.run(text, None).findings}
    over = [line for line, word in enumerate(lines, 4) if int(word.split("F")[1][:-1]) > 1507]
    assert findings["feed-limit"].line == over[0]
    worst = max(over, key=lambda line: int(lines[line - 4].split("F")[1][:-1]))
    assert findings["feed-limit"].message == (
        f"feeds at 1999 mm/min; the mill's highest feed is 1500 mm/min (1000 lines like this, "
        f"the worst in line {worst})"
    )
    assert "(2 lines like this)" in findings["unread"].message
    assert (findings["over-speed"].line, findings["over-speed"].message[:17]) == (2, "turns at 9000 rpm")


def test_limits_make_one_fault_of_any_number_of_rows(shop: Shop) -> None:
    text = "G21 G90 G17 G94\nG0 X0. Y0. Z1.\n" + "G1 X1. F2000.\nX2.\n" * 500 + "M30\n"
    track = read(text, Dialect(name="test"), name="test")
    faults = list(limit_faults(track, paths_of(track, "G54", OFFSETS), shop.mill()))
    assert [(fault.code, len(fault.lines)) for fault in faults] == [("feed-limit", 1000)]
