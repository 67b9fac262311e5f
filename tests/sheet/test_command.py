"""``polypocket sheet`` as a person calls it."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest

ROOT = Path(__file__).parents[2]
JOB = ROOT / "fixtures" / "jobs" / "gate_key.toml"
MILL = "knee-mill-3-axis"


def run(*arguments: object, folder: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "polypocket", *map(str, arguments)]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def test_sheet_template_and_drawings(tmp_path: Path) -> None:
    done = run(
        *("sheet", JOB, "--machine", MILL, "-o", "a.html", "--template", "a.pdf"),
        *("--dxf", "a.dxf", "--svg", "a.svg", "--paper", "letter"),
        folder=tmp_path,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "a.html").read_text().startswith("<!DOCTYPE html>")
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "a.svg").read_text().startswith("<?xml")
    assert len(ezdxf.readfile(tmp_path / "a.dxf").modelspace()) > 6
    for name in ("a.html", "a.pdf", "a.dxf", "a.svg"):
        assert f"{name}: written" in done.stdout


def test_checksum_is_that_of_the_bytes_that_write_leaves(tmp_path: Path) -> None:
    run("write", JOB, "--machine", MILL, folder=tmp_path)
    done = run("sheet", JOB, "--machine", MILL, "--json", folder=tmp_path)
    document = json.loads(done.stdout)
    checksum = hashlib.sha256((tmp_path / "gate_key.nc").read_bytes()).hexdigest()
    assert document["checksums"] == {"gate_key.nc": checksum}
    assert document["written"] == ["gate_key.html"]
    short = f"{checksum[:4]} {checksum[4:8]} {checksum[8:12]}"
    assert short in (tmp_path / "gate_key.html").read_text()


def test_the_cutter_as_measured_changes_the_checksum(tmp_path: Path) -> None:
    sums = [
        json.loads(run("sheet", JOB, "--machine", MILL, "--json", *more, folder=tmp_path).stdout)["checksums"]
        for more in ((), ("--cutter-diameter", "9.8"))
    ]
    assert sums[0] != sums[1]


def test_errors_leave_a_page_that_says_so_and_nothing_else(tmp_path: Path) -> None:
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    (tmp_path / "mill.toml").write_text(mill.replace("G54 = [15.0,", "G54 = [0.5,"))
    done = run(
        *("sheet", JOB, "--machine", "mill.toml", "-o", "a.html", "--template", "a.pdf", "--dxf", "a.dxf"),
        folder=tmp_path,
    )
    assert done.returncode == 1
    assert "DO NOT RUN" in done.stdout and "error travel" in done.stdout
    page = (tmp_path / "a.html").read_text()
    assert page.count("<strong>DO NOT RUN</strong>") == 3
    assert "SHA-256" not in page
    assert not (tmp_path / "a.pdf").exists() and not (tmp_path / "a.dxf").exists()
    document = json.loads(run("sheet", JOB, "--machine", "mill.toml", "--json", folder=tmp_path).stdout)
    assert (document["ok"], document["checksums"]) == (False, {})


@pytest.mark.parametrize("option", ["-o", "--template", "--dxf", "--svg"])
def test_not_written_over_its_own_job(option: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(JOB.read_text())
    done = run("sheet", "job.toml", "--machine", MILL, option, "job.toml", folder=tmp_path)
    assert done.returncode == 2
    assert "the sheet would be written over what it is made from" in done.stderr
    assert job.read_text() == JOB.read_text()


def test_two_files_of_one_name_are_refused(tmp_path: Path) -> None:
    done = run("sheet", JOB, "--machine", MILL, "-o", "a", "--svg", "a", folder=tmp_path)
    assert done.returncode == 2
    assert list(tmp_path.iterdir()) == []


def test_names_in_the_job_cannot_become_part_of_the_page(tmp_path: Path) -> None:
    evil = "</script><script>alert(1)</script><img src=x>"
    name = "<!--<script>"  # in the data of the passes it would swallow all that follows
    (tmp_path / f"{name}.toml").write_text(JOB.read_text().replace('"gate key"', f'"{evil}"'))
    done = run("sheet", f"{name}.toml", "--machine", MILL, "-o", "job.html", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "job.html").read_text()
    assert "alert(1)" in page
    assert "<script>alert" not in page and "<img" not in page
    data = page.partition('id="book">')[2].partition("</script>")[0]
    assert "<" not in data
    assert json.loads(data)["programs"][0]["name"] == f"{name}.nc"


def test_several_parts_have_a_checksum_each(tmp_path: Path) -> None:
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    (tmp_path / "mill.toml").write_text(mill.replace("work_offset =", "program_memory = 2000\nwork_offset ="))
    run("write", JOB, "--machine", "mill.toml", folder=tmp_path)
    parts = sorted(tmp_path.glob("gate_key-*.nc"))
    assert len(parts) > 1
    document = json.loads(run("sheet", JOB, "--machine", "mill.toml", "--json", folder=tmp_path).stdout)
    expected = {part.name: hashlib.sha256(part.read_bytes()).hexdigest() for part in parts}
    assert document["checksums"] == expected
    page = (tmp_path / "gate_key.html").read_text()
    assert all(part.name in page for part in parts)
