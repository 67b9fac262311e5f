"""The commands as a person uses them: what they print, what they leave, how they end."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from polypocket.cli import main

ROOT = Path(__file__).parents[1]
JOB = ROOT / "shared" / "jobs" / "valve_stem_block.toml"
SMALL = ROOT / "fixtures" / "jobs" / "gate_key.toml"
WRONG = ROOT / "fixtures" / "wrong"
MILL = "knee-mill-3-axis"


@dataclass(frozen=True)
class Answer:
    code: int
    out: str
    err: str


Run = Callable[..., Answer]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Run the command in an empty folder, with nobody at the terminal."""

    def command(*arguments: object) -> Answer:
        monkeypatch.chdir(tmp_path)
        monkeypatch.setattr(sys, "argv", ["polypocket", *map(str, arguments)])
        try:
            main()
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 0 if end.code is None else 1
        else:
            code = 0
        captured = capsys.readouterr()
        return Answer(code, captured.out, captured.err)

    return command


def test_write_leaves_a_program_and_says_so(run: Run, tmp_path: Path) -> None:
    answer = run("write", SMALL, "--machine", MILL)
    assert (answer.code, answer.err) == (0, "")
    text = (tmp_path / "gate_key.nc").read_text()
    assert text == (ROOT / "fixtures" / "programs" / "gate_key.rs274ngc.nc").read_text()
    assert answer.out.startswith(f"gate_key.nc: written, {len(text.splitlines())} lines, ")
    assert "Dry run: nothing found" in answer.out
    assert answer.out.endswith("Prove it in the air first, without a cutter.\n")


def test_write_in_another_dialect(run: Run, tmp_path: Path) -> None:
    assert run("write", SMALL, "--machine", MILL, "--post", "iso6983", "-o", "other.nc").code == 0
    assert (tmp_path / "other.nc").read_text().startswith("%\n:1\nN10 (JOB: GATE KEY)\n")


def test_what_was_written_dry_runs_clean_by_itself(run: Run) -> None:
    run("write", SMALL, "--machine", MILL, "-o", "part.nc")
    answer = run("dryrun", "part.nc", "--machine", MILL, "--job", SMALL, "--json")
    document = json.loads(answer.out)
    assert (answer.code, answer.err, document["ok"], document["findings"]) == (0, "", True, [])
    assert list(document) == [
        "programs", "ok", "findings", "travel", "seconds", "feed_length", "rapid_length", "as_cut",
    ]  # fmt: skip
    assert document["programs"] == ["part.nc"]
    (part,) = document["as_cut"]
    assert list(part) == ["feature", "sides", "across_flats", "normals", "not_cut", "worst_angle_error"]
    assert part["across_flats"] == pytest.approx([33.0] * 6, abs=0.02)
    assert part["normals"] == pytest.approx([90.0 + 60.0 * i for i in range(6)], abs=0.01)
    assert document["travel"]["z"] == {
        "low": pytest.approx(-76.2 - 5.0),
        "high": pytest.approx(-76.2 + 25.0),
        "limit_low": pytest.approx(-127.0),
        "limit_high": 0.0,
    }


def test_a_spoiled_program_ends_with_1_and_tells_what_to_do(run: Run, tmp_path: Path) -> None:
    run("write", SMALL, "--machine", MILL, "-o", "part.nc")
    lines = (tmp_path / "part.nc").read_text().splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("(PASS 1 ")) + 1
    assert "Y" not in lines[at]  # flat 1 faces +Y: the pass runs along X
    lines[at] += " Y20"
    (tmp_path / "part.nc").write_text("\n".join(lines))
    answer = run("dryrun", "part.nc", "--machine", MILL, "--job", SMALL)
    assert answer.code == 1
    assert f"part.nc:{at + 1}:1: error gouge: " in answer.out
    document = json.loads(run("dryrun", "part.nc", "--machine", MILL, "--job", SMALL, "--json").out)
    finding = next(finding for finding in document["findings"] if finding["code"] == "gouge")
    assert list(finding) == ["code", "severity", "program", "line", "column", "message", "fix"]
    assert (finding["severity"], finding["line"]) == ("error", at + 1)
    assert finding["fix"]


