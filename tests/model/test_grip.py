"""How a vise holds a stock, worked out by hand on the shop's block and on stock that is harder to hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.model.files import load_job, load_mill
from polypocket.model.grip import grip_of, swivel_base_needed
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.prove.header import header_by_hand, header_of
from polypocket.prove.placing import Placed
from polypocket.sheet.hold import clamping_rows

ROOT = Path(__file__).parents[2]


@pytest.fixture
def mill() -> Mill:
    return load_mill(ROOT / "fixtures" / "mills" / "short_table.toml")


@pytest.fixture
def block() -> BlockJob:
    return load_job(ROOT / "shared" / "jobs" / "valve_stem_block.toml")


def with_stock(job: BlockJob, held: float = 9.0, **changes: object) -> BlockJob:
    clamping = job.clamping.model_copy(update={"held": held})
    return job.model_copy(
        update={"stock": job.stock.model_copy(update=changes), "clamping": clamping}
    )  # fmt: skip


def test_the_block_by_hand(block: BlockJob, mill: Mill) -> None:
    """130 + 0.8 between jaws of 150; 34 − 9 above them, 25 − 21 from floor to jaws; 45 − 9 of parallels."""
    grip = grip_of(block, mill)
    assert grip is not None
    assert grip.across == pytest.approx(130.8)
    assert (grip.opening, grip.faces, grip.held, grip.jaw_height) == (150.0, True, 9.0, 45.0)
    assert (grip.parallels, grip.above, grip.floor, grip.under) == (36.0, 25.0, 4.0, 13.0)
    assert grip.overhang == pytest.approx((130.8 - 150.0) / 2.0)
    assert grip.cautions == ()


@pytest.mark.parametrize(
    ("held", "changes", "said"),
    [
        (9.0, {"shape": "round", "width": None, "diameter": 140.0}, "no two faces"),
        (9.0, {"shape": "polygon", "width": None, "sides": 7, "across_flats": 130.0}, "no two faces"),
        (9.0, {"shape": "polygon", "width": None, "sides": 6, "across_flats": 130.0}, "no two faces"),
        (8.0, {}, "3.2 times what is held"),
        (9.0, {"shape": "rectangle", "width": 330.0, "length": 130.0}, "stick out at each end"),
        (43.0, {"thickness": 70.0}, "hard to come by"),
    ],
)
def test_cautions(block: BlockJob, mill: Mill, held: float, changes: dict[str, object], said: str) -> None:
    grip = grip_of(with_stock(block, held, **changes), mill)
    assert grip is not None
    (caution,) = grip.cautions
    assert said in caution


def test_six_flats_face_the_jaws_once_they_are_turned(block: BlockJob, mill: Mill) -> None:
    turned = {
        "shape": "polygon",
        "width": None,
        "sides": 6,
        "across_flats": 130.0,
        "first_flat": 1.5707963267948966,
    }
    grip = grip_of(with_stock(block, **turned), mill)
    assert grip is not None
    assert grip.faces


def test_no_grip_on_a_plate(mill: Mill) -> None:
    assert grip_of(load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml"), mill) is None


def test_a_swivel_base_that_nothing_is_gained_by(mill: Mill) -> None:
    assert mill.vise is not None
    assert "stands lower and stiffer" in str(swivel_base_needed(mill, fits_at_0=True, units="mm"))
    assert swivel_base_needed(mill, fits_at_0=False, units="mm") is None
    measured = mill.model_copy(update={"vise": mill.vise.model_copy(update={"swivel_height": 25.0})})
    assert "stands 25.000 mm lower" in str(swivel_base_needed(measured, fits_at_0=True, units="mm"))
    fixed = mill.model_copy(update={"vise": mill.vise.model_copy(update={"swivel_base": False})})
    assert swivel_base_needed(fixed, fits_at_0=True, units="mm") is None
    by_hand = mill.axes.y.model_copy(update={"driven": False})
    axes = mill.axes.model_copy(update={"y": by_hand})
    assert swivel_base_needed(mill.model_copy(update={"axes": axes}), fits_at_0=True, units="mm") is None


def test_cautions_stand_at_the_program_s_head_and_on_the_sheet(block: BlockJob, mill: Mill) -> None:
    """A vise holds round stock along two lines only, which whoever clamps it must read where it is clamped."""
    zero = {"work_offsets": {mill.work_offset: (75.0, -145.0, -80.0)}}
    placed = Placed(mill.model_copy(update=zero), 0.0, None, chosen=False)
    rounded = with_stock(block, shape="round", width=None, diameter=140.0)
    for job, cautions in ((rounded, 1), (block, 0)):
        head = [line for line in header_of(job, placed, "any") if line.startswith("Caution, grip: ")]
        by_hand = [line for line in header_by_hand(job, mill) if line.startswith("Caution, grip: ")]
        rows = [text for name, text in clamping_rows(job, placed) if name == "caution"]
        assert (len(head), len(by_hand), len(rows)) == (cautions, cautions, cautions)
        assert all("in jaws bored to its size or in V-blocks" in text for text in (*head, *by_hand, *rows))
