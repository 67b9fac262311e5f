"""When corners may be rolled, and what then has to be taken up."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from polypocket.plan.method import Method

MakeMethod = Callable[..., Method]


@pytest.mark.parametrize(
    ("backlash", "allowance", "to_size", "to_allowance"),
    [
        ((0.0, 0.0), 0.0, True, True),
        ((0.01, 0.01), 0.0, True, True),
        ((0.0, 0.011), 0.0, False, False),  # one loose screw is enough
        ((0.05, 0.1), 0.2, False, True),  # what the screws may be out stays within the allowance, twice over
        ((0.05, 0.1), 0.19, False, False),
    ],
)
def test_rolling(
    method: MakeMethod, backlash: tuple[float, float], allowance: float, to_size: bool, to_allowance: bool
) -> None:
    made = method(backlash=backlash, allowance=allowance)
    assert made.rolls_to_size is to_size
    assert made.rolls_to_allowance is to_allowance
    assert made.backlash_to_take_up("finish") == (None if to_size else backlash)
    assert made.backlash_to_take_up("rough") == (None if to_allowance else backlash)
