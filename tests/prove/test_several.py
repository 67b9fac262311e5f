"""Jobs that want several clampings, cut and dry-run to the finished part. No source: our own promises."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from polypocket.model.files import job_of_text, load_mill, shipped_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.post import post_named
from polypocket.prove import Proof, dry_run_of_text, prove
from tests.generation.small_block import small_block


def job_of(text: str, settings: str = "[0, 90]") -> BlockJob:
    vise = f'grip = "vise"\njaws_along = "x"\nheld = 20.0\nswivel_settings = {settings}'
    return job_of_text(text.replace('grip = "plate"', vise), "job.toml")


def short_mill(y: float, *, driven_z: bool = True) -> Mill:
    mill = load_mill("bench-mill")
    axes = mill.axes.model_copy(
        update={
            "x": mill.axes.x.model_copy(update={"low": 0.0, "high": 110.0}),
            "y": mill.axes.y.model_copy(update={"low": 0.0, "high": y}),
            "z": mill.axes.z.model_copy(update={"driven": driven_z}),
        }
    )
    return mill.model_copy(update={"axes": axes, "work_offsets": {}})


TWO_SECTIONS = small_block([4, 9], 5, 0.2).replace(
    "sides = 4\nacross_flats = 34.0", "sides = 8\nacross_flats = 34.0"
)


def as_cut(proof: Proof, job: BlockJob) -> None:
    assert [f"{each.program} {each.line}: {each.message}" for each in proof.verdict.findings] == []
    for section, measured in zip(job.sections, proof.verdict.as_cut, strict=True):
        assert measured.not_cut == ()
        assert all(
            size is not None and abs(size - section.across_flats) < 5e-3 for size in measured.across_flats
        )
        assert measured.worst_angle_error is not None and measured.worst_angle_error < math.radians(0.01)


@pytest.mark.parametrize("y", [54.0, 40.0])
def test_two_sections_to_the_finished_part(y: float) -> None:
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(y), post_named("rs274ngc"), "part.nc")
    assert len(proof.parts) == len(proof.clampings) >= 2
    assert [part.name for part in proof.parts] == [f"part-{i + 1}.nc" for i in range(len(proof.parts))]
    as_cut(proof, job)
    travel = proof.verdict.travel["y"]
    assert travel.low is not None and travel.high is not None
    assert travel.low >= 0.0 and travel.high <= y


def test_height_by_hand_in_several_clampings() -> None:
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(54.0, driven_z=False), post_named("rs274ngc"), "part.nc")
    assert len(proof.parts) >= 2
    as_cut(proof, job)
    for part in proof.parts:
        assert "Z" not in re.sub(r"\([^)]*\)", "", part.text)


def test_what_stands_at_the_head_of_each() -> None:
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(40.0), post_named("rs274ngc"), "part.nc")
    for number, part in enumerate(proof.parts, start=1):
        said = part.text.replace(")\n(- ", " ")
        assert f"CLAMPING {number} OF {len(proof.parts)}, ONE PROGRAM EACH" in said
        assert ("DEBURRED" in said and "WIPED CLEAN" in said) == (number > 1)
        assert "SPINDLE STOPPED" in said or number == 1
        assert re.search(r"\(ZERO OF X: .*", said) and re.search(r"\(ZERO OF Y: ", said)
        assert re.search(r"^\(SET SWIVEL (0|90)\)$", part.text, re.MULTILINE)
    last = proof.parts[-1].text.replace(")\n(- ", " ")
    assert "TOUCH A FLAT THAT WAS CUT: FLAT" in last


def test_each_flat_named_as_the_zero_stands_there() -> None:
    """What a header tells to touch is along the axis, at that distance, and cut by one of the programs before."""
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(40.0), post_named("rs274ngc"), "part.nc")
    cut: set[tuple[str, str]] = set()
    told = 0
    for part, placed in zip(proof.parts, proof.clampings, strict=True):
        said = part.text.replace(")\n(- ", " ")
        for axis, line in re.findall(r"\(ZERO OF ([XY]): (TOUCH A FLAT [^)]*)", said):
            for flat, section, distance, side in re.findall(
                r"FLAT (\d+) OF SECTION (\d+), ([\d.]+) MM FROM THE CENTRE TOWARDS ([+-][XY])", line
            ):
                told += 1
                assert (section, flat) in cut
                polygon = job.sections[int(section) - 1].polygon()
                facing = math.degrees(polygon.direction(int(flat)) + placed.swivel) % 360.0
                assert facing == pytest.approx(
                    {"+X": 0.0, "+Y": 90.0, "-X": 180.0, "-Y": 270.0}[side], abs=1e-6
                )
                assert side[1] == axis
                assert float(distance) == pytest.approx(polygon.inradius)
        for section, first, last in re.findall(
            r"PASS \d+ SECTION (\d+) FLATS? (\d+)(?: TO (\d+))?", part.text
        ):
            cut |= {(section, first), (section, last or first)}
    assert told


def test_beginning_again_goes_by_the_clampings() -> None:
    """Late passes alone would fit in one clamping too, and be others: what is written anew is of the same programs."""
    job, mill, post = job_of(TWO_SECTIONS), short_mill(54.0), post_named("rs274ngc")
    whole = prove(job, mill, post, "part.nc")
    assert len(whole.parts) == 3
    numbers = [re.findall(r"\(PASS (\d+) .*?\)", part.text) for part in whole.parts]
    (again,) = prove(job, mill, post, "part.nc", from_pass=int(numbers[2][-2])).parts
    assert re.findall(r"\(PASS (\d+) .*?\)", again.text) == numbers[2][-2:]
    assert again.text.splitlines()[-12:] == whole.parts[2].text.splitlines()[-12:]
    assert "CLAMPING 3 OF 3" in again.text


def test_programs_of_several_clampings_are_dry_run_again_with_zeros_that_are_told(tmp_path: Path) -> None:
    """The line that tells how is taken from the screen as it stands."""
    job, mill = tmp_path / "job.toml", tmp_path / "mill.toml"
    vise = 'grip = "vise"\njaws_along = "x"\nheld = 20.0\nswivel_settings = [0, 90]'
    job.write_text(TWO_SECTIONS.replace('grip = "plate"', vise), encoding="utf-8")
    text = shipped_mill("bench-mill").split("[work_offsets]")[0]
    travel = re.findall(r"\[axes.y\]\ntravel = \[.*?\]", text)
    mill.write_text(text.replace(travel[0], "[axes.y]\ntravel = [0.0, 54.0]"), encoding="utf-8")
    from typer.testing import CliRunner

    from polypocket.cli import app

    runner = CliRunner()
    written = runner.invoke(app, ["write", str(job), "--machine", str(mill), "-o", str(tmp_path / "part.nc")])
    assert written.exit_code == 0, written.output
    told = re.findall(r"--zero \S+", written.output)
    parts = sorted(str(path) for path in tmp_path.glob("part-*.nc"))
    assert len(told) == len(parts) >= 2
    again = ["dryrun", *parts, "--machine", str(mill), "--job", str(job)]
    assert runner.invoke(app, [*again, *(word for each in told for word in each.split())]).exit_code == 0
    assert runner.invoke(app, again).exit_code == 1
    assert runner.invoke(app, [*again, "--zero", "1,2"]).exit_code != 0


def test_a_zero_out_of_reach_is_said() -> None:
    """Y goes from 0 to 40 mm, and the middle of a block of 50 mm is outside of that where one flat is cut at a time."""
    proof = prove(job_of(TWO_SECTIONS), short_mill(40.0), post_named("rs274ngc"), "part.nc")
    for part, placed in zip(proof.parts, proof.clampings, strict=True):
        y = placed.mill.work_offsets["G54"][1]
        said = "THE TRAVEL OF Y ENDS BEFORE THE ZERO" in part.text.replace(")\n(- ", " ")
        assert said == (not 0.0 <= y <= 40.0)
    assert any(not 0.0 <= placed.mill.work_offsets["G54"][1] <= 40.0 for placed in proof.clampings)


def test_each_program_once_in_their_order_and_at_its_own_setting() -> None:
    """Clamping 2 without its setting was taken to be at that of clamping 1; a program twice cut air and passed."""
    job, mill = job_of(TWO_SECTIONS), short_mill(54.0)
    post = post_named("rs274ngc")
    proof = prove(job, mill, post, "part.nc")
    parts = [(part.name, part.text) for part in proof.parts]
    zeros = [placed.mill for placed in proof.clampings]
    every = list(range(len(parts)))

    def found(order: list[int], texts: list[tuple[str, str]] = parts) -> list[tuple[str, str]]:
        programs = [(f"{number} {texts[at][0]}", texts[at][1]) for number, at in enumerate(order, 1)]
        verdict = dry_run_of_text(programs, mill, job, post, mills=[zeros[at] for at in order])
        return [(each.code, each.program) for each in verdict.findings if each.severity == "error"]

    assert len(every) == 3
    assert found(every) == []
    assert found([0, 1, 2, 2]) == [("unread", "4 part-3.nc")]
    assert found([0, 1, 1, 2]) == [("unread", "3 part-2.nc")]
    assert found([0, 1, 2, 0]) == [("unread", "4 part-1.nc")]
    assert ("unread", "2 part-1.nc") in found([0, 0, 2])
    assert ("unread", "3 part-2.nc") in found([0, 2, 1])
    bare = [(name, re.sub(r"\(SET SWIVEL \d+\)\n", "", text)) for name, text in parts]
    assert ("swivel", "2 part-2.nc") in found(every, [parts[0], bare[1], parts[2]])


def test_one_program_alone_leaves_flats_standing() -> None:
    job, mill = job_of(TWO_SECTIONS), short_mill(54.0)
    post = post_named("rs274ngc")
    proof = prove(job, mill, post, "part.nc")
    for number, part in enumerate(proof.parts):
        alone = dry_run_of_text(
            [(part.name, part.text)], mill, job, post, mills=[proof.clampings[number].mill]
        )
        assert {each.code for each in alone.findings} >= {"left-standing"}


def test_where_one_reaches_there_is_one() -> None:
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(150.0), post_named("rs274ngc"), "part.nc")
    assert len(proof.parts) == 1 and proof.clampings == ()
    assert "CLAMPING 1 OF" not in proof.parts[0].text


def test_the_vise_is_moved_where_it_does_not_turn() -> None:
    """One setting, and Y a little too short: two clampings with the zero in two places, each flat in one of them."""
    job = job_of(TWO_SECTIONS, "[0]")
    proof = prove(job, short_mill(58.0), post_named("rs274ngc"), "part.nc")
    as_cut(proof, job)
    first, second = (placed.mill.work_offsets["G54"] for placed in proof.clampings)
    assert abs(first[1] - second[1]) > 5.0
    for part in proof.parts:
        assert "BETWEEN PASSES THE CUTTER GOES OVER THE TOP" in part.text.replace(")\n(- ", " ")


def test_what_no_clamping_reaches_stays_an_error() -> None:
    job = job_of(TWO_SECTIONS)
    proof = prove(job, short_mill(4.0), post_named("rs274ngc"), "part.nc")
    assert not proof.verdict.ok
    assert {each.code for each in proof.verdict.findings} == {"travel"}


def test_the_command_leaves_one_program_each(tmp_path: Path) -> None:
    from typer.testing import CliRunner

    from polypocket.cli import app

    bench = (Path(__file__).parents[2] / "shared" / "machines" / "bench-mill.toml").read_text(
        encoding="utf-8"
    )
    bench = bench.replace("travel = [0.0, 300.0]", "travel = [0.0, 110.0]")
    bench = bench.replace("travel = [0.0, 150.0]", "travel = [0.0, 54.0]")
    bench = bench[: bench.index("[work_offsets]")]
    vise = 'grip = "vise"\njaws_along = "x"\nheld = 20.0\nswivel_settings = [0, 90]'
    (tmp_path / "mill.toml").write_text(bench, encoding="utf-8")
    (tmp_path / "job.toml").write_text(TWO_SECTIONS.replace('grip = "plate"', vise), encoding="utf-8")
    command = ["write", str(tmp_path / "job.toml"), "--machine", str(tmp_path / "mill.toml")]
    result = CliRunner().invoke(app, [*command, "-o", str(tmp_path / "part.nc")])
    assert result.exit_code == 0, result.output
    written = sorted(path.name for path in tmp_path.glob("part*"))
    assert len(written) >= 2
    assert written == [f"part-{i + 1}.nc" for i in range(len(written))]
    assert "each in its own clamping" in result.output
    again = CliRunner().invoke(app, [*command, "-o", str(tmp_path / "again.nc"), "--json"])
    document = json.loads(again.stdout)
    assert len(document["clampings"]) == len(written)
    assert document["ok"] is True
