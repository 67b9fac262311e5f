"""The work zero told on the command line. Inches: 25.4 mm exactly, the international agreement of 1959."""

from __future__ import annotations

import pytest

from polypocket.model.files import load_mill
from polypocket.model.told_zero import mills_with_zeros


def zeros(*told: str, programs: int = 2) -> list[tuple[float, float, float]]:
    mill = load_mill("knee-mill-3-axis")
    return [each.work_offsets["G54"] for each in mills_with_zeros(mill, list(told), programs)]


def test_one_for_all_and_one_for_a_program() -> None:
    own = (15.0 * 25.4, -6.0 * 25.4, -3.0 * 25.4)
    other = (25.4, -50.8, -10.0)
    assert zeros() == [pytest.approx(own)] * 2
    assert zeros("1, -2, -10 mm") == [pytest.approx(other)] * 2
    assert zeros("2 = 1,-2,-10 mm") == [pytest.approx(own), pytest.approx(other)]
    assert zeros("15,-6,-3", "1=1,-2,-10 mm") == [pytest.approx(other), pytest.approx(own)]


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ("1,2", "is no X, Y and Z"),
        ("1,2,3,4", "is no X, Y and Z"),
        ("3=1,2,3", "there is no program 3; 2 are named"),
        ("0=1,2,3", "there is no program 0"),
        ("1,2,nan", "finite"),
        ("1,2,here", "length"),
        ("", "is no X, Y and Z"),
    ],
)
def test_what_is_no_zero(told: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        zeros(told)


def test_a_mill_without_machine_coordinates_has_none() -> None:
    with pytest.raises(ValueError, match="does not know its machine coordinates"):
        mills_with_zeros(load_mill("knee-mill-table-drive"), ["1,2,3"], 1)
