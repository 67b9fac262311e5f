"""Where the cutter's centre goes with radius compensation: worked by hand, and against offsets of shapely."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from polypocket.dryrun import dry_run, seconds_of
from polypocket.dryrun.compensation import CentrePath, centre_path
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.reader import Dialect, Kind, Track, read
from tests.dryrun.conftest import Shop

DIALECT = Dialect(name="test", register_of_cutter=True)
ZEROS = {"G54": (0.0, 0.0, 0.0)}
RAPID, FEED, CLOCKWISE, ANTICLOCKWISE = Kind.RAPID, Kind.FEED, Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE


def track_of(body: str) -> Track:
    """Read lines between a sound beginning (one row) and end."""
    height = "Z0" if body.startswith("G0 X") and "Z" not in body.splitlines()[0] else ""
    track = read(f"G21 G17 G90 G94\nF100 {height} {body}\nM30\n", DIALECT, name="test")
    assert track.complaints == ()
    return track


def path_of(body: str, registers: Mapping[int, float]) -> CentrePath:
    track = track_of(body)
    return centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), registers)


def moves_of(body: str, radius: float) -> tuple[Motion, ...]:
    path = path_of(body, {1: radius})
    assert path.faults == ()
    for before, after in zip(path.motions[:-1], path.motions[1:], strict=True):
        assert before.end == after.start or np.isnan(after.start).any()
    return path.motions


def ends(motions: Sequence[Motion]) -> list[tuple[Kind, float, float]]:
    return [(motion.kind, *motion.end[:2]) for motion in motions]


def same(found: Sequence[tuple[Kind, float, float]], expected: Sequence[tuple[Kind, float, float]]) -> bool:
    return [kind for kind, *_ in found] == [kind for kind, *_ in expected] and np.allclose(
        [place for _, *place in found], [place for _, *place in expected], rtol=0.0, atol=1e-9
    )


def messages(body: str, radius: float) -> list[tuple[int, str]]:
    path = path_of(body, {1: radius})
    assert all(fault.code == "compensation" and fault.severity == "error" for fault in path.faults)
    assert all(fault.fix for fault in path.faults)
    return [(fault.line, fault.message) for fault in path.faults]


# The square ±20, anticlockwise from the middle of its lower edge, come upon and left square to it.
OUTSIDE = "G0 X0 Y-40\nG42 D1 G1 X0 Y-20\nX20\nY20\nX-20\nY-20\nX0\nG40 X0 Y-40"
INSIDE = "G0 X0 Y0\nG41 D1 G1 X0 Y-20\nX20\nY20\nX-20\nY-20\nX0\nG40 X0 Y0"


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


# --- what cannot be followed ---


def test_a_register_that_the_mill_file_lacks() -> None:
    path = path_of(f"G0 Z5\n{OUTSIDE}\nX9", {2: 5.0})
    assert [fault.line for fault in path.faults] == [4]
    assert "register 1, which the mill file does not give" in path.faults[0].message
    assert path.faults[0].fix == (
        "look at the control what register 1 holds, and put just that into the mill file: "
        '[cutter_registers] radius = { "1" = … }'
    )
    known = [not any(map(math.isnan, motion.end)) for motion in path.motions]
    assert known == [False, True, *[False] * 6, True, True]  # X and Y come back with the move after G40
    assert all(motion.end[2] == 5.0 for motion in path.motions)
    assert np.isnan(path.motions[-2].start[0])


def test_concave_corners_without_room() -> None:
    # Each whole edge of 40 loses 25 at each end: 10 too short. With 45 the corner itself is 5 (of 40) too near,
    # and 25 at the half edges of 20.
    assert (
        messages(INSIDE.replace("G0 X0 Y0", "G0 X0 Y30").replace("X20\nY20\nX-20", "X20\nY20\nX-20"), 5.0)
        == []
    )
    wide = "G0 X0 Y60\nG41 D1 G1 X0 Y-20\nX60\nY20\nX0\nG40 X0 Y60"
    assert messages(wide, 19.99) == []
    found = messages(wide, 25.0)
    assert [line for line, _ in found] == [5]
    assert "it is 10.000 mm too short" in found[0][1]
    found = messages(wide, 45.0)
    assert [line for line, _ in found] == [5, 6]
    assert all("a length of 5.000 mm is missing" in message for _, message in found)


def test_arcs_of_a_contour_without_room() -> None:
    # Circles of 10 − 5 about (∓6, 0) are 12 − 10 = 2 apart.
    body = "G0 X-4 Y-40\nG41 D1 G1 X0 Y-8\nG3 X0 Y8 I-6 J8\nG3 X0 Y-8 I6 J-8\nG40 G1 X0 Y-40"
    path = path_of(body, {1: 5.0})
    assert "a length of 2.000 mm is missing" in [fault.message for fault in path.faults][-1]


@pytest.mark.parametrize(("radius", "missing"), [(10.0, "0.000"), (12.5, "2.500")])
def test_concave_arcs_no_larger_than_the_cutter(radius: float, missing: str) -> None:
    body = "G0 X0 Y50\nG41 D1 G1 X0 Y0\nX30\nG3 X40 Y10 J10\nG1 Y50\nG40 X0 Y50"
    assert messages(body, 9.9) == []
    assert messages(body, radius) == [
        (
            5,
            f"the cutter does not fit into the arc: its radius is 10.000 mm, {missing} mm less than the "
            f"register's {radius:.3f} mm",
        )
    ]


def test_lengths_are_told_in_the_program_s_units() -> None:
    text = "G20 G17 G90 G94\nF5 G0 X0 Y3\nG41 D1 G1 X0 Y0\nX1\nG3 X1.5 Y0.5 J0.5\nG1 Y3\nG40 X0 Y3\nM30\n"
    track = read(text, DIALECT, name="test")
    (fault,) = centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), {1: 0.6 * 25.4}).faults
    assert "its radius is 0.5000 in, 0.1000 in less than the register's 0.6000 in" in fault.message


def test_a_contour_that_turns_straight_back() -> None:
    (found,) = messages("G0 X0 Y-20\nG42 D1 G1 X0 Y0\nX20\nX5\nG40 X0 Y-20", 2.0)
    assert found[0] == 5
    assert found[1].startswith("turns straight back after line 4")


def test_a_first_move_that_begins_too_near() -> None:
    (found,) = messages("G0 X0 Y-5\nG42 D1 G1 X0 Y0\nX20\nG40 X20 Y-20", 5.0)
    assert found == (
        3,
        "the first move with radius compensation begins 5.000 mm from its end, not further than the register's "
        "radius of 5.000 mm",
    )
    assert messages("G0 X0 Y-5.001\nG42 D1 G1 X0 Y0\nX20\nG40 X20 Y-20", 5.0) == []


def test_a_first_move_that_begins_across_the_contour() -> None:
    # From (12, −3) with 5 on the right of the way along +X: the cutter would stand 2 over the line y = 0.
    (found,) = messages("G0 X12 Y-3\nG42 D1 G1 X0 Y0\nX20\nG40 X20 Y-20", 5.0)
    assert found[0] == 3
    assert "stands on the contour" in found[1]
    assert messages("G0 X12 Y-5\nG42 D1 G1 X0 Y0\nX20\nG40 X20 Y-20", 5.0) == []


def test_a_first_move_alone() -> None:
    (found,) = messages("G0 X0 Y-20\nG42 D1 G1 X0 Y0\nG40 X20 Y-20", 5.0)
    assert found == (3, "radius compensation ends after its first move: nothing says where that is to end")


def test_from_a_place_that_is_not_known() -> None:
    (found,) = messages("G0 X0\nG42 D1 G1 X0 Y0\nX20\nG40 X20 Y-20", 5.0)
    assert found == (3, "radius compensation where X or Y is not known")


def unread(body: str, radius: float) -> list[tuple[int, str]]:
    """Say what is found in lines that the reader refuses already."""
    track = read(f"G21 G17 G90 G94\nF100 {body}\nM30\n", DIALECT, name="test")
    assert "compensation" in {complaint.code for complaint in track.complaints}
    path = centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), {1: radius})
    return [(fault.line, fault.message) for fault in path.faults]


def test_what_the_reader_refuses_is_not_followed_either() -> None:
    again = "G0 X0 Y-40\nG42 D1 G1 X0 Y-20\nX20\nG40\nG41 D1\nG1 X0 Y-20\nX30\nG40 X0 Y-40"
    found = unread(again, 5.0)
    assert (7, "radius compensation is turned on again before a move after G40 has ended it") in found


@pytest.mark.parametrize(
    ("body", "sides", "line", "message"),
    [
        (
            "G0 X10 Y0\nG3 X0 Y10 I-10\nG1 X-20\nX-20 Y0",
            (0, 1, 1, 0, 0),
            3,
            "the first move with radius compensation is an arc",
        ),
        (
            "G0 X0 Y40\nG1 X0 Y0\nX20\nG3 X40 Y20 I0 J20",
            (0, 1, 1, 0, 0),
            5,
            "the move that ends radius compensation is an arc",
        ),
    ],
)
def test_arcs_at_the_ends(body: str, sides: tuple[int, ...], line: int, message: str) -> None:
    # The reader leaves them out of the track; here one lets them through.
    track = track_of(body)
    track = replace(track, compensation_side=np.array(sides), radius_register=np.array(sides))
    path = centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), {1: 2.0})
    assert [(fault.line, fault.message) for fault in path.faults] == [(line, message)]


def test_inverse_time_is_kept_however_long_the_way_becomes() -> None:
    track = track_of(OUTSIDE)
    in_time = replace(track, feed_mode=np.full(len(track), 93, dtype=np.int64), feed=np.full(len(track), 2.0))
    path = centre_path(in_time, motions_of(paths_of(in_time, "G54", ZEROS)), {1: 5.0})
    minutes: dict[int, float] = {}
    for motion in path.motions:
        if not motion.is_rapid:
            minutes[motion.line] = minutes.get(motion.line, 0.0) + motion.length / motion.rate
    assert list(minutes.values()) == pytest.approx([0.5] * 7)


# --- against offsets of a reference library ---


def sampled(motions: Sequence[Motion]) -> NDArray[np.float64]:
    """Points along motions, arcs so close that no chord is 1e-4 off."""
    points: list[tuple[float, ...]] = []
    for motion in motions:
        step = math.sqrt(8e-4 / max(motion.path_radius, 1.0)) if motion.is_arc else math.inf
        count = max(2, math.ceil(abs(motion.sweep) / step)) if motion.is_arc else 2
        points += [motion.at(share)[:2] for share in np.linspace(0.0, 1.0, count)]
    return np.array(points)


@st.composite
def convex_polygons(draw: st.DrawFn) -> list[tuple[float, float]]:
    """Draw corners on an ellipse, anticlockwise, no two within 10° of it."""
    count = draw(st.integers(3, 8))
    gaps = np.array(draw(st.lists(st.floats(1.0, 8.0), min_size=count, max_size=count)))
    angles = np.cumsum(gaps / gaps.sum()) * 2.0 * math.pi + draw(st.floats(0.0, 6.3))
    x, y = draw(st.floats(15.0, 60.0)) * np.cos(angles), draw(st.floats(15.0, 60.0)) * np.sin(angles)
    return [(round(float(a), 6), round(float(b), 6)) for a, b in zip(x, y, strict=True)]


def around(corners: list[tuple[float, float]], word: str, side: float) -> str:
    """A program once round from the middle of the last edge, come upon square to it from 30 on one side."""
    (x1, y1), (x2, y2) = corners[-1], corners[0]
    middle, length = ((x1 + x2) / 2.0, (y1 + y2) / 2.0), math.dist(corners[-1], corners[0])
    away = middle[0] - side * (y2 - y1) / length, middle[1] + side * (x2 - x1) / length
    lines = [f"G0 X{away[0]:.6f} Y{away[1]:.6f}", f"{word} D1 G1 X{middle[0]:.6f} Y{middle[1]:.6f}"]
    lines += [f"X{x:.6f} Y{y:.6f}" for x, y in (*corners, middle)]
    return "\n".join([*lines, f"G40 X{away[0]:.6f} Y{away[1]:.6f}"])


@given(convex_polygons(), st.floats(0.01, 20.0))
@settings(max_examples=50)
def test_outside_a_convex_polygon_is_its_round_offset(
    corners: list[tuple[float, float]], radius: float
) -> None:
    motions = moves_of(around(corners, "G42", -30.0), radius)[2:-1]
    assert sum(motion.is_arc for motion in motions) == len(corners)
    outline = Polygon(corners).buffer(radius, quad_segs=128).exterior
    assert shapely.hausdorff_distance(LineString(sampled(motions)), outline) < 1e-3


@given(convex_polygons(), st.floats(0.01, 20.0))
@settings(max_examples=100)
def test_inside_a_convex_polygon_is_its_mitred_offset(
    corners: list[tuple[float, float]], radius: float
) -> None:
    # An edge loses r tan(t/2) at a corner that turns by t. Begun in the middle of an edge: each half by itself.
    ring = np.array([corners[-1], *corners, corners[0]])
    edges = np.diff(ring, axis=0)
    bearing = np.arctan2(edges[:, 1], edges[:, 0])
    lost = radius * np.tan(np.diff(bearing) % (2.0 * math.pi) / 2.0)  # at corners 0, 1 … last
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    room = min(
        lengths[0] / 2.0 - lost[0], lengths[0] / 2.0 - lost[-1], *(lengths[1:-1] - lost[:-1] - lost[1:])
    )
    path = path_of(around(corners, "G41", radius + 30.0), {1: radius})
    if room > 1e-4:
        assert path.faults == ()
        outline = Polygon(corners).buffer(-radius, join_style="mitre", mitre_limit=1e6).exterior
        assert shapely.hausdorff_distance(LineString(sampled(path.motions[2:-1])), outline) < 1e-3
    elif room < -1e-4:
        assert path.faults


@st.composite
def contours(draw: st.DrawFn) -> str:
    """Draw a contour of lines and arcs, 2 to 6 of them, that wanders about, come upon from the left."""
    x, y, direction = 0.0, 0.0, 0.0
    lines = ["G0 X0 Y40", "G41 D1 G1 X0 Y0", "X20"]
    x = 20.0
    for _ in range(draw(st.integers(1, 5))):
        direction += draw(st.sampled_from([0.0, 0.0, 0.3, -0.3, 1.0, -1.0, 1.6, -1.6, 2.2, -2.2]))
        length = draw(st.floats(5.0, 40.0))
        bend = draw(st.sampled_from([0.0, 0.0, 0.5, -0.5, 1.5, -1.5, 2.5, -2.5]))
        if not bend:
            x, y = x + length * math.cos(direction), y + length * math.sin(direction)
            lines.append(f"G1 X{x:.6f} Y{y:.6f}")
            continue
        radius = length / bend  # positive: the centre is on the left
        i, j = -radius * math.sin(direction), radius * math.cos(direction)
        cx, cy = x + i, y + j
        direction += bend
        x, y = cx + radius * math.sin(direction), cy - radius * math.cos(direction)
        lines.append(f"G{3 if bend > 0.0 else 2} X{x:.6f} Y{y:.6f} I{i:.6f} J{j:.6f}")
    return "\n".join([*lines, "G40 G1 X200 Y200"])


#: A contour that crosses itself: its last line comes back over the first, beside which an arc about a corner lies.
CROSSED = """\
G0 X0 Y40
G41 D1 G1 X0 Y0
X20
G1 X17.057494 Y4.042482
G3 X16.748989 Y-0.895970 I9.516021 J-3.073329
G40 G1 X200 Y200"""


@given(contours(), st.floats(0.01, 8.0), st.sampled_from([1.0, -1.0]))
@example(CROSSED, 7.0, -1.0)
@settings(max_examples=150)
def test_the_centre_keeps_off_what_it_follows(body: str, radius: float, sign: float) -> None:
    # With every motion the centre stands a radius off the programmed one of its line, and no nearer to its neighbours,
    # where these do not come back over each other.
    body = body if sign > 0.0 else body.replace("G0 X0 Y40", "G0 X0 Y-40")
    track = track_of(body)
    programmed = {motion.line: motion for motion in motions_of(paths_of(track, "G54", ZEROS))}
    path = centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), {1: sign * radius})
    if path.faults:
        return
    lines = range(4, path.motions[-1].line)  # of the contour, without the first move and the last
    alone = [turning(line, line + 1, programmed) < 3.0 for line in lines[:-1]]
    for motion in path.motions[2:-1]:
        points = shapely.points(sampled([motion]))
        for line in (motion.line - 1, motion.line, motion.line + 1):
            if line not in lines or (line != motion.line and crosses(motion.line, programmed)):
                continue
            if all(alone[max(0, motion.line - 5) : motion.line - 3]):
                distances = shapely.distance(points, LineString(sampled([programmed[line]])))
                assert distances.min() > radius - 5e-4
                assert line != motion.line or distances.max() < radius + 5e-4


def crosses(line: int, programmed: Mapping[int, Motion]) -> bool:
    """Whether the motions before and after a line's come over each other."""
    around = [LineString(sampled([programmed[each]])) for each in (line - 1, line + 1) if each in programmed]
    return len(around) == 2 and bool(around[0].intersects(around[1]))


