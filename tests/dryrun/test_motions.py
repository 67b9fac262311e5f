"""Motions in every plane, in shifted coordinates and to reference points, measured from the work zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.dryrun.motions import Motion, motions_of, paths_of_motions
from polypocket.dryrun.paths import Paths, paths_of
from polypocket.dryrun.travel import extremes_of
from polypocket.reader import Dialect, Track, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

ZERO = {"G54": (100.0, -50.0, -70.0)}


def track(text: str) -> Track:
    return read(f"G21 G90 G17 G94\n{text}\nM30\n", Dialect("test", reference_all_axes=True), name="test")


def motions(text: str, **points: tuple[float, float, float]) -> tuple[Motion, ...]:
    read_ = track(text)
    assert read_.complaints == ()
    return motions_of(paths_of(read_, "G54", ZERO, points))


def columns(moves: tuple[Motion, ...]) -> Paths:
    """The same motions in columns, which must think alike of them."""
    paths = paths_of_motions(moves)
    assert motions_of(paths) == moves or any(math.isnan(sum(move.start + move.end)) for move in moves)
    np.testing.assert_allclose(paths.length, [move.length for move in moves], rtol=1e-12, atol=1e-12)
    return paths


def test_a_shift_moves_the_zero_and_not_the_machine() -> None:
    # NISTIR 6556 3.5.18: at X4, G92 X7 makes the offset -3: X7 is where X4 was.
    moves = motions("G0 X4 Y2 Z3\nG92 X7\nG0 Y5\nX8\nG53 X90\nG92.1\nG0 X8 Y5 Z3")
    assert [move.end for move in moves] == [(4, 2, 3), (4, 5, 3), (5, 5, 3), (-10, 5, 3), (8, 5, 3)]


def test_a_shift_holds_in_every_work_offset() -> None:
    offsets = ZERO | {"G55": (130.0, -50.0, -70.0)}
    read_ = track("G0 X4 Y2 Z3\nG92 X7\nG55\nG0 X0 Y0 Z0")
    assert [move.end for move in motions_of(paths_of(read_, "G54", offsets))] == [(4, 2, 3), (27, 0, 0)]


def test_what_stands_still_in_shifted_coordinates_does_not_move() -> None:
    # 0.4 + (0.1 - 0.4) is not 0.1 in binary.
    down = motions("F100\nG0 X0.1 Y0.7 Z3\nG92 X0.4 Y0.1\nG1 Z-1")[-1]
    assert not down.moves_across
    assert down.end[:2] == down.start[:2] == (0.1, 0.7)


@given(st.lists(st.tuples(st.booleans(), st.sampled_from("XYZ"), st.integers(-99_999, 99_999)), max_size=10))
@settings(max_examples=40)
def test_shifts_change_no_place_and_leave_the_machine_frame_alone(steps: list[tuple[bool, str, int]]) -> None:
    here, shift = {"X": 0, "Y": 0, "Z": 0}, {"X": 0, "Y": 0, "Z": 0}
    lines, expected = ["G0 X0 Y0 Z0"], [(0.0, 0.0, 0.0)]
    for is_shift, axis, value in steps:
        if is_shift:
            shift[axis] = here[axis] - value
            lines.append(f"G92 {axis}{value / 1000:.3f}")
        else:
            here[axis] = value + shift[axis]
            lines.append(f"G0 {axis}{value / 1000:.3f}")
            expected.append((here["X"] / 1000, here["Y"] / 1000, here["Z"] / 1000))
    lines.append("G53 G0 X101 Y-49 Z-69")
    expected.append((1.0, 1.0, 1.0))
    assert [move.end for move in motions("\n".join(lines))] == [
        pytest.approx(end, abs=1e-9) for end in expected
    ]


def test_reference_points_are_places_of_the_machine() -> None:
    moves = motions("G0 X1 Y2 Z3\nG28 Z9\nG0 X5 Y5 Z5\nG30", G28=(0.0, 0.0, 0.0), G30=(1.0, 2.0, 3.0))
    assert [move.end for move in moves] == [
        (1, 2, 3),
        (1, 2, 9),
        (-100, 50, 70),
        (5, 5, 5),
        (-99, 52, 73),
    ]
    assert all(move.is_rapid for move in moves)


def test_an_axis_that_is_not_named_afterwards_stays_at_the_reference_point() -> None:
    assert motions("G0 X1 Y2 Z3\nG28\nG0 X5", G28=(0.0, 0.0, 0.0))[-1].end == (5, 50, 70)


def test_a_reference_point_that_is_not_given_leads_nobody_knows_where() -> None:
    moves = motions("G0 X1 Y2 Z3\nG30\nG0 X5", G28=(0.0, 0.0, 0.0))
    assert np.isnan(moves[1].end).all()
    assert moves[2].end[0] == 5.0
    assert np.isnan(moves[2].end[1:]).all()


@pytest.mark.parametrize(
    ("text", "length", "low", "high"),
    [
        # Half circles and a whole one of radius 5, worked by hand. G18: seen from +Y, G3 turns from Z to X.
        ("G0 X0 Y0 Z0\nG18 G2 X0 Z10 K5 F100", 5 * math.pi, (0, 0, 0), (5, 0, 10)),
        ("G0 X0 Y0 Z0\nG18 G3 X0 Z10 K5 F100", 5 * math.pi, (-5, 0, 0), (0, 0, 10)),
        ("G0 X0 Y0 Z0\nG18 G3 X10 Z0 I5 F100", 5 * math.pi, (0, 0, 0), (10, 0, 5)),
        ("G0 X0 Y0 Z0\nG18 G2 X10 Z0 I5 F100", 5 * math.pi, (0, 0, -5), (10, 0, 0)),
        ("G0 X0 Y0 Z0\nG19 G2 Y10 Z0 J5 F100", 5 * math.pi, (0, 0, 0), (0, 10, 5)),
        ("G0 X0 Y0 Z0\nG19 G3 Y10 Z0 J5 F100", 5 * math.pi, (0, 0, -5), (0, 10, 0)),
        ("G0 X0 Y0 Z0\nG19 G3 Y0 Z0 J5 F100", 10 * math.pi, (0, 0, -5), (0, 10, 5)),
        ("G0 X0 Y0 Z0\nG18 G3 X10 Z0 I5 Y12 F100", math.hypot(5 * math.pi, 12), (0, 0, 0), (10, 12, 5)),
        ("G0 X0 Y0 Z0\nG17 G3 X10 Y0 I5 F100", 5 * math.pi, (0, -5, 0), (10, 0, 0)),
    ],
)
def test_arcs_in_every_plane(
    text: str, length: float, low: tuple[float, ...], high: tuple[float, ...]
) -> None:
    moves = motions(text)
    arc = moves[-1]
    assert arc.length == pytest.approx(length)
    assert arc.at(0.0) == pytest.approx(arc.start)
    assert arc.at(1.0) == pytest.approx(arc.end, abs=1e-9)
    assert arc.lowest == pytest.approx(low[2], abs=1e-9)
    extremes = extremes_of(columns(moves))
    assert [extremes[axis].low for axis in "xyz"] == pytest.approx(low, abs=1e-9)
    assert [extremes[axis].high for axis in "xyz"] == pytest.approx(high, abs=1e-9)


def test_an_arc_at_a_height_that_is_not_known_still_bulges() -> None:
    extremes = extremes_of(columns(motions("G0 X0 Y0\nG3 X10 Y0 I5 F100")))
    assert extremes["y"].low == pytest.approx(-5.0)
    assert "z" not in extremes


@given(
    st.sampled_from([17, 18, 19]),
    st.sampled_from(["G2", "G3"]),
    st.floats(0.0, 6.2),
    st.floats(0.1, 6.2),
    st.floats(-5.0, 5.0),
)
@settings(max_examples=80)
def test_an_arc_is_the_same_in_every_plane(
    plane: int, word: str, begin: float, turn: float, rise: float
) -> None:
    """Against points stepped along the circle by the right-hand rule about the plane's third axis."""
    third = {17: 2, 18: 1, 19: 0}[plane]
    first, second, upright = np.roll(np.eye(3), -1 - third, axis=0)
    np.testing.assert_array_equal(np.cross(first, second), upright)
    sign = -1.0 if word == "G2" else 1.0
    angles = begin + sign * turn * np.linspace(0.0, 1.0, 401)
    shares = np.linspace(0.0, 1.0, 401)
    points = 10.0 * (np.outer(np.cos(angles), first) + np.outer(np.sin(angles), second))
    points += np.outer(shares * rise, upright)

    def words(letters: str, place: np.ndarray) -> str:
        return " ".join(f"{letter}{value:.7f}" for letter, value in zip(letters, place, strict=True))

    centre = words("IJK".replace("IJK"[third], ""), np.delete(-points[0], third))
    end = words("XYZ", points[-1])
    moves = motions(f"G0 {words('XYZ', points[0])}\nG{plane} {word} {end} {centre} F100")
    arc = moves[-1]
    found = np.array([arc.at(share) for share in shares.tolist()])
    np.testing.assert_allclose(found, points, atol=2e-5)
    extremes = extremes_of(columns(moves))
    step = 10.0 * (turn / 400) ** 2
    for axis, name in enumerate("xyz"):
        assert extremes[name].low == pytest.approx(points[:, axis].min(), abs=step + 2e-5)
        assert extremes[name].high == pytest.approx(points[:, axis].max(), abs=step + 2e-5)
    assert arc.length == pytest.approx(np.linalg.norm(np.diff(points, axis=0), axis=1).sum(), rel=1e-3)


