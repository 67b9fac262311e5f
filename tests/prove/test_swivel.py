"""Blocks whose vise is turned: planned over the table, asked for in the text, and judged by the text."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from polypocket.model.files import load_job, load_mill
from polypocket.model.job import BlockJob
from polypocket.plan import plan_block, strokes_of
from polypocket.post import post_named
from polypocket.prove import dry_run_of_text, prove

ROOT = Path(__file__).parents[2]


def job_at(name: str, *degrees: float) -> BlockJob:
    job = load_job(ROOT / "shared" / "jobs" / name)
    settings = tuple(math.radians(each) for each in degrees)
    return job.model_copy(update={"clamping": job.clamping.model_copy(update={"swivel_settings": settings})})


@pytest.mark.parametrize(
    ("name", "machine", "post", "degrees"),
    [
        ("valve_stem_block.toml", "knee-mill-3-axis", "rs274ngc", 30.0),
        ("valve_stem_block.toml", "knee-mill-3-axis", "lean", -22.5),
        ("hydrant_key_block.toml", "knee-mill-ballscrews", "iso6983", 90.0),
    ],
)
def test_a_setting_in_the_whole_line(name: str, machine: str, post: str, degrees: float) -> None:
    job, mill, dialect = job_at(name, degrees), load_mill(machine), post_named(post)
    proof = prove(job, mill, dialect, "block")
    assert proof.verdict.findings == ()
    assert proof.programs[0].setups[0].swivel == pytest.approx(math.radians(degrees))
    text = proof.parts[0].text
    assert f"(SET SWIVEL {degrees:g})" in text
    for section, as_cut in zip(job.sections, proof.verdict.as_cut, strict=True):
        wanted = [section.first_flat + i * math.tau / section.sides for i in range(section.sides)]
        assert as_cut.normals == pytest.approx(wanted, abs=math.radians(0.01))
        assert as_cut.across_flats == pytest.approx([section.across_flats] * section.sides, abs=0.01)
    # One graduation misread spoils the part, and the dry run knows by the text alone.
    other = job_at(name, degrees, degrees + 1.0)
    misread = text.replace(f"SWIVEL {degrees:g})", f"SWIVEL {degrees + 1.0:g})")
    assert misread != text
    found = {f.code for f in dry_run_of_text([("block", misread)], mill, other, dialect).findings}
    assert {"gouge", "left-standing"} <= found


def test_the_setting_nearest_to_0_is_taken_of_several() -> None:
    job, mill = job_at("valve_stem_block.toml", -30.0, 15.0, 60.0), load_mill("knee-mill-3-axis")
    proof = prove(job, mill, post_named(mill.post), "block")
    assert proof.verdict.findings == ()
    assert "(SET SWIVEL 15)" in proof.parts[0].text
    assert "SWIVEL BASE AT 15 DEG ANTICLOCKWISE" in " ".join(proof.parts[0].text.replace(")\n(-", "").split())


def test_0_is_asked_for_where_others_are_allowed() -> None:
    job, mill = job_at("valve_stem_block.toml", 0.0, 45.0), load_mill("knee-mill-3-axis")
    proof = prove(job, mill, post_named(mill.post), "block")
    assert proof.verdict.findings == ()
    assert "(SET SWIVEL 0)" in proof.parts[0].text


def test_every_part_and_a_new_start_ask_for_it() -> None:
    job, mill = job_at("valve_stem_block.toml", 30.0), load_mill("knee-mill-3-axis")
    small = mill.model_copy(update={"program_memory": 12_000.0})
    proof = prove(job, small, post_named(mill.post), "block", from_pass=60)
    assert proof.verdict.findings == ()
    assert len(proof.parts) > 1
    assert all("(SET SWIVEL 30)" in part.text for part in proof.parts)


def test_flats_along_an_axis_have_other_screws_to_take_up() -> None:
    """The job's section 1 has 12 flats: at 0 four of them run along an axis, at 15° none does."""
    mill = load_mill("knee-mill-3-axis")
    along = []
    for degrees in (0.0, 15.0):
        job = job_at("valve_stem_block.toml", degrees)
        strokes = [s for s in strokes_of(job, mill, math.radians(degrees)) if s.role == "finish"]
        first = [s for s in strokes if s.feature == "section 1"]
        along.append(
            sum(
                min(abs(s.cut.path[0].to[axis] - s.cut.contact[axis]) for axis in (0, 1)) < 1e-6
                for s in first
            )
        )
    assert along == [4, 0]


def test_a_quarter_turn_of_a_square_is_the_same_path() -> None:
    """Stock and 12 sides are the same after a quarter turn; so are the paths, but for the play of X and Y."""
    mill = load_mill("knee-mill-ballscrews")
    job = job_at("valve_stem_block.toml", 0.0, 90.0).model_copy(
        update={"sections": job_at("valve_stem_block.toml", 0.0).sections[:1]}
    )
    straight, turned = (len(strokes_of(job, mill, turn)) for turn in (0.0, math.pi / 2.0))
    assert straight == turned
    assert plan_block(job, mill, math.pi / 2.0).setups[0].swivel == math.pi / 2.0
