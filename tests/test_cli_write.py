"""`write` beyond the plain case: starting again, parts, another cutter, another dialect."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest

from tests.test_cli import JOB, MILL, ROOT, SMALL, Run, run

__all__ = ["run"]


def passes_in(text: str) -> list[int]:
    return [int(number) for number in re.findall(r"\(PASS (\d+) ", text)]


def test_starting_again_after_a_broken_cutter(run: Run, tmp_path: Path) -> None:
    run("write", SMALL, "--machine", MILL, "-o", "whole.nc")
    answer = run("write", SMALL, "--machine", MILL, "-o", "rest.nc", "--from-pass", "4")
    assert (answer.code, answer.err) == (0, "")
    whole, rest = ((tmp_path / name).read_text() for name in ("whole.nc", "rest.nc"))
    assert passes_in(rest) == passes_in(whole)[3:]
    # Every state is set, the cutter asked for and the spindle started, before the first move; which is upwards.
    begin = rest[: rest.index("(PASS 4 ")]
    words = begin[begin.index("G17") :].split()
    assert {"G21", "G54", "G90", "G94", "M0", "M3"} <= set(words)
    moves = [line for line in begin.splitlines() if line.startswith(("G0", "G1 "))]
    assert moves[0].startswith("G0 Z") and "X" not in moves[0]
    assert "THE STOCK MUST BE AS THE PASSES BEFORE" in begin
    # From the pass on it is the same program.
    assert rest[rest.index("(PASS 5 ") :] == whole[whole.index("(PASS 5 ") :]
    assert run("dryrun", "rest.nc", "--machine", MILL).code == 0


def test_what_the_stock_would_be_without_the_passes_before_is_not_taken_for_granted(run: Run) -> None:
    """Against the whole stock the rest of a program cuts too much: only with the passes before it is it clean."""
    run("write", JOB, "--machine", MILL, "-o", "rest.nc", "--from-pass", "100")
    answer = run("dryrun", "rest.nc", "--machine", MILL, "--job", JOB)
    assert answer.code == 1


@pytest.mark.parametrize("number", [0, -1, 14, 10_000])
def test_a_pass_that_is_not_there(run: Run, number: int) -> None:
    answer = run("write", SMALL, "--machine", MILL, "--from-pass", number)
    assert answer.code == 2
    assert answer.err == f"polypocket: there is no pass {number}; the program has passes 1 to 13\n"


@pytest.fixture
def small_memory(tmp_path: Path) -> Path:
    text = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    path = tmp_path / "small.toml"
    path.write_text(text.replace("work_offset =", "program_memory = 9000\nwork_offset ="))
    return path


def test_a_small_memory_gets_numbered_parts(run: Run, tmp_path: Path, small_memory: Path) -> None:
    answer = run("write", JOB, "--machine", small_memory, "-o", "block.nc", "--json")
    document = json.loads(answer.out)
    assert document["written"] == [f"block-{i}.nc" for i in range(1, 6)]
    texts = [(tmp_path / name).read_text() for name in document["written"]]
    assert all(len(text.encode()) <= 9000 for text in texts)
    assert [number for text in texts for number in passes_in(text)] == list(range(1, 159))
    for text in texts:
        lines = text.splitlines()
        assert lines[-4:] == ["G0 Z25", "M5", "M30", "%"]
        first = next(line for line in lines if line.startswith(("G0", "G1 ")))
        assert first == "G0 Z25"
    parts = run("dryrun", *document["written"], "--machine", small_memory, "--job", JOB, "--json")
    assert json.loads(parts.out)["findings"] == []


def test_parts_of_an_earlier_program_are_not_left_to_be_taken_for_this_ones(
    run: Run, tmp_path: Path, small_memory: Path
) -> None:
    run("write", JOB, "--machine", small_memory, "-o", "block.nc")
    answer = run("write", JOB, "--machine", small_memory, "-o", "block.nc", "--from-pass", "60")
    assert answer.code == 2
    assert "block-4.nc: is there already" in answer.err or "block-5.nc: is there already" in answer.err
    assert run("write", JOB, "--machine", MILL, "-o", "block.nc").code == 2
    assert not (tmp_path / "block.nc").exists()


def test_a_memory_too_small_for_one_pass(run: Run, tmp_path: Path) -> None:
    text = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    path = tmp_path / "tiny.toml"
    path.write_text(text.replace("work_offset =", "program_memory = 500\nwork_offset ="))
    answer = run("write", SMALL, "--machine", path)
    assert answer.code == 2
    assert answer.err.startswith(
        "polypocket: the control's memory takes 500 bytes, and a program of pass 1 alone has "
    )


def test_a_reground_cutter(run: Run, tmp_path: Path) -> None:
    """0.13 mm less in diameter, and the path 0.065 mm nearer: finishing flat 1 of a hexagon 33 across, at Y16.5."""
    run("write", SMALL, "--machine", MILL, "-o", "new.nc")
    answer = run("write", SMALL, "--machine", MILL, "-o", "ground.nc", "--cutter-diameter", "9.87")
    assert (answer.code, answer.err) == (0, "")
    new, ground = ((tmp_path / name).read_text() for name in ("new.nc", "ground.nc"))
    assert "(CUTTER 1 DIAMETER 9.870)" in ground
    assert "Y21.5\n" in new + "\n" and "Y21.435\n" in ground + "\n"
    assert run("dryrun", "ground.nc", "--machine", MILL, "--job", SMALL).code == 1
    same = run("dryrun", "ground.nc", "--machine", MILL, "--job", SMALL, "--cutter-diameter", "9.87 mm")
    assert same.code == 0


@pytest.mark.parametrize(
    ("diameter", "said"),
    [
        ("40", "the job's cutter is 10.000 mm; one so different is another cutter"),
        ("99", "another cutter"),
        ("7.9", "another cutter"),
        ("abc", '"abc" is not a length'),
        ("-9.9", "must be more than 0"),
    ],
)
def test_a_diameter_that_cannot_be_this_cutters(run: Run, diameter: str, said: str) -> None:
    answer = run("write", SMALL, "--machine", MILL, "--cutter-diameter", diameter)
    assert answer.code == 2
    assert answer.err.startswith(f"{SMALL}: --cutter-diameter: ")
    assert said in answer.err


def test_a_program_is_not_written_over_what_it_is_made_from(run: Run, tmp_path: Path) -> None:
    job, mill = tmp_path / "job.toml", tmp_path / "mill.toml"
    job.write_text(SMALL.read_text())
    mill.write_text((ROOT / "shared" / "machines" / f"{MILL}.toml").read_text())
    (tmp_path / "link.toml").symlink_to(job)
    for output in ("job.toml", "mill.toml", "link.toml"):
        before = (tmp_path / output).read_text()
        answer = run("write", job, "--machine", mill, "-o", output)
        assert (answer.code, (tmp_path / output).read_text()) == (2, before)
        assert "written over what it is made from" in answer.err


def test_nor_over_any_other_job_or_mill(run: Run, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SMALL.read_text())
    for command in (("write", "-o"), ("sheet", "-o"), ("sheet", "--dxf")):
        answer = run(command[0], JOB, "--machine", MILL, command[1], "other.toml")
        assert (answer.code, other.read_text()) == (2, SMALL.read_text())
        assert "jobs and mill files are called so" in answer.err


def test_what_has_not_been_judged_is_told_with_what_was_written(run: Run, tmp_path: Path) -> None:
    job = tmp_path / "high.toml"
    job.write_text(
        re.sub(r"(?m)^held = .*$", "held = 4.0", JOB.read_text())
    )  # of 34 mm: 30 above, 7.5 times as much
    for command in ("write", "sheet"):
        answer = run(command, job, "--machine", MILL)
        assert answer.code == 0
        assert "Caution, grip: 30.000 mm stand above the jaws, 7.5 times what is held" in answer.out
        assert "Speed, feed, and what cutter, spindle and grip bear" in answer.out


def test_a_dialect_of_ones_own(run: Run, tmp_path: Path) -> None:
    (tmp_path / "mine.py").write_text(
        "from polypocket.post import Post\nfrom polypocket.reader.dialect import Dialect\n\n"
        "class Mine(Post):\n    name, title, traits = 'mine', 'mine', ('ends with M2',)\n"
        "    dialect = Dialect('mine')\n    end_word = 'M2'\n"
    )
    answer = run("write", SMALL, "--machine", MILL, "--post", "./mine.py", "-o", "mine.nc")
    assert (answer.code, answer.err) == (0, "")
    assert (tmp_path / "mine.nc").read_text().endswith("M2\n%\n")


def test_what_was_there_is_said_to_be_replaced_and_the_checksum_is_the_sheet_s(
    run: Run, tmp_path: Path
) -> None:
    first = run("write", SMALL, "--machine", MILL, "-o", "part.nc")
    full = hashlib.sha256((tmp_path / "part.nc").read_bytes()).hexdigest()
    short = f"{full[:4]} {full[4:8]} {full[8:12]}"
    lines = (tmp_path / "part.nc").read_text().count("\n")
    assert first.out.startswith(f"part.nc: written, {lines} lines, checksum {short}, ")
    again = run("write", SMALL, "--machine", MILL, "-o", "part.nc")
    assert again.out.startswith(f"part.nc: replaced, {lines} lines, checksum {short}, ")
    document = json.loads(run("write", SMALL, "--machine", MILL, "-o", "part.nc", "--json").out)
    assert document["checksums"] == {"part.nc": full}
    sheet = run("sheet", SMALL, "--machine", MILL, "-o", "part.html")
    assert "part.html: written\n" in sheet.out
    assert f": {short}\n" in sheet.out
    assert "part.html: replaced\n" in run("sheet", SMALL, "--machine", MILL, "-o", "part.html").out


def test_a_program_of_several_cutters_says_which_it_begins_with(run: Run, tmp_path: Path) -> None:
    job, machine = ROOT / "fixtures" / "jobs" / "sluice_key.toml", "knee-mill-ballscrews"
    whole = run("write", job, "--machine", machine, "-o", "whole.nc")
    assert "begins with cutter" not in whole.out  # a matter of course, though the program says so
    text = " ".join((tmp_path / "whole.nc").read_text().split())
    assert "(THIS PROGRAM BEGINS WITH CUTTER 1, DIAMETER 12.000 MM)" in text
    rest = run("write", job, "--machine", machine, "-o", "rest.nc", "--from-pass", "10")
    assert "  This program begins with cutter 2, diameter 8.000 mm\n" in rest.out
    assert "(THIS PROGRAM BEGINS WITH CUTTER 2, DIAMETER 8.000 MM)" in (tmp_path / "rest.nc").read_text()
    assert "BEGINS WITH CUTTER" not in (ROOT / "fixtures" / "programs" / "gate_key.rs274ngc.nc").read_text()


def test_with_which_cutter_the_z_of_the_zero_is_told_where_it_is_set(run: Run, tmp_path: Path) -> None:
    job = ROOT / "fixtures" / "jobs" / "sluice_key.toml"
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text().replace("G54 = [", "G55 = [")
    (tmp_path / "mill.toml").write_text(mill)
    for command in ("check", "write", "place"):
        lines = run(command, job, "--machine", "mill.toml").out.splitlines()
        (line,) = (
            line for line in lines if "work zero at X" in line or "Zero in machine coordinates" in line
        )
        assert ", this Z with cutter 1 in the spindle" in line
    run("sheet", job, "--machine", "mill.toml", "-o", "part.html")
    assert ", this Z with cutter 1 in the spindle" in (tmp_path / "part.html").read_text()
    assert "this Z with" not in run("place", SMALL, "--machine", "mill.toml").out
