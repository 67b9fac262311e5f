"""Arcs: NISTIR 6556, section 3.5.3, in part from memory."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from polypocket.reader import Kind, Track
from polypocket.reader.arcs import Point, arc_by_centre, arc_by_radius
from polypocket.units import MM_PER_INCH

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]

NAN = math.nan


def sweep(start: Point, end: Point, centre: Point, clockwise: bool) -> float:
    """Angle turned through from start to end, 0 to 2π, whatever the direction."""
    a = math.atan2(start[1] - centre[1], start[0] - centre[0])
    b = math.atan2(end[1] - centre[1], end[0] - centre[0])
    return (a - b if clockwise else b - a) % (2 * math.pi)


def test_published_example_with_i_and_j(track_of: TrackOf) -> None:
    # NISTIR 6556 3.5.3.2: from (7, 7), G17 G2 X10 Y16 I3 J4 has its centre at (10, 11) and radius 5.
    track = track_of("G0 X7 Y7\nG17 G2 X10 Y16 I3 J4")
    assert track.complaints == ()
    assert track.kind[2] == Kind.ARC_CLOCKWISE
    assert (track.centre_x[2], track.centre_y[2]) == (10.0, 11.0)
    assert math.hypot(track.x[2] - 10.0, track.y[2] - 11.0) == 5.0
    assert track.turns[2] == 0


def test_an_omitted_i_or_j_is_zero(track_of: TrackOf) -> None:
    track = track_of("G3 X5 I2\nG2 X5 Y6 J2")
    assert track.complaints == ()
    assert (track.centre_x[1], track.centre_y[1]) == (3.0, 2.0)
    assert (track.centre_x[2], track.centre_y[2]) == (5.0, 4.0)
    assert track.kind.tolist()[1:3] == [Kind.ARC_ANTICLOCKWISE, Kind.ARC_CLOCKWISE]


def test_i_and_j_are_incremental_in_both_distance_modes(track_of: TrackOf) -> None:
    absolute, incremental = track_of("G2 X7 Y8 I6"), track_of("G91 G2 X6 Y6 I6")
    assert absolute.complaints == incremental.complaints == ()
    for column in ("x", "y", "centre_x", "centre_y"):
        np.testing.assert_array_equal(getattr(absolute, column), getattr(incremental, column))


def test_a_full_circle(track_of: TrackOf) -> None:
    track = track_of("G2 X1 I4\nG91 G3 X0 Y0 J-2")
    assert track.complaints == ()
    assert track.x.tolist()[1:3] == [1.0, 1.0]
    assert track.y.tolist()[1:3] == [2.0, 2.0]
    assert track.turns.tolist() == [0] * 4
    assert (track.centre_x[1], track.centre_y[2]) == (5.0, 0.0)


def test_a_full_circle_after_increments_that_round(track_of: TrackOf) -> None:
    # 1 + 0.1 + 0.1 + 0.1 is not 1.3 in binary: still the same place to any control.
    track = track_of("G91 G0 X0.1\nX0.1\nX0.1\nG90 G2 X1.3 Y2 I4")
    assert track.complaints == ()
    assert track.x[4] == track.x[3]


def test_a_helix(track_of: TrackOf) -> None:
    track = track_of("G2 X7 Y8 Z1 I6")
    assert track.complaints == ()
    assert (track.x[1], track.y[1], track.z[1]) == (7.0, 8.0, 1.0)


@pytest.mark.parametrize("clockwise", [True, False])
@pytest.mark.parametrize("radius", [5.0, 6.5, 50.0, -5.0, -6.5, -50.0])
@pytest.mark.parametrize("end", [(8.0, 6.0), (-8.0, 6.0), (0.0, -10.0), (10.0, 0.0)])
def test_r_goes_the_short_or_the_long_way(end: tuple[float, float], radius: float, clockwise: bool) -> None:
    start = (0.0, 0.0)  # every end is 10 away
    arc = arc_by_radius(start, end, radius, clockwise, 0.002)
    assert arc.fault == ""
    assert arc.centre is not None
    assert math.dist(arc.centre, start) == pytest.approx(abs(radius), abs=1e-12)
    assert math.dist(arc.centre, end) == pytest.approx(abs(radius), abs=1e-12)
    turned = sweep(start, end, arc.centre, clockwise)
    if abs(radius) == 5.0:
        assert turned == pytest.approx(math.pi)
    else:
        assert (turned < math.pi) == (radius > 0)


def test_r_worked_by_hand(track_of: TrackOf) -> None:
    # A quarter of a circle with radius 10 from (1, 2) to (11, 12).
    track = track_of("G2 X11 Y12 R10\nG0 X1 Y2\nG3 X11 Y12 R10\nG0 X1 Y2\nG2 X11 Y12 R-10")
    assert track.complaints == ()
    np.testing.assert_allclose(track.centre_x[[1, 3, 5]], [11, 1, 1], atol=1e-12)
    np.testing.assert_allclose(track.centre_y[[1, 3, 5]], [2, 12, 12], atol=1e-12)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G2 X11 Y2 R4.99", 11),
        ("G2 X11 Y2 R-4.99", 11),
        ("G2 X11 Y2 R0", 11),
        ("G2 X1 Y2 R5", 10),
        ("G91 G2 X0 Y0 R5", 14),
        ("G2 X11 Y2 I0 J0", 11),
        ("G2 X11 Y2 I10 J0", 11),
    ],
)
def test_radii_that_cannot_be(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "arc-radius")]


@pytest.mark.parametrize(
    ("i", "wrong"),
    [("5", False), ("5.001", False), ("4.999", False), ("5.00101", True), ("4.99899", True), ("6", True)],
)
def test_radii_may_differ_by_2_micrometres(places: Places, i: str, wrong: bool) -> None:
    # From X1 to X11: the radii differ by twice the error of I, here 0.002 mm.
    assert places(f"G2 X11 Y2 I{i}") == ([(1, 11, "arc-radius")] if wrong else [])


@pytest.mark.parametrize(
    ("i", "wrong"), [("5.0001", False), ("5.00011", True), ("4.9999", False), ("4.99989", True)]
)
def test_radii_may_differ_by_2_ten_thousandths_of_an_inch(places: Places, i: str, wrong: bool) -> None:
    before = "G20 G90 G17\nF10\nG0 X1 Y2 Z3\n"
    assert places(f"G2 X11 Y2 I{i}", before=before) == ([(1, 11, "arc-radius")] if wrong else [])


def test_the_tolerance_of_the_radii_is_the_dialects(places: Places) -> None:
    assert places("G2 X11 Y2 I5.05", arc_radius_mm=0.11) == []
    assert places("G2 X11 Y2 I5", arc_radius_mm=0.0) == []
    assert places("G2 X11 Y2 I5.0005", arc_radius_mm=0.0) == [(1, 11, "arc-radius")]


def test_r_may_fall_short_by_the_tolerance(track_of: TrackOf) -> None:
    track = track_of("G2 X11 Y2 R4.999")
    assert track.complaints == ()
    assert (track.centre_x[1], track.centre_y[1]) == (6.0, 2.0)


@pytest.mark.parametrize("centre", ["I5", "R5"])
@pytest.mark.parametrize(("y", "wrong"), [("2.001", True), ("1.998", True), ("2.0021", False)])
def test_an_end_beside_the_start_is_refused(places: Places, y: str, centre: str, wrong: bool) -> None:
    # No source: a control that rounds makes a full circle of it.
    assert places(f"G2 Y{y} {centre}") == ([(1, 6 + len(y), "arc-radius")] if wrong else [])


def test_inch_arcs_are_millimetres(track_of: TrackOf) -> None:
    track = track_of("G2 X2 Y3 I1", before="G20 G90 G17\nF10\nG0 X1 Y2 Z3\n")
    assert track.complaints == ()
    assert (track.centre_x[1], track.centre_y[1]) == (2.0 * MM_PER_INCH, 2.0 * MM_PER_INCH)
    by_radius = track_of("G2 X2 Y3 R1", before="G20 G90 G17\nF10\nG0 X1 Y2 Z3\n")
    np.testing.assert_allclose(by_radius.centre_x[1], track.centre_x[1])


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G2 X11", 1),
        ("G2 I5", 1),
        ("G2 Z5 I5", 1),
        ("G2 X11 R5 I5", 8),
        ("G2 X11 I5 K1", 11),
        ("G2 X11 K1", 8),
        ("G18 G2 X11 Z5 J5", 15),
        ("G18 G2 X11", 5),
        ("G18 G2 Y5 I5", 5),
        ("G18 G2 X11 R5 K5", 12),
        ("G19 G3 Y5 Z6 I5", 14),
        ("G19 G3 X5 J5", 5),
        ("G19 G3 Y5", 5),
    ],
)
def test_arcs_that_cannot_be_read(places: Places, line: str, column: int) -> None:
    assert places(line) == [(1, column, "unread")]


def test_other_planes_are_accepted_without_arcs(track_of: TrackOf) -> None:
    track = track_of("G18\nG1 X5\nG19\nX6\nG17\nG2 X8 I1")
    assert track.complaints == ()
    assert track.plane.tolist()[1:4] == [18, 19, 17]


@pytest.mark.parametrize(
    ("line", "end", "centre"),
    [
        # From (1, 2, 3), a quarter with radius 5 in the plane of Z and X, or of Y and Z, worked by hand.
        ("G18 G3 X6 Z8 I5 K0", (6, 2, 8), (6, NAN, 3)),
        ("G18 G2 X6 Z8 K5", (6, 2, 8), (1, NAN, 8)),
        ("G18 G3 X6 Z8 R5", (6, 2, 8), (6, NAN, 3)),
        ("G18 G2 X6 Z8 R5", (6, 2, 8), (1, NAN, 8)),
        ("G18 G2 X6 Z8 Y4 R5", (6, 4, 8), (1, NAN, 8)),
        ("G19 G3 Y7 Z8 K5", (1, 7, 8), (NAN, 2, 8)),
        ("G19 G2 Y7 Z8 J5", (1, 7, 8), (NAN, 7, 3)),
        ("G19 G2 Y7 Z8 R5", (1, 7, 8), (NAN, 7, 3)),
        ("G19 G3 X0 Y7 Z8 R5", (0, 7, 8), (NAN, 2, 8)),
        ("G91 G19 G3 Y5 Z5 R5", (1, 7, 8), (NAN, 2, 8)),
        ("G19 G3 Z3 K-1", (1, 2, 3), (NAN, 2, 2)),
    ],
)
def test_arcs_in_the_other_planes(
    track_of: TrackOf, line: str, end: tuple[float, ...], centre: tuple[float, ...]
) -> None:
    # NISTIR 6556 3.5.3, from memory: clockwise as seen from the positive end of the third axis. Seen from +Y,
    # X points right and Z down: from X1 Z3, left of the centre X6 Z3, it is anticlockwise to X6 Z8 below it.
    track = track_of(line)
    assert track.complaints == ()
    np.testing.assert_allclose((track.x[1], track.y[1], track.z[1]), end, atol=1e-12)
    np.testing.assert_allclose((track.centre_x[1], track.centre_y[1], track.centre_z[1]), centre, atol=1e-12)


@pytest.mark.parametrize("line", ["G18 G2 X11 Z3 I4", "G18 G3 X11 R4.9", "G19 G2 Y12 Z3 J4"])
def test_radii_in_the_other_planes_must_agree(places: Places, line: str) -> None:
    assert [code for _, _, code in places(line)] == ["arc-radius"]


@pytest.mark.parametrize(
    ("line", "wrong"), [("G18 G2 X5 Z5 I2", True), ("G18 G2 X5 Y5 I2", True), ("G17 G2 X5 I2", False)]
)
def test_an_arc_in_another_plane_needs_its_own_axes_known(places: Places, line: str, wrong: bool) -> None:
    before = "G21 G90\nF100\nG0 X1 Y2\n" + ("G0 Z3\nG55\nG0 X1 Y2\n" if wrong else "")
    assert places(line, before=before) == ([(1, 5, "unread")] if wrong else [])


def test_an_arc_before_g17_is_told_once(places: Places) -> None:
    before = "G21 G90\nF100\nG0 X1 Y2 Z3\n"
    assert places("G1 X2\nG2 X4 I1\nX6 I1", before=before) == [(2, 4, "unread")]


@pytest.mark.parametrize("known", ["X1", "Y2"])
def test_an_arc_from_a_position_that_is_not_known(places: Places, known: str) -> None:
    before = f"G21 G90 G17\nF100\nG0 {known}\n"
    assert places("G2 X11 Y2 I5\nG2 X13 I1", before=before) == [(1, 1, "unread")]


def test_a_helix_from_a_height_that_is_not_known(places: Places) -> None:
    before = "G21 G90 G17\nF100\nG0 X1 Y2\n"
    assert places("G2 X11 Z5 I5", before=before) == [(1, 1, "unread")]
    assert places("G2 X11 I5", before=before) == []


def test_after_a_wrong_arc_the_next_lines_are_not_blamed(places: Places, track_of: TrackOf) -> None:
    assert places("G2 X11 Y2 I6\nX13 I1\nG18 G2 X15 J1\nG17 X17 I1") == [
        (1, 11, "arc-radius"),
        (3, 12, "unread"),
    ]
    assert track_of("G2 X11 Y2 I6").centre_x[1] == 7.0  # the row says what I and J say


def test_the_words_of_an_arc_stay_no_longer_than_its_line(places: Places) -> None:
    assert places("G2 X11 I5\nX13") == [(2, 1, "unread")]


def test_a_centre_without_an_end_in_the_next_line(places: Places) -> None:
    assert places("G2 X11 I5\nI5") == [(2, 1, "unread")]


def test_arc_by_centre_on_values() -> None:
    assert arc_by_centre((7.0, 7.0), (10.0, 16.0), (3.0, 4.0), 0.0).centre == (10.0, 11.0)
    assert arc_by_centre((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), 0.1).centre is None
    assert arc_by_centre((0.0, 0.0), (5.0, 0.0), (5.0, 0.0), 0.1).centre is None  # the end lies on the centre


@pytest.mark.parametrize(("radius", "centre"), [(0.5, (0.0, 0.5)), (-0.5, (0.5, 0.0))])
def test_r_below_one(radius: float, centre: Point) -> None:
    # A quarter, and three quarters, of a circle from (0, 0) to (0.5, 0.5), anticlockwise.
    assert arc_by_radius((0.0, 0.0), (0.5, 0.5), radius, False, 0.002).centre == pytest.approx(centre)
