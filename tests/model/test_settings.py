"""Settings of the swivel base: ranges in whole graduations, lists, and the vise that has to have them."""

from __future__ import annotations

import math

import pytest
from pydantic import TypeAdapter, ValidationError

from polypocket.model.files import job_of_text, load_mill
from polypocket.model.fits import mistakes_on_mill
from polypocket.model.settings import SwivelSettings, degrees_text
from polypocket.model.shipped import shipped_job

SETTINGS: TypeAdapter[tuple[float, ...]] = TypeAdapter(SwivelSettings)


def read(value: object) -> list[float]:
    return [round(math.degrees(each), 9) for each in SETTINGS.validate_python(value, context={"units": "mm"})]


def job_with(settings: str) -> str:
    return shipped_job("valve_stem_block.toml").replace(
        "swivel_settings = [0.0]", f"swivel_settings = {settings}"
    )


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        ([0.0], [0.0]),
        ([30, -22.5], [30.0, -22.5]),
        (["7° 30'"], [7.5]),
        ({"from": -2, "to": 2, "graduation": 1}, [-2.0, -1.0, 0.0, 1.0, 2.0]),
        ({"from": 10, "to": 11, "graduation": "30'"}, [10.0, 10.5, 11.0]),
        ({"from": 45, "to": 45, "graduation": 5}, [45.0]),
    ],
)
def test_reads(value: object, degrees: list[float]) -> None:
    assert read(value) == degrees


@pytest.mark.parametrize(
    "value",
    [
        {"from": 0, "to": 10, "graduation": 0},
        {"from": 0, "to": 10, "graduation": -1},
        {"from": 0, "to": 10},
        {"from": 0.5, "to": 10, "graduation": 1},
        {"from": 0, "to": 10.5, "graduation": 1},
        {"from": -180, "to": 180, "graduation": "10'"},
        [],
        [True],
        [181],
        "30",
    ],
)
def test_refuses(value: object) -> None:
    with pytest.raises(ValidationError):
        read(value)


def test_a_whole_turn_in_degrees_is_not_too_many() -> None:
    assert len(read({"from": -180, "to": 180, "graduation": 1})) == 361


@pytest.mark.parametrize(
    ("degrees", "text"), [(0.0, "0"), (-22.5, "-22.5"), (30.0, "30"), (1 / 3, "0.333333")]
)
def test_text(degrees: float, text: str) -> None:
    assert degrees_text(math.radians(degrees)) == text
    assert degrees_text(-1e-12) == "0"


def test_what_the_vise_has() -> None:
    mill = load_mill("knee-mill-3-axis")
    assert mill.vise is not None
    job = job_of_text(job_with("[0, 22.5]"), "job")
    assert mistakes_on_mill(job, mill) == ()
    for changes, said in (
        ({"swivel_base": False}, "no swivel base"),
        ({"swivel_graduation": math.radians(1.0)}, "22.5° is not a whole graduation"),
    ):
        changed = mill.model_copy(update={"vise": mill.vise.model_copy(update=changes)})
        (mistake,) = mistakes_on_mill(job, changed)
        assert mistake.place == "clamping.swivel_settings"
        assert said in mistake.message
    fixed = mill.model_copy(update={"vise": mill.vise.model_copy(update={"swivel_base": False})})
    assert mistakes_on_mill(job_of_text(job_with("[0]"), "job"), fixed) == ()
