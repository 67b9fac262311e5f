"""What a person is told to measure, and how."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.errors import InputError
from polypocket.model.files import job_of_text, load_job
from polypocket.model.job import BlockJob
from polypocket.model.shipped import material_notes
from polypocket.program import Program, Setup
from polypocket.sheet.checks import Check, checks_of
from polypocket.sheet.drawable import require_drawable

ROOT = Path(__file__).parents[2]


def checks(name: str) -> tuple[Check, ...]:
    return checks_of(load_job(ROOT / "shared" / "jobs" / name))


def gate_key(sides: int, across: str = "33.0", depth: str = "10.0") -> BlockJob:
    text = (ROOT / "fixtures" / "jobs" / "gate_key.toml").read_text().replace("sides = 6", f"sides = {sides}")
    text = text.replace("across_flats = 33.0", f"across_flats = {across}")
    return job_of_text(text.replace("depth = 5.0", f"depth = {depth}"), "job")


def test_even_counts_across_every_pair_of_flats() -> None:
    across, depth, angle, *_ = checks("valve_stem_block.toml")
    assert (across.what, across.size) == ("Section 2: across flats", "112 ±0.2 mm")
    assert across.readings == ("1–6", "2–7", "3–8", "4–9", "5–10")
    assert across.how == "micrometer"
    assert (depth.size, angle.size) == ("9 ±0.2 mm", "144° ±0°06'")


def test_odd_counts_from_each_flat_to_its_own_corner() -> None:
    """Machinery's Handbook, 31st ed., p. 82: R/r of five sides is 1.2361; flat to corner is r + R."""
    across = checks_of(gate_key(5, "20.0"))[0]
    assert across.what == "Section 1: flat to opposite corner"
    assert abs(float(across.size.split()[0]) - 10.0 * 2.2361) < 0.001
    # Flat 1 of five looks away from the corner between flats 3 and 4.
    assert across.readings == ("1–3/4", "2–4/5", "3–5/1", "4–1/2", "5–2/3")


def test_triangles_too() -> None:
    across = checks_of(gate_key(3, "15.0"))[0]
    assert across.size.startswith("22.5 ")  # half of 15, three times: R is twice r
    assert across.readings == ("1–2/3", "2–3/1", "3–1/2")


def test_low_walls_want_thin_anvils() -> None:
    assert "thin anvils" in checks_of(gate_key(6, depth="5.0"))[0].how
    assert "thin anvils" not in checks_of(gate_key(6, depth="9.0"))[0].how


def test_narrow_ledges_want_a_thin_rod() -> None:
    assert "thin rod" in checks_of(gate_key(6, "33.0"))[1].how  # 20 − 16.5 mm
    assert "thin rod" not in checks_of(gate_key(6, "30.0"))[1].how


def test_every_material_tells_of_chips_and_fluid() -> None:
    for key, notes in material_notes().items():
        assert set(notes) >= {"name", "chips", "fluid"}, key


def test_what_cannot_be_drawn_gets_no_sheet() -> None:
    def program(roll: float = 0.0, setups: int = 1, swivel: float = 0.0) -> Program:
        return Program("part", "mm", tuple(Setup(i + 1, swivel, roll, "G54", "", ()) for i in range(setups)))

    require_drawable([program(), program()])
    require_drawable([program(swivel=0.5)])
    for bad, words in (
        ([program(roll=0.5)], "its own axis"),
        ([program(setups=2)], "several clampings"),
        ([program(), program(swivel=0.5)], "several clampings"),
    ):
        with pytest.raises(InputError, match=words):
            require_drawable(bad)