def test_travel_and_time_of_upright_arcs_are_told_without_a_job(shop: Shop) -> None:
    text = "G21 G90 G17 G94 S500 M3\nG0 X0 Y0 Z0\nG18 G2 X10 Z0 I5 F300\nM5\nM30\n"
    result = shop.run(text, None)
    assert result.findings == ()
    assert result.travel["z"].low == pytest.approx(-75.0)
    assert result.feed_length == pytest.approx(5 * math.pi)


def test_with_a_job_an_upright_arc_is_refused(shop: Shop) -> None:
    result = shop.run(shop.lines(l9="G18 G2 X33. Z-6. I5.\nG17 G0 Z10."), shop.job())
    assert [(finding.code, finding.line) for finding in result.findings] == [("unread", 9)]
    assert "plane G18" in result.findings[0].message


def test_an_upright_arc_is_no_way_round_the_travel(shop: Shop) -> None:
    text = "G21 G90 G17 G94 S500 M3\nG0 X0 Y0 Z0\nG18 G2 X10 Z0 I5 F300\nM5\nM30\n"
    result = shop.run(text, None, shop.mill(axes__z__low=-74.9))
    assert [(finding.code, finding.line) for finding in result.findings] == [("travel", 3)]


def test_a_time_is_turned_into_a_feed_by_the_length_of_the_arc(shop: Shop) -> None:
    text = "G21 G90 G17 G93 S500 M3\nG0 X0 Y0 Z0\nG2 X10 Y0 I5 F{}\nG1 X10 F2\nM5\nM30\n"
    # 5π mm of path in a third of a minute is 47.1 mm/min; the mill's highest feed is 1500 mm/min.
    assert shop.run(text.format(3), None).findings == ()
    fast = shop.run(text.format(100), None)
    assert [(finding.code, finding.line) for finding in fast.findings] == [("feed-limit", 3)]


def test_a_time_for_a_way_of_unknown_length_is_no_feed(shop: Shop) -> None:
    result = shop.run("G21 G90 G17 G93 S500 M3\nG1 X10 F5\nM5\nM30\n", None)
    assert [(finding.code, finding.line) for finding in result.findings] == [("no-feed", 2)]


def test_a_cycle_is_judged_as_the_moves_that_it_stands_for(shop: Shop) -> None:
    beside = shop.lines(l5="G83 G99 X40. Y-30. Z-6. R0. Q2. F100.\nG80\nG0 Z10.")
    assert shop.run(beside, shop.job()).findings == ()
    into = shop.run(shop.lines(l9="G0 Z10.\nG83 G98 X0. Y0. Z-3. R1. Q1. F100.\nG80"), shop.job())
    assert {finding.line for finding in into.findings} == {10}
    codes = {finding.code for finding in into.findings}
    assert "gouge" in codes
    assert "rapid-contact" not in codes  # back down it stays above what the last peck has left
    below = shop.run(shop.lines(l9="G0 Z10.\nG81 G98 X0. Y0. Z-3. R-1. F100.\nG80"), shop.job())
    assert ("rapid-contact", 10) in [(finding.code, finding.line) for finding in below.findings]
