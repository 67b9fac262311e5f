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


@pytest.mark.parametrize(
    ("bottom", "stepdown", "step", "expected"),
    [
        (9.02, 3.5, 0.02, (3.0, 6.02, 9.02)),  # 451 divisions: 150.33 and 300.67
        (9.0, 4.5, 0.02, (4.5, 9.0)),
        (10.0, 3.34, 0.02, (3.34, 6.66, 10.0)),  # 3.333 and 6.667: the last goes down by 3.34
        (10.0, 3.335, 0.02, (2.5, 5.0, 7.5, 10.0)),  # which is too much here
        (
            1.0,
            0.25,
            0.3,
            (0.25, 0.5, 0.75, 1.0),
        ),  # no dial is so coarse; nothing can be set, and the dry run tells
        (9.01, None, 0.02, (9.01,)),
    ],
)
def test_in_whole_steps(
    bottom: float, stepdown: float | None, step: float, expected: tuple[float, ...]
) -> None:
    assert levels(0.0, bottom, stepdown, step) == pytest.approx(expected, abs=1e-12)


@given(top=lengths, height=lengths, stepdown=lengths, step=st.sampled_from([0.005, 0.0127, 0.02, 0.05]))
def test_whole_steps_no_deeper_than_the_stepdown(
    top: float, height: float, stepdown: float, step: float
) -> None:
    top = round(top / step) * step
    found = levels(top, top + height, stepdown, step)
    assert found[-1] == top + height
    assert all(abs(depth / step - round(depth / step)) < 1e-6 for depth in found[:-1])
    assert max(lower - upper for upper, lower in pairwise((top, *found))) <= stepdown + 0.0025
