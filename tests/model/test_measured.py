"""One of several cutters, measured."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text

TEXT = (Path(__file__).parents[2] / "fixtures" / "jobs" / "sluice_key.toml").read_text(encoding="utf-8")


def diameters(given: str, text: str = TEXT) -> list[tuple[float, float | None]]:
    return [(cutter.diameter, cutter.measured) for cutter in job_of_text(text, "key", given).cutters]


@pytest.mark.parametrize("given", ["2=7.94", " 2 = 7.94 mm", "2=0.3126 in"])
def test_the_one_that_is_named(given: str) -> None:
    first, second = diameters(given)
    assert first == (12.0, None)
    assert second == (pytest.approx(7.94, abs=1e-3), None)


def test_left_to_the_control() -> None:
    by_control = TEXT.replace("[cutters.cut] ", "[cutters.cut]\nsize_from_control = true\n")
    assert diameters("2=7.94", by_control) == [(12.0, None), (8.0, 7.94)]
    assert diameters("1=11.9", by_control) == [(11.9, None), (8.0, None)]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("7.94", "the job has the cutters 1 and 2; say which it is, such as 1=7.94"),
        ("3=7.94", "the job has no cutter 3; it has 1 and 2"),
        ("2=12", "cutter 2 is 8.000 mm; one so different is another cutter"),
        ("2=", '"" is not a length'),
        ("2=7.94=8", '"7.94=8" is not a length'),
        ("2=-7.94", "must be more than 0"),
        ("2=6.5", "must be at most"),
    ],
)
def test_what_cannot_be(given: str, said: str) -> None:
    with pytest.raises(MistakesError) as caught:
        job_of_text(TEXT, "key", given)
    assert any(said in str(mistake) for mistake in caught.value.mistakes), caught.value


def test_one_cutter_is_not_taken_for_another() -> None:
    """Cutters of 12 and 10 mm: one ground down from 12 to 10 is more likely the other one."""
    alike = TEXT.replace("diameter = 8.0", "diameter = 10.0")
    with pytest.raises(MistakesError, match="that is the size of cutter 2; make sure which of them it is"):
        job_of_text(alike, "key", "1=10.002")
    assert [cutter.diameter for cutter in job_of_text(alike, "key", "1=10.02").cutters] == [10.02, 10.0]
