"""Times of moves against a textbook's profile and against bounds that each axis sets."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.cutting.time import Kinematics, trapezoid
from polypocket.model.files import load_mill

lengths = st.floats(0.0, 400.0)
signed = st.floats(-400.0, 400.0)
triples = st.tuples(signed, signed, signed)
rates = st.tuples(*[st.floats(100.0, 9000.0)] * 3)
accelerations = st.tuples(*[st.floats(20.0, 2000.0)] * 3)


def test_the_textbook_move() -> None:
    # Motion-profile textbook: a move of 80° with ramps of 0.5 s and 7.5 s of cruise takes 8.5 s. The area under the
    # profile is v·(7.5 + 0.5), so that v = 10 °/s and a = 20 °/s²; degrees stand for millimetres.
    assert trapezoid(80.0, 10.0, 20.0) == pytest.approx(8.5)


def test_a_short_move_never_gets_up_to_speed() -> None:
    # Half the way speeding up, half slowing down: 2·√(D/a).
    assert trapezoid(4.0, 10.0, 16.0) == pytest.approx(1.0)
    assert trapezoid(100.0 / 16.0, 10.0, 16.0) == pytest.approx(1.25)  # D = v²/a: either way
    assert trapezoid(0.0, 10.0, 16.0) == 0.0


@given(st.floats(0.01, 400.0), st.floats(0.5, 200.0), st.floats(20.0, 2000.0))
def test_a_trapezoid_covers_its_distance(distance: float, speed: float, acceleration: float) -> None:
    # The area under the profile: ramp up, at most the speed, ramp down to rest at the time told. It is made of
    # straight pieces that meet at the ramps' ends and in the middle, so that trapezoids between those are exact.
    total = trapezoid(distance, speed, acceleration)
    ramp = min(speed / acceleration, total / 2.0)
    times = np.array([0.0, ramp, total / 2.0, total - ramp, total])
    profile = np.minimum(speed, acceleration * np.minimum(times, total - times))
    covered = float(np.sum((profile[1:] + profile[:-1]) / 2.0 * np.diff(times)))
    assert covered == pytest.approx(distance, rel=1e-9)


def test_rapids_on_independent_axes_take_as_long_as_the_slowest() -> None:
    mill = Kinematics((6000.0, 6000.0, 3000.0), (500.0, 500.0, 500.0), independent=True, feed_max=3000.0)
    # X: 100 mm at 100 mm/s and 0.2 s of ramps; Z: 60 mm at 50 mm/s and 0.1 s.
    assert mill.rapid_time((100.0, 0.0, 0.0)) == pytest.approx(1.2)
    assert mill.rapid_time((0.0, 0.0, -60.0)) == pytest.approx(1.3)
    assert mill.rapid_time((100.0, 40.0, -60.0)) == pytest.approx(1.3)
    assert mill.rapid_time((0.0, 0.0, 0.0)) == 0.0


def test_straight_rapids_slow_down_for_the_slowest_axis() -> None:
    mill = Kinematics((6000.0, 6000.0, 3000.0), (500.0, 500.0, 500.0), independent=False, feed_max=3000.0)
    assert mill.rapid_time((100.0, 0.0, 0.0)) == pytest.approx(1.2)
    # 3-4-5 in X and Y: along the path 100/0.8 mm/s and 500/0.8 mm/s².
    assert mill.rapid_time((75.0, 100.0, 0.0)) == pytest.approx(125.0 / 125.0 + 125.0 / 625.0)
    # 3-4-5 in X and Z, Z steeper: 50/0.8 = 62.5 mm/s and 625 mm/s².
    assert mill.rapid_time((45.0, 0.0, 60.0)) == pytest.approx(75.0 / 62.5 + 62.5 / 625.0)


def test_feeds_go_at_their_rate_with_each_axis_within_its_acceleration() -> None:
    mill = Kinematics((6000.0, 6000.0, 3000.0), (500.0, 200.0, 500.0), independent=True, feed_max=3000.0)
    assert mill.feed_time((50.0, 0.0, 0.0), 600.0) == pytest.approx(50.0 / 10.0 + 10.0 / 500.0)
    assert mill.feed_time((0.0, -50.0, 0.0), 600.0) == pytest.approx(50.0 / 10.0 + 10.0 / 200.0)
    # Y sets 200/0.8 = 250 mm/s² along a 3-4-5.
    assert mill.feed_time((30.0, 40.0, 0.0), 600.0) == pytest.approx(50.0 / 10.0 + 10.0 / 250.0)
    assert mill.feed_time((0.0, 0.0, 0.0), 600.0) == 0.0


def test_arcs_go_at_their_rate_with_the_slower_axis_setting_the_start() -> None:
    mill = Kinematics((6000.0, 6000.0, 3000.0), (500.0, 200.0, 50.0), independent=True, feed_max=3000.0)
    assert mill.arc_time(30.0, 600.0) == pytest.approx(30.0 / 10.0 + 10.0 / 200.0)


@given(triples, rates, accelerations)
def test_no_rapid_beats_any_of_its_axes(
    delta: tuple[float, float, float],
    rapid: tuple[float, float, float],
    acceleration: tuple[float, float, float],
) -> None:
    alone = [trapezoid(abs(d), v / 60.0, a) for d, v, a in zip(delta, rapid, acceleration, strict=True)]
    independent = Kinematics(rapid, acceleration, True, 1000.0).rapid_time(delta)
    straight = Kinematics(rapid, acceleration, False, 1000.0).rapid_time(delta)
    assert independent == pytest.approx(max(alone))
    assert straight >= independent - 1e-9


@given(triples.filter(lambda delta: math.hypot(*delta) > 0.01), rates, accelerations)
def test_a_straight_rapid_uses_up_what_the_axes_allow(
    delta: tuple[float, float, float],
    rapid: tuple[float, float, float],
    acceleration: tuple[float, float, float],
) -> None:
    # As a share of the way: no axis may go through its own part faster than its rate and acceleration allow.
    moving = [
        (abs(d), v / 60.0, a) for d, v, a in zip(delta, rapid, acceleration, strict=True) if abs(d) > 1e-9
    ]
    speed = min(v / d for d, v, _ in moving)
    ramp = min(a / d for d, _, a in moving)
    expected = 1.0 / speed + speed / ramp if ramp >= speed**2 else 2.0 / math.sqrt(ramp)
    assert Kinematics(rapid, acceleration, False, 1000.0).rapid_time(delta) == pytest.approx(
        expected, rel=1e-6
    )


def test_a_mill_hands_over_its_axes() -> None:
    mill = load_mill("knee-mill-3-axis")
    kinematics = Kinematics.of(mill)
    assert kinematics.rapid == (120.0 * 25.4, 120.0 * 25.4, 80.0 * 25.4)
    assert kinematics.acceleration == pytest.approx((8.0 * 25.4,) * 3)
    assert kinematics.independent
    assert kinematics.feed_max == pytest.approx(60.0 * 25.4)
    assert not Kinematics.of(load_mill("knee-mill-ballscrews")).independent