def turning(first: int, second: int, programmed: Mapping[int, Motion]) -> float:
    """All the angle that two motions in turn go round; under a half turn neither comes back to the other."""
    ways = [sampled([programmed[line]]) for line in (first, second)]
    bearing = np.unwrap(np.concatenate([np.arctan2(*np.diff(way, axis=0).T[::-1]) for way in ways]))
    return float(np.abs(np.diff(bearing)).sum())


# --- the whole dry run ---


def compensated(program: str, flat: str) -> str:
    """The shop's program with each pass come upon under G42, along ``flat`` instead of 23, and left under G40."""
    lines = program.splitlines()
    for first, away in ((7, "X40. Y40."), (12, "X-40. Y40."), (17, "X-40. Y-40."), (22, "X40. Y-40.")):
        lines[first - 1] = f"G42 D1 {lines[first - 1].replace('23', flat)}"
        lines[first] += f"\nG40\nG1 {away}"
    return "\n".join(lines) + "\n"


def test_a_part_cut_along_its_own_contour(shop: Shop) -> None:
    # The block's flats are at ±18, and the register holds the cutter's radius of 5.
    text = compensated(shop.program, "18")
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    result = shop.run(text, shop.job(), mill)
    assert [(f.code, f.line, f.message) for f in result.findings] == []
    assert result.as_cut[0].across_flats == pytest.approx((36.0,) * 4, abs=0.01)
    # 0.05 more in the register leaves 0.05 more on every flat; without the register nobody knows
    larger = shop.run(text, shop.job(tolerance__size=0.2), shop.mill(cutter_registers={"radius": {1: 5.05}}))
    assert larger.as_cut[0].across_flats == pytest.approx((36.1,) * 4, abs=0.01)
    unknown = shop.run(text, shop.job())
    assert ("compensation", 7) in [(finding.code, finding.line) for finding in unknown.findings]
    assert not unknown.ok
    plain = shop.run(text, shop.job(), shop.mill(cutter_registers={"radius": {1: 0.0}}))
    assert "gouge" in {finding.code for finding in plain.findings}


