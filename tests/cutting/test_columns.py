"""Moves in columns take as long as one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.cutting.columns import arc_times, feed_times, rapid_times
from polypocket.cutting.time import Kinematics

PLACES = st.one_of(
    st.just(0.0), st.floats(-500.0, 500.0, allow_subnormal=False).filter(lambda x: abs(x) > 1e-6)
)
DELTAS = st.lists(st.tuples(PLACES, PLACES, PLACES), min_size=1, max_size=20)


@given(DELTAS, st.floats(1.0, 3000.0), st.booleans())
@settings(max_examples=150)
def test_columns_are_the_formulas_of_single_moves(
    deltas: list[tuple[float, float, float]], rate: float, independent: bool
) -> None:
    kinematics = Kinematics((3000.0, 2500.0, 1200.0), (200.0, 150.0, 90.0), independent, 1500.0)
    columns = np.array(deltas).T
    assert rapid_times(kinematics, columns) == pytest.approx(
        [kinematics.rapid_time(delta) for delta in deltas]
    )
    rates = np.full(len(deltas), rate)
    assert feed_times(kinematics, columns, rates) == pytest.approx(
        [kinematics.feed_time(delta, rate) for delta in deltas]
    )
    lengths = [abs(delta[0]) for delta in deltas]
    assert arc_times(kinematics, np.array(lengths), rates) == pytest.approx(
        [kinematics.arc_time(length, rate) for length in lengths]
    )


def test_nothing_takes_no_time() -> None:
    kinematics = Kinematics((3000.0, 2500.0, 1200.0), (200.0, 150.0, 90.0), False, 1500.0)
    assert rapid_times(kinematics, np.zeros((3, 2))).tolist() == [0.0, 0.0]
    assert feed_times(kinematics, np.zeros((3, 0)), np.zeros(0)).tolist() == []
