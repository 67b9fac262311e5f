"""Numbers with a written and with an implied point.

Source of the implied ones: EIA RS-274-D (from memory), the format said as digits before and after the point.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.errors import DialectError
from polypocket.post.numbers import ImpliedPoint, WrittenPoint


@pytest.mark.parametrize(
    ("steps", "plain", "always"),
    [
        (0, "0", "0."),
        (10000, "10", "10."),
        (-500, "-0.5", "-0.5"),
        (12345, "12.345", "12.345"),
        (-7, "-0.007", "-0.007"),
    ],
)
def test_written_point(steps: int, plain: str, always: str) -> None:
    assert WrittenPoint(3, False).text(steps) == plain
    assert WrittenPoint(3, True).text(steps) == always


@pytest.mark.parametrize(
    ("steps", "leading", "trailing", "none"),
    [
        (12500, "12500", "00125", "0012500"),  # 1.25 in as 3.4 digits
        (1250000, "1250000", "125", "1250000"),  # 125 in
        (-5, "-5", "-0000005", "-0000005"),
        (0, "0", "0", "0000000"),
    ],
)
def test_implied_point(steps: int, leading: str, trailing: str, none: str) -> None:
    assert ImpliedPoint(3, 4, "leading").text(steps) == leading
    assert ImpliedPoint(3, 4, "trailing").text(steps) == trailing
    assert ImpliedPoint(3, 4, "none").text(steps) == none


@pytest.mark.parametrize("zeros", ["leading", "trailing", "none"])
def test_too_many_digits_are_refused(zeros: str) -> None:
    form = ImpliedPoint(2, 3, zeros)  # type: ignore[arg-type]
    assert form.text(99_999).lstrip("-")
    with pytest.raises(DialectError, match="more than 2 digits before its point"):
        form.text(100_000)


@given(st.integers(-9_999_999, 9_999_999), st.sampled_from(["leading", "trailing", "none"]))
def test_digits_counted_by_hand_give_the_number_back(steps: int, zeros: str) -> None:
    """Count as a person would: pad on the side where zeros were left out, then put the point after three digits."""
    text = ImpliedPoint(3, 4, zeros).text(steps)  # type: ignore[arg-type]
    digits = text.lstrip("-")
    whole = digits + "0" * (7 - len(digits)) if zeros == "trailing" else "0" * (7 - len(digits)) + digits
    value = float(f"{whole[:3]}.{whole[3:]}") * (-1 if text.startswith("-") else 1)
    assert value == pytest.approx(steps / 1e4, abs=1e-12)