def test_a_program_that_does_not_stay_inside_the_travel_is_not_written(run: Run, tmp_path: Path) -> None:
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text().replace("G54 = [15.0,", "G54 = [0.5,")
    (tmp_path / "short.toml").write_text(mill)
    answer = run("write", SMALL, "--machine", "short.toml", "-o", "part.nc")
    assert (answer.code, answer.out) == (1, "")
    assert answer.err.startswith(
        "polypocket: nothing written: on short.toml the dry run of the program found errors"
    )
    assert "error travel: " in answer.err
    assert [path.name for path in tmp_path.iterdir()] == ["short.toml"]
    document = json.loads(run("write", SMALL, "--machine", "short.toml", "-o", "part.nc", "--json").out)
    assert (document["ok"], document["written"]) == (False, [])
    assert [path.name for path in tmp_path.iterdir()] == ["short.toml"]


@pytest.mark.parametrize("path", sorted(WRONG.glob("*.toml")), ids=lambda path: path.stem)
def test_wrong_files_end_with_2_and_leave_nothing(path: Path, run: Run, tmp_path: Path) -> None:
    """Every message of fixtures/wrong, by the command, word for word."""
    expected = path.with_suffix(".txt").read_text().splitlines()
    if path.name.startswith("mill"):
        answer = run("write", JOB, "--machine", path, "-o", "part.nc")
    else:
        answer = run("write", path, "--machine", MILL, "-o", "part.nc")
    told = [
        line.removeprefix("polypocket: ").replace(str(path), path.name) for line in answer.err.splitlines()
    ]
    assert (answer.code, answer.out, told) == (2, "", expected)
    assert list(tmp_path.iterdir()) == []


def test_mistakes_as_json(run: Run) -> None:
    answer = run("check", WRONG / "job_misspelt_keys.toml", "--json")
    document = json.loads(answer.out)
    assert (answer.code, document["ok"]) == (2, False)
    assert answer.err == document["error"] + "\n"  # for whoever sees only what is not piped on
    assert all(mistake["place"] and mistake["message"] for mistake in document["mistakes"])


def test_a_job_that_its_mill_cannot_make(run: Run, tmp_path: Path) -> None:
    (tmp_path / "fast.toml").write_text(SMALL.read_text().replace("spindle_rpm = 3000", "spindle_rpm = 9000"))
    answer = run("write", "fast.toml", "--machine", MILL)
    assert answer.code == 2
    assert answer.err.startswith("fast.toml: cut.spindle_rpm: ")
    assert not (tmp_path / "fast.nc").exists()


def test_unknown_names_tell_the_known_ones(run: Run) -> None:
    answer = run("write", SMALL, "--machine", "knee-mill-4-axis")
    assert answer.code == 2
    assert "knee-mill-3-axis" in answer.err
    answer = run("write", SMALL, "--machine", MILL, "--post", "iso")
    assert (answer.code, answer.err) == (
        2,
        'polypocket: no dialect is called "iso"; there are handwheel, iso6983, lean, rs274d, rs274ngc; '
        "a file of your own ends in .py\n",
    )


def test_check_prints_what_is_scribed(run: Run) -> None:
    """Octagon in a square of side s: legs s·(1 − 1/√2) (common practice, no source); pentagon 2.6 in over a corner."""
    answer = run("check", ROOT / "shared" / "jobs" / "hydrant_key_block.toml")
    assert answer.code == 0
    assert "micrometer, flat to opposite corner      2.6000" in answer.out
    assert "flats 1, 3, 5, 7 are the stock's own and not cut" in answer.out
    assert f"+X              +Y                 {3.0 * (1.0 - 2.0**-0.5):.4f}" in answer.out
    assert "name a mill with --machine" in answer.out


def test_check_with_a_mill_tells_passes_and_time(run: Run, tmp_path: Path) -> None:
    answer = run("check", SMALL, "--machine", MILL, "--json")
    document = json.loads(answer.out)
    assert [(t["feature"], t["role"], t["passes"]) for t in document["passes"]] == [
        ("section 1", "rough", 7),
        ("section 1", "finish", 6),
    ]
    assert document["dryrun"]["seconds"] > 0.0
    assert document["layout"][0]["across_flats"] == pytest.approx(33.0)
    text = run("check", SMALL, "--machine", MILL).out
    assert f"Passes on {MILL}" in text
    assert " at the mill: " in text
    assert list(tmp_path.iterdir()) == []


