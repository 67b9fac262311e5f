"""Levels: worked by hand, and for any heights."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.plan.levels import levels

lengths = st.floats(0.05, 200.0)


@pytest.mark.parametrize(
    ("top", "bottom", "stepdown", "expected"),
    [
        (0.0, 9.0, None, (9.0,)),
        (0.0, 9.0, 20.0, (9.0,)),
        (0.0, 9.0, 9.0, (9.0,)),
        (0.0, 9.0, 4.0, (3.0, 6.0, 9.0)),
        (9.0, 21.0, 10.5, (15.0, 21.0)),
        (0.0, 0.3, 0.1, (0.1, 0.2, 0.3)),  # 0.3 / 0.1 is a little less than 3 in binary fractions
        (0.0, 2.1, 0.7, (0.7, 1.4, 2.1)),  # and 2.1 / 0.7 a little more
    ],
)
def test_worked_by_hand(
    top: float, bottom: float, stepdown: float | None, expected: tuple[float, ...]
) -> None:
    assert levels(top, bottom, stepdown) == pytest.approx(expected, abs=1e-12)


@given(top=lengths, height=lengths, stepdown=lengths)
def test_equal_and_no_deeper_than_the_stepdown(top: float, height: float, stepdown: float) -> None:
    found = levels(top, top + height, stepdown)
    steps = [lower - upper for upper, lower in pairwise((top, *found))]
    assert found[-1] == pytest.approx(top + height)
    assert max(steps) - min(steps) < 1e-9
    assert max(steps) <= stepdown + 1e-6
    assert len(found) == 1 or height / (len(found) - 1) > stepdown - 1e-6, "fewer would do"