def test_a_path_that_carries_the_cutter_s_nominal_radius(shop: Shop) -> None:
    # The path lies at 18 + 5. With the cutter as the job wants it the register holds nothing; one that was ground
    # down by 0.05 in radius wants −0.05, and the size is right again.
    text = compensated(shop.program, "23")
    for diameter, register, across in (
        (10.0, 0.0, 36.0),
        (9.9, 0.0, 36.1),
        (9.9, -0.05, 36.0),
        (10.0, 0.05, 36.1),
    ):
        named = text.replace("DIAMETER 10.000", f"DIAMETER {diameter:.3f}")
        job = shop.job(cutter__diameter=diameter, tolerance__size=0.2)
        result = shop.run(named, job, shop.mill(cutter_registers={"radius": {1: register}}))
        assert result.as_cut[0].across_flats == pytest.approx((across,) * 4, abs=0.01)
        expected = {"left-standing"} if across > 36.05 else set()
        assert {finding.code for finding in result.findings} == expected, result.findings


def test_travel_times_and_lengths_are_the_centre_s(shop: Shop) -> None:
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    track = track_of(OUTSIDE + "\nG0 Z0")
    result = dry_run([track], mill, None)
    assert (result.travel["x"].low, result.travel["x"].high) == pytest.approx((380.0 - 25.0, 380.0 + 25.0))
    assert result.feed_length == pytest.approx(15.0 + 160.0 + 10.0 * math.pi + 15.0)
    assert result.seconds == pytest.approx(seconds_of(track, mill))
    assert result.seconds > seconds_of(track, shop.mill(cutter_registers={"radius": {1: 0.0}}))


def test_a_program_that_ends_by_its_percent_with_compensation_on(shop: Shop) -> None:
    text = f"%\nG21 G17 G90 G94 S500 M3\nF100 {OUTSIDE.split('G40')[0]}M5\n%\n"
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    result = dry_run([read(text, DIALECT, name="test")], mill, None)
    assert [(f.code, f.message) for f in result.findings] == [
        ("compensation", "the program ends with radius compensation on")
    ]