def test_demo_ends_with_programs_their_dry_run_and_the_part_as_cut(run: Run, tmp_path: Path) -> None:
    answer = run("demo")
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.count("Dry run: nothing found") == 2
    assert answer.out.count("As cut, measured on what the program leaves standing") == 2
    assert sorted(path.name for path in (tmp_path / "demo").iterdir()) == [
        f"{job}{suffix}"
        for job in ("hydrant_key_block", "valve_stem_block")
        for suffix in (".html", ".nc", ".pdf", ".toml")
    ]
    expected = ROOT / "fixtures" / "programs" / "valve_stem_block.rs274ngc.nc"
    assert (tmp_path / "demo" / "valve_stem_block.nc").read_text() == expected.read_text()


def test_readme_shows_what_is_printed(run: Run, tmp_path: Path) -> None:
    printed = run("demo").out.splitlines()
    job = JOB.read_text().replace("stepover = ", "stepovr = ")
    (tmp_path / "job.toml").write_text(job)
    printed += run("check", "job.toml").err.splitlines()
    bar, short = "fixtures/jobs/valve_stem_from_bar.toml", "fixtures/mills/short_table.toml"
    printed.append(f"polypocket place {bar} --machine {short}")
    printed += [f"  {line}" for line in run("place", ROOT / bar, "--machine", ROOT / short).out.splitlines()]
    blocks = (ROOT / "README.md").read_text().split("```")[1::2]
    shown = [
        line
        for block in blocks
        for line in block.splitlines()
        if block.startswith(("\npolypocket", "\njob.toml"))
    ]
    assert len(shown) > 30
    assert [line for line in shown if line.strip() not in {"", "…"} and line not in printed] == []


NEW = (
    "--name", "gate key", "--units", "inch", "--stock", "square 4", "--thickness", "1.5", "--material", "brass",
    "--sections", "12 x 3.9, 6 x 3.25", "--held", "3/8", "--cutter", "1/2 in", "--flutes", "4",
    "--flute-length", "1.25",
    "--cutter-material", "hss", "--rpm", "800", "--feed", "8",
)  # fmt: skip


def test_new_writes_a_job_that_can_be_made(run: Run, tmp_path: Path) -> None:
    answer = run("new", "-o", "gate.toml", *NEW)
    assert (answer.code, answer.err) == (0, "")
    text = (tmp_path / "gate.toml").read_text()
    assert text.startswith("#:schema polypocket-job.schema.json\n")
    assert json.loads((tmp_path / "polypocket-job.schema.json").read_text())["title"] == "polypocket job"
    document = json.loads(run("check", "gate.toml", "--machine", MILL, "--json").out)
    assert document["ok"]
    depths = [section["depth"] for section in document["layout"]]
    assert depths[1] == pytest.approx(2.0 * depths[0], abs=0.003)  # equal lands


def test_new_does_not_replace_a_job_unasked(run: Run, tmp_path: Path) -> None:
    shutil.copy(SMALL, tmp_path / "gate.toml")
    answer = run("new", "-o", "gate.toml", *NEW)
    assert (answer.code, answer.err) == (
        2, "polypocket: gate.toml: is there already; name another file or say --replace\n",
    )  # fmt: skip
    assert (tmp_path / "gate.toml").read_text() == SMALL.read_text()
    assert run("new", "-o", "gate.toml", "--replace", *NEW).code == 0


def test_new_loses_no_answer(run: Run, tmp_path: Path) -> None:
    answer = run("new", "-o", "gate.toml", *(text.replace("6 x 3.25", "6 x 4.5") for text in NEW))
    assert answer.code == 2
    assert "new: --sections: section 2, the smallest first: sticks out of the stock by " in answer.err
    assert "to correct and repeat: polypocket new -o gate.toml --name 'gate key' " in answer.err
    assert list(tmp_path.iterdir()) == []


