"""What the example jobs mean, and what follows from a job."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from polypocket.model.files import load_job
from polypocket.model.job import BlockJob, Clamping, Section, Stock, Tolerance, flats_left

JOBS = Path(__file__).parents[2] / "shared" / "jobs"
Change = Callable[..., BlockJob]


def test_block_in_millimetres(block: BlockJob) -> None:
    assert (block.kind, block.name, block.units) == ("block", "valve-stem index block", "mm")
    assert (block.stock.shape, block.stock.width, block.stock.thickness) == ("square", 130.0, 34.0)
    assert (block.stock.oversize, block.stock.material) == (0.8, "aluminium-6061")
    assert [(s.sides, s.across_flats, s.depth, s.first_flat, s.from_stock) for s in block.sections] == [
        (12, 124.0, 21.0, 0.0, False),
        (10, 112.0, 9.0, 0.0, False),
    ]
    (cutter,) = block.cutters
    assert (cutter.number, cutter.diameter, cutter.radius, cutter.flutes) == (1, 12.0, 6.0, 3)
    assert (cutter.flute_length, cutter.stick_out, cutter.holder_diameter) == (26.0, 40.0, 32.0)
    assert (cutter.material, cutter.centre_cutting) == ("carbide", True)
    assert (cutter.cut.direction, cutter.cut.stepover, cutter.cut.stepdown) == ("conventional", 1.8, 10.5)
    assert (cutter.cut.finish_allowance, cutter.cut.spindle_rpm, cutter.cut.feed) == (0.2, 4000.0, 480.0)
    clamping = block.clamping
    assert (clamping.grip, clamping.jaws_along, clamping.held) == ("vise", "x", 9.0)
    assert (clamping.swivel_settings, clamping.clamp_height) == ((0.0,), 0.0)
    assert block.tolerance.angle == pytest.approx(math.radians(0.1))
    assert block.tolerance.size == 0.2


def test_block_in_inches() -> None:
    job = load_job(JOBS / "hydrant_key_block.toml")
    assert job.units == "inch"
    assert job.stock.width == pytest.approx(76.2)
    assert job.stock.thickness == pytest.approx(38.1)
    assert job.stock.oversize == pytest.approx(0.508)
    pentagon, octagon = job.sections
    assert pentagon.polygon().flat_to_corner == pytest.approx(2.6 * 25.4)
    assert pentagon.depth == pytest.approx(9.525)
    assert pentagon.first_flat == pytest.approx(math.pi / 2.0)
    assert (octagon.across_flats, octagon.from_stock) == (pytest.approx(76.2), True)
    assert job.cutters[0].diameter == pytest.approx(12.7)
    assert job.cutters[0].holder_diameter == 32.0
    assert job.cutters[0].cut.feed == pytest.approx(152.4)
    assert job.tolerance.angle == pytest.approx(math.radians(0.1))
    assert job.tolerance.size == pytest.approx(0.1016)


def test_the_same_block_in_inches_is_the_same_block(block: BlockJob, tmp_path: Path) -> None:
    text = (JOBS / "valve_stem_block.toml").read_text(encoding="utf-8")
    unlike_lengths = ("sides", "number", "flutes", "spindle_rpm", "first_flat")
    lines = []
    for line in text.replace('units = "mm"', 'units = "inch"').splitlines():
        key, _, value = line.partition(" = ")
        if key not in unlike_lengths and value.replace(".", "").isdigit():
            line = f'{key} = "{value} mm{"/min" if key == "feed" else ""}"'
        lines.append(line)
    path = tmp_path / "in_inches.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    assert load_job(path) == block.model_copy(update={"units": "inch"})


def test_what_may_be_left_out(tmp_path: Path) -> None:
    left_out = (
        "oversize",
        "first_flat",
        "holder_diameter",
        "stepdown",
        "finish_allowance",
        "swivel",
        "size =",
    )
    text = (JOBS / "valve_stem_block.toml").read_text(encoding="utf-8")
    path = tmp_path / "short.toml"
    path.write_text(
        "\n".join(line for line in text.splitlines() if not line.startswith(left_out)), encoding="utf-8"
    )
    job = load_job(path)
    (cutter,) = job.cutters
    assert (job.stock.oversize, job.sections[0].first_flat, cutter.holder_diameter) == (0.0, 0.0, None)
    assert (cutter.cut.stepdown, cutter.cut.finish_allowance) == (None, 0.0)
    assert job.clamping.swivel_settings == (0.0,)
    assert job.tolerance.size == 0.1  # ISO 2768-1, class m, 0.5 mm to 6 mm


def test_a_job_on_a_plate(tmp_path: Path) -> None:
    text = (JOBS / "valve_stem_block.toml").read_text(encoding="utf-8")
    start, end = text.index("[clamping]"), text.index("[tolerance]")
    path = tmp_path / "plate.toml"
    plate = '[clamping]\ngrip = "plate"\nclamp_height = "1 in"\n\n'
    text = text.replace("stick_out = 40.0", "stick_out = 50.0")
    path.write_text(text[:start] + plate + text[end:], encoding="utf-8")
    clamping = load_job(path).clamping
    assert (clamping.grip, clamping.jaws_along, clamping.held) == ("plate", "x", 0.0)
    assert (clamping.clamp_height, clamping.swivel_settings) == (25.4, (0.0,))
    assert clamping == Clamping(grip="plate", clamp_height=25.4)
    assert Clamping(grip="plate").clamp_height == 0.0


@pytest.mark.parametrize(("degrees", "is_tolerance"), [(3.0, True), (3.01, False)])
def test_the_widest_tolerance(degrees: float, is_tolerance: bool) -> None:
    """ISO 2768-1, table 3, class v, legs up to 10 mm: 3°."""
    if is_tolerance:
        assert Tolerance(angle=math.radians(degrees)).size == 0.1
    else:
        with pytest.raises(ValidationError, match="more than 3 degrees"):
            Tolerance(angle=math.radians(degrees))


def test_centre_to_flat_is_half_of_across_flats(block: BlockJob, tmp_path: Path) -> None:
    text = (JOBS / "valve_stem_block.toml").read_text(encoding="utf-8")
    path = tmp_path / "half.toml"
    path.write_text(text.replace("across_flats = 124.0", "centre_to_flat = 62.0"), encoding="utf-8")
    assert load_job(path) == block


STOCKS: list[tuple[dict[str, Any], float, float]] = [
    ({"shape": "square", "width": 100.0}, 100.0**2, 102.0**2),
    ({"shape": "rectangle", "width": 100.0, "length": 60.0}, 6000.0, 102.0 * 62.0),
    # Area of a polygon n·r²·tan(180°/n): Machinery's Handbook, 31st ed., p. 82, S/r 1.1547 for n = 6.
    (
        {"shape": "polygon", "sides": 6, "across_flats": 80.0, "first_flat": 0.3},
        6 * 40.0**2 * 1.1547 / 2.0,
        6 * 41.0**2 * 1.1547 / 2.0,
    ),
    ({"shape": "round", "diameter": 100.0}, math.pi * 50.0**2, math.pi * 51.0**2),
]


@pytest.mark.parametrize(("sizes", "area", "largest"), STOCKS, ids=lambda value: str(value)[:24])
def test_outlines_of_the_stock(sizes: dict[str, Any], area: float, largest: float) -> None:
    stock = Stock(**sizes, thickness=30.0, oversize=1.0, material="brass")
    assert stock.outline().area == pytest.approx(area, rel=1e-3)
    assert stock.largest_outline().area == pytest.approx(largest, rel=1e-3)
    assert stock.largest_outline().sticks_out(stock.outline()) == pytest.approx(-1.0, abs=0.01)


def section(sides: int, across_flats: float, first_flat: float, *, from_stock: bool) -> Section:
    return Section(
        sides=sides, across_flats=across_flats, first_flat=first_flat, from_stock=from_stock, depth=5.0
    )


@pytest.mark.parametrize(
    ("stock", "sides", "first_flat", "left"),
    [
        ({"shape": "square", "width": 100.0}, 8, 0.0, {1, 3, 5, 7}),
        ({"shape": "square", "width": 100.0}, 8, math.radians(45.0), {2, 4, 6, 8}),
        ({"shape": "square", "width": 100.0}, 4, math.pi / 2.0, {1, 2, 3, 4}),
        ({"shape": "square", "width": 100.0}, 12, math.tau, {1, 4, 7, 10}),
        ({"shape": "square", "width": 100.0}, 12, math.radians(1.0), set()),
        ({"shape": "rectangle", "width": 100.0, "length": 140.0}, 8, 0.0, {1, 5}),
        ({"shape": "rectangle", "width": 140.0, "length": 100.0}, 8, 0.0, {3, 7}),
        ({"shape": "polygon", "sides": 6, "across_flats": 100.0}, 12, 0.0, {1, 3, 5, 7, 9, 11}),
    ],
)
def test_flats_that_are_faces_of_the_stock(
    changed: Change, stock: dict[str, Any], sides: int, first_flat: float, left: set[int]
) -> None:
    taken_over = section(sides, 100.0, first_flat, from_stock=True)
    given_size = section(sides, 100.0, first_flat, from_stock=False)
    held = {"width": None, "thickness": 34.0, **stock}
    job = changed(stock=held, sections=[taken_over, given_size])
    assert job.stock.across_faces() == 100.0
    assert flats_left(job, taken_over) == left
    assert flats_left(job, given_size) == frozenset()


def test_round_stock_has_no_faces() -> None:
    stock = Stock(shape="round", diameter=50.0, thickness=30.0, material="brass")
    assert stock.faces() == ()
    assert stock.across_faces() is None


@given(st.sampled_from([3, 4, 5, 6, 7, 8, 12]), st.floats(1.0, 500.0), st.floats(-6.0, 6.0))
def test_a_polygon_of_the_stock_keeps_all_flats_of_its_own_shape(
    sides: int, across: float, turn: float
) -> None:
    stock = Stock(
        shape="polygon", sides=sides, across_flats=across, first_flat=turn, thickness=30.0, material="brass"
    )
    same = section(sides, across, turn + math.tau / sides, from_stock=True)
    job = load_job(JOBS / "valve_stem_block.toml").model_copy(update={"stock": stock})
    assert flats_left(job, same) == frozenset(range(1, sides + 1))


def test_made_in_code_numbers_are_taken_as_they_are() -> None:
    made = section(6, 50.0, 0.5, from_stock=False)
    plain = Section(sides=6, across_flats=50.0, depth=5.0)
    assert (plain.from_stock, plain.first_flat) == (False, 0.0)
    assert (made.across_flats, made.first_flat, made.outline().area) == (50.0, 0.5, made.polygon().area)


@pytest.mark.parametrize(
    "change",
    [
        {"cut": {"feed": -1.0}},
        {"cut": {"feed": math.inf}},
        {"cut": {"feed": "480 mm/min"}},
        {"cutter": {"flutes": 2.0}},
        {"cutter": {"colour": "blue"}},
        {"stock": {"diameter": 3.0}},
        {"sections": []},
    ],
)
def test_made_in_code_wrong_values_are_refused(changed: Change, change: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        changed(**change)


def test_a_job_cannot_be_changed(block: BlockJob) -> None:
    with pytest.raises(ValidationError, match="frozen"):
        block.name = "another"  # type: ignore[misc]
