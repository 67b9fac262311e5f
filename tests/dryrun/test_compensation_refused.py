"""What radius compensation cannot follow, and what is said of it. Worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from polypocket.dryrun.compensation import centre_path
from polypocket.dryrun.motions import motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.reader import read
from tests.dryrun.contours import DIALECT, INSIDE, OUTSIDE, ZEROS, messages, path_of, track_of


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