def test_new_with_nobody_to_ask_tells_all_that_is_missing(run: Run) -> None:
    answer = run("new", "-o", "gate.toml", "--stock", "round 80")
    assert answer.code == 2
    missing = [line.split(": ")[1] for line in answer.err.splitlines() if "required" in line]
    assert missing == [
        "--name", "--thickness", "--material", "--sections", "--flutes", "--flute-length", "--cutter-material", "--rpm",
        "--feed",
    ]  # fmt: skip


def test_lists(run: Run) -> None:
    posts = json.loads(run("posts", "--json").out)["posts"]
    assert [post["name"] for post in posts] == ["handwheel", "iso6983", "lean", "rs274d", "rs274ngc"]
    assert all(trait in run("posts").out for post in posts for trait in post["traits"])
    machines = json.loads(run("machines", "--json").out)["machines"]
    assert MILL in [machine["name"] for machine in machines]
    assert all(machine["name"] in run("machines").out for machine in machines)


def test_completion_is_offered(run: Run) -> None:
    assert "--install-completion" in run("--help").out


def test_place_tells_where_the_work_fits(run: Run) -> None:
    answer = run("place", SMALL, "--machine", MILL)
    assert (answer.code, answer.err) == (0, "")
    assert "work zero, machine coordinates, mm\n" in answer.out
    assert "the program fits there with the swivel at 0°" in answer.out
    assert answer.out.endswith("Dry run: nothing found\n")


def test_place_as_one_document(run: Run) -> None:
    answer = run("place", SMALL, "--machine", MILL, "--json")
    document = json.loads(answer.out)
    assert (answer.code, answer.err, document["ok"], document["homed"]) == (0, "", True, True)
    best = document["best"]
    assert best == document["settings"][0]
    for axis, at in zip("xyz", best["zero"], strict=True):
        assert best["region"][axis]["low"] <= at <= best["region"][axis]["high"]
    assert document["set"] == {"zero": pytest.approx([381.0, -152.4, -76.2]), "fits_at": [0.0]}
    assert document["dryrun"]["ok"]


def test_place_that_is_none_ends_with_1(run: Run, tmp_path: Path) -> None:
    job = ROOT / "shared" / "jobs" / "hydrant_key_block.toml"
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    short = mill.replace("travel = [0.0, 30.0]", "travel = [14.0, 16.0]")
    assert short != mill
    (tmp_path / "short.toml").write_text(short)
    answer = run("place", job, "--machine", "short.toml", "--json")
    document = json.loads(answer.out)
    assert (answer.code, answer.err, document["ok"], document["best"]) == (1, "", False, None)
    assert [each["axis"] for each in document["settings"][0]["misfits"]] == ["x"]
    assert document["remedies"] == []
    assert {each["kind"] for each in document["tried"]} >= {"approach", "cutter", "clearance"}
    screen = run("place", job, "--machine", "short.toml")
    assert screen.code == 1
    assert "It does not fit" in screen.out
    assert "Nothing that was tried helps" in screen.out


def test_a_mill_without_a_zero_is_told_where_to_put_it(run: Run, tmp_path: Path) -> None:
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    (tmp_path / "mill.toml").write_text(mill.replace("G54 = [", "G55 = ["))
    answer = run("write", SMALL, "--machine", "mill.toml")
    assert answer.code == 0
    assert "Put the zero there: the mill file sets none." in answer.out
    document = json.loads(run("write", SMALL, "--machine", "mill.toml", "--json").out)
    assert document["place"]["chosen"] is True
    x, y, z = document["place"]["zero"]
    # As a person does who writes it into the mill file: the same program is then proven by itself.
    filled = mill.replace("G54 = [15.0, -6.0, -3.0]", f'G54 = ["{x} mm", "{y} mm", "{z} mm"]')
    assert filled != mill
    (tmp_path / "filled.toml").write_text(filled)
    assert run("dryrun", "gate_key.nc", "--machine", "filled.toml", "--job", SMALL).code == 0
    assert run("dryrun", "gate_key.nc", "--machine", "mill.toml", "--job", SMALL).code == 1
