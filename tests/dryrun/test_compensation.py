"""Where the cutter's centre goes with radius compensation: worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from polypocket.dryrun.compensation import CentrePath, centre_path
from polypocket.dryrun.motions import motions_of
from polypocket.dryrun.paths import paths_of
from tests.dryrun.contours import (
    ANTICLOCKWISE,
    CLOCKWISE,
    FEED,
    INSIDE,
    OUTSIDE,
    RAPID,
    ZEROS,
    ends,
    moves_of,
    path_of,
    same,
    track_of,
)


def test_square_outside() -> None:
    # On the right of the way, 5 off: the lower edge at y = −25, quarter circles about the corners, and so on.
    motions = moves_of(OUTSIDE, 5.0)
    assert same(
        ends(motions),
        [
            (RAPID, 0.0, -40.0),
            (FEED, 0.0, -25.0),
            (FEED, 20.0, -25.0),
            (ANTICLOCKWISE, 25.0, -20.0),
            (FEED, 25.0, 20.0),
            (ANTICLOCKWISE, 20.0, 25.0),
            (FEED, -20.0, 25.0),
            (ANTICLOCKWISE, -25.0, 20.0),
            (FEED, -25.0, -20.0),
            (ANTICLOCKWISE, -20.0, -25.0),
            (FEED, 0.0, -25.0),
            (FEED, 0.0, -40.0),
        ],
    )
    arcs = [motion for motion in motions if motion.is_arc]
    assert [arc.centre for arc in arcs] == [(20.0, -20.0), (20.0, 20.0), (-20.0, 20.0), (-20.0, -20.0)]
    assert [arc.sweep for arc in arcs] == pytest.approx([math.pi / 2.0] * 4)
    # 15 to it, four edges, four quarter circles, 15 away
    fed = sum(motion.length for motion in motions[1:])
    assert fed == pytest.approx(15.0 + 4 * 40.0 + 2.0 * math.pi * 5.0 + 15.0)
    assert {motion.rate for motion in motions[1:]} == {100.0}


def test_square_inside() -> None:
    # On the left, 5 off: the square ±15, cut short at its corners, 20 − 5 from the middle of the edge.
    assert same(
        ends(moves_of(INSIDE, 5.0)),
        [
            (RAPID, 0.0, 0.0),
            (FEED, 0.0, -15.0),
            (FEED, 15.0, -15.0),
            (FEED, 15.0, 15.0),
            (FEED, -15.0, 15.0),
            (FEED, -15.0, -15.0),
            (FEED, 0.0, -15.0),
            (FEED, 0.0, 0.0),
        ],
    )


def test_triangle_outside() -> None:
    # Equilateral, side 60, inradius 10 √3 = 17.3205; every corner turns by 120°: arcs of 3 · 2π/3 = 6.2832.
    low, high = -10.0 * math.sqrt(3.0), 20.0 * math.sqrt(3.0)
    body = f"G0 X0 Y-50\nG42 D1 G1 X0 Y{low:.6f}\nX30\nX0 Y{high:.6f}\nX-30 Y{low:.6f}\nX0\nG40 X0 Y-50"
    motions = moves_of(body, 3.0)
    arcs = [motion for motion in motions if motion.is_arc]
    assert [arc.kind for arc in arcs] == [ANTICLOCKWISE] * 3
    assert [arc.length for arc in arcs] == pytest.approx([3.0 * 2.0 * math.pi / 3.0] * 3, abs=1e-5)
    assert [motion.length for motion in motions[2:-1] if not motion.is_arc] == pytest.approx(
        [30.0, 60.0, 60.0, 30.0], abs=1e-5
    )
    # The second edge faces 30°: its parallel starts 3 (cos 30°, sin 30°) from the corner.
    assert arcs[0].end[:2] == pytest.approx((30.0 + 3.0 * math.cos(math.pi / 6.0), low + 1.5), abs=1e-5)


STADIUM = "G0 X0 Y10\nG{} D1 G1 X0 Y0\nX30\nG3 X30 Y20 J10\nG1 X0\nG40 X0 Y{}"


@pytest.mark.parametrize(("word", "radius"), [(41, 4.0), (42, -4.0)])
def test_tangent_arc_from_the_inside(word: int, radius: float) -> None:
    # 4 within: lines at y = 4 and 16, and between them the half circle of 10 − 4, with nothing at the joints.
    motions = moves_of(STADIUM.format(word, 10), radius)
    assert same(
        ends(motions),
        [
            (RAPID, 0.0, 10.0),
            (FEED, 0.0, 4.0),
            (FEED, 30.0, 4.0),
            (ANTICLOCKWISE, 30.0, 16.0),
            (FEED, 0.0, 16.0),
            (FEED, 0.0, 10.0),
        ],
    )
    assert motions[3].path_radius == pytest.approx(6.0)
    assert motions[3].centre == (30.0, 10.0)


def test_tangent_arc_from_the_outside() -> None:
    body = STADIUM.format(42, 40).replace("Y10\n", "Y-20\n", 1)
    motions = moves_of(body, 4.0)
    assert same(
        ends(motions),
        [
            (RAPID, 0.0, -20.0),
            (FEED, 0.0, -4.0),
            (FEED, 30.0, -4.0),
            (ANTICLOCKWISE, 30.0, 24.0),
            (FEED, 0.0, 24.0),
            (FEED, 0.0, 40.0),
        ],
    )
    assert motions[3].path_radius == pytest.approx(14.0)


CORNER = "G0 X-20 Y{0}\nG{1} D1 G1 X-20 Y0\nX0\nG3 X-10 Y10 I-10\nG1 X-12\nG40 X-12 Y{0}"


def test_line_into_an_arc_at_a_concave_corner() -> None:
    # A line along X into the circle of 10 about (−10, 0), square to it, 2 on the left: y = 2 meets the circle of
    # 8 at x = −10 + √(8² − 2²) = −2.2540.
    motions = moves_of(CORNER.format(6, 41), 2.0)
    assert same(
        ends(motions[1:5]),
        [
            (FEED, -20.0, 2.0),
            (FEED, -10.0 + math.sqrt(60.0), 2.0),
            (ANTICLOCKWISE, -10.0, 8.0),
            (FEED, -12.0, 8.0),
        ],
    )


def test_line_into_an_arc_at_a_convex_corner() -> None:
    # The same on the right: a quarter circle about the corner from (0, −2) to (2, 0), then the circle of 12.
    motions = moves_of(CORNER.format(-20, 42).replace("Y-20", "Y30", 2).replace("Y30", "Y-20", 1), 2.0)
    assert same(
        ends(motions[1:6]),
        [
            (FEED, -20.0, -2.0),
            (FEED, 0.0, -2.0),
            (ANTICLOCKWISE, 2.0, 0.0),
            (ANTICLOCKWISE, -10.0, 12.0),
            (FEED, -12.0, 12.0),
        ],
    )


LENS = "G0 X0 Y0\nG41 D1 G1 X4 Y0\nG3 X0 Y8 I-10\nG3 X0 Y-8 I6 J-8\nG3 X4 Y0 I-6 J8\nG40 G1 X0 Y0"


def test_arc_into_an_arc_at_a_concave_corner() -> None:
    # Circles of 10 about (∓6, 0) meet at (0, ±8); 2 within, circles of 8 meet at y = ±√(8² − 6²) = ±5.2915.
    height = math.sqrt(28.0)
    assert same(
        ends(moves_of(LENS, 2.0)[1:]),
        [
            (FEED, 2.0, 0.0),
            (ANTICLOCKWISE, 0.0, height),
            (ANTICLOCKWISE, 0.0, -height),
            (ANTICLOCKWISE, 2.0, 0.0),
            (FEED, 0.0, 0.0),
        ],
    )


def test_full_circle() -> None:
    body = "G0 X0 Y0\nG41 D1 G1 X10 Y0\nG3 X10 Y0 I-10\nG40 G1 X0 Y0"
    motions = moves_of(body, 4.0)
    assert same(ends(motions[1:]), [(FEED, 6.0, 0.0), (ANTICLOCKWISE, 6.0, 0.0), (FEED, 0.0, 0.0)])
    assert motions[2].length == pytest.approx(2.0 * math.pi * 6.0)


def test_the_first_move_rolls_about_a_convex_corner() -> None:
    # From 13 to the left of the corner, with 5 on the right: the right triangle 5, 12, 13. The way leans by
    # (12, −5)/13, 12 long, and ends 5 (−5, −12)/13 from the corner; from there about it to its right side.
    motions = moves_of("G0 X-13 Y0\nG42 D1 G1 X0 Y0\nY30\nG40 X20 Y30", 5.0)
    assert same(
        ends(motions[1:]),
        [
            (FEED, -25.0 / 13.0, -60.0 / 13.0),
            (ANTICLOCKWISE, 5.0, 0.0),
            (FEED, 5.0, 30.0),
            (FEED, 20.0, 30.0),
        ],
    )
    assert motions[1].length == pytest.approx(12.0)
    assert motions[2].centre == (0.0, 0.0)


def test_a_first_move_in_line_with_the_contour_keeps_off_its_beginning() -> None:
    # A control that went straight to (−5, 0) would cut over the corner; this one comes to touch it from before.
    motions = moves_of("G0 X0 Y-13\nG41 D1 G1 X0 Y0\nY30\nG40 X-20 Y30", 5.0)
    assert same(
        ends(motions[1:4]), [(FEED, -60.0 / 13.0, -25.0 / 13.0), (CLOCKWISE, -5.0, 0.0), (FEED, -5.0, 30.0)]
    )


def test_the_first_move_into_an_arc() -> None:
    # The circle of 20 about the origin, from outside, on its right: straight to 25 from the centre.
    motions = moves_of("G0 X40 Y0\nG42 D1 G1 X20 Y0\nG3 X0 Y20 I-20\nG40 G1 X0 Y40", 5.0)
    assert same(ends(motions[1:]), [(FEED, 25.0, 0.0), (ANTICLOCKWISE, 0.0, 25.0), (FEED, 0.0, 40.0)])


def test_moves_of_z_and_dwells_are_made_where_the_centre_stands() -> None:
    body = (
        "G0 X0 Y-40 Z5\nG42 D1\nG0 Z1\nG1 X0 Y-20\nG1 Z-2\nX20 Z-3\nG4 P1\nG1 Z-4\nY20 Z-5\nG40\n"
        "G0 Z5\nG0 X50 Y20\nG0 Z9"
    )
    motions = moves_of(body, 5.0)
    assert np.allclose(
        [motion.end for motion in motions],
        [
            (0.0, -40.0, 5.0),
            (0.0, -40.0, 1.0),
            (0.0, -25.0, 1.0),
            (0.0, -25.0, -2.0),
            (20.0, -25.0, -3.0),
            (20.0, -25.0, -4.0),
            (25.0, -20.0, -4.0),  # the corner, level
            (25.0, 20.0, -5.0),
            (25.0, 20.0, 5.0),
            (50.0, 20.0, 5.0),
            (50.0, 20.0, 9.0),
        ],
    )
    # The corner's arc belongs to the move after it.
    assert [motion.line for motion in motions[5:8]] == [9, 10, 10]


def test_two_contours_one_after_the_other() -> None:
    motions = moves_of(f"{OUTSIDE}\n{INSIDE.replace('G0 X0 Y0', 'G0 Z9 X0 Y0')}", 5.0)
    assert len(motions) == 12 + 8
    assert motions[12].start[:2] == (0.0, -40.0)


@pytest.mark.parametrize("body", [OUTSIDE, INSIDE, LENS, STADIUM.format(41, 10)])
def test_a_radius_of_nothing_is_the_programmed_path(body: str) -> None:
    track = track_of(body)
    motions = motions_of(paths_of(track, "G54", ZEROS))
    assert centre_path(track, motions, {1: 0.0}) == CentrePath(motions, ())


def test_without_compensation_the_motions_are_the_same_ones() -> None:
    track = track_of("G0 X0 Y0\nG1 X5\nG3 X5 Y5 J2.5")
    motions = motions_of(paths_of(track, "G54", ZEROS))
    assert centre_path(track, motions, {}).motions is motions


def test_a_negative_radius_goes_to_the_other_side() -> None:
    # A path at ±25 carries a cutter of 5; one of 4.9 stands 0.1 nearer to the part, which is on the left.
    body = "G0 X0 Y-40\nG42 D1 G1 X0 Y-25\nX25\nY25\nX0\nG40 X0 Y40"
    # It comes to touch (0, −25) from the side, leaning by δ with sin δ = 0.1/15, and rolls about it.
    lean = math.asin(0.1 / 15.0)
    beside = (-0.1 * math.cos(lean), -25.0 - 0.1 * math.sin(lean))
    expected = [beside, (0.0, -24.9), (24.9, -24.9), (24.9, 24.9), (0.0, 24.9), (0.0, 40.0)]
    nearer = moves_of(body, -0.1)[1:]
    assert np.allclose([motion.end[:2] for motion in nearer], expected)
    other = moves_of(body.replace("G42", "G41"), 0.1)[1:]
    assert [motion.end for motion in nearer] == [motion.end for motion in other]


def test_the_register_is_the_one_that_d_names() -> None:
    body = OUTSIDE.replace("D1", "D12")
    assert path_of(body, {1: 5.0, 12: 2.0}).motions[1].end[1] == pytest.approx(-22.0)
    body = "T3 M6\n" + OUTSIDE.replace("D1", "")
    assert path_of(body, {1: 5.0, 3: 2.0}).motions[1].end[1] == pytest.approx(-22.0)


@pytest.mark.parametrize("radius", [0.3, 2.0, -0.3])
@pytest.mark.parametrize("body", [OUTSIDE, INSIDE, STADIUM.format(41, 10), LENS, CORNER.format(6, 41)])
def test_the_mirror_image_of_a_contour_wants_the_other_word(body: str, radius: float) -> None:
    if body is CORNER.format(6, 41) and radius < 0.0:
        body = body.replace("Y6", "Y-6")
    swaps = {"G41": "G42", "G42": "G41", "G2": "G3", "G3": "G2"}
    mirrored = "\n".join(
        " ".join(
            swaps.get(word, f"{word[0]}{-float(word[1:]):g}" if word[0] in "YJ" else word)
            for word in line.split()
        )
        for line in body.splitlines()
    )
    one, other = path_of(body, {1: radius}), path_of(mirrored, {1: radius})
    assert [fault.line for fault in one.faults] == [fault.line for fault in other.faults]
    if not one.faults:
        assert len(one.motions) == len(other.motions)
        for a, b in zip(one.motions, other.motions, strict=True):
            assert (b.end[0], -b.end[1]) == pytest.approx(a.end[:2], abs=1e-9)
            assert a.is_arc == b.is_arc
            if a.is_arc:
                assert b.sweep == pytest.approx(-a.sweep, abs=1e-9)
