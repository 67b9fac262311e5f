"""`dryrun` of a program that another control is for."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.test_cli import MILL, ROOT, Run, run

__all__ = ["run"]

PROGRAMS = ROOT / "fixtures" / "programs"
TAPE = ROOT / "fixtures" / "mills" / "tape_mill.toml"


@pytest.mark.parametrize(
    ("program", "machine", "post", "others"),
    [
        ("valve_stem_block.rs274ngc", MILL, "iso6983", ["rs274ngc"]),
        ("gate_key.iso6983", MILL, "rs274ngc", ["iso6983"]),
        ("hydrant_key_block.iso6983", MILL, "lean", ["iso6983"]),
        ("gate_key.rs274ngc", MILL, "lean", ["rs274ngc"]),
        ("gate_key.lean", MILL, "iso6983", ["lean", "rs274ngc"]),
        ("gate_key.rs274ngc", TAPE, "rs274d", ["rs274ngc"]),
        ("gate_key.rs274d", TAPE, "iso6983", ["rs274d"]),
        ("gate_key.rs274ngc", MILL, "handwheel", ["rs274ngc"]),
    ],
)
def test_a_program_in_the_wrong_dialect_is_told_once(
    run: Run, program: str, machine: str, post: str, others: list[str]
) -> None:
    arguments = ("dryrun", PROGRAMS / f"{program}.nc", "--machine", machine, "--post", post)
    answer = run(*arguments)
    names = " and ".join(others)
    assert answer.code == 1
    assert answer.out.startswith(
        f"This looks like another dialect than {post}: {names} would take its lines.\n"
    )
    assert len(answer.out.splitlines()) < 45
    document = json.loads(run(*arguments, "--json").out)
    elsewhere = document["other_dialects"]
    assert [name for name, complaints in elsewhere.items() if not complaints] == others
    assert list(elsewhere)[: len(others)] == others  # fewest complaints first
    # Nothing is lost: what the screen leaves out is counted, and the document has it.
    shown = len(re.findall(r"(?m)^  \S+\.nc:[0-9]+:[0-9]+: error ", answer.out))
    left_out = re.findall(r"(?m)^  and ([0-9]+) lines? that this control does not take", answer.out)
    assert shown + sum(map(int, left_out)) == len(document["findings"])


@pytest.mark.parametrize("post", ["rs274ngc", "lean"])
def test_slips_are_not_taken_for_another_dialect(run: Run, tmp_path: Path, post: str) -> None:
    """Lines that no control takes, in a program that is else in the right dialect."""
    text = (PROGRAMS / "gate_key.lean.nc").read_text()
    text = text.replace("G90 G94\n", "G90 G94\nX1..2\nG1 Xl0\nY--3\n", 1)
    assert "Xl0" in text
    (tmp_path / "part.nc").write_text(text)
    arguments = ("dryrun", "part.nc", "--machine", MILL, "--post", post)
    answer = run(*arguments)
    assert answer.code == 1
    assert answer.out.startswith("Dry run: ")
    assert answer.out.count("error unread") == 3
    assert "other_dialects" not in json.loads(run(*arguments, "--json").out)


def test_of_many_slips_another_dialect_may_have_some_too(run: Run, tmp_path: Path) -> None:
    text = (PROGRAMS / "valve_stem_block.rs274ngc.nc").read_text().replace("G90 G94\n", "G90 G94\nX1..2\n", 1)
    assert "X1..2" in text
    (tmp_path / "part.nc").write_text(text)
    answer = run("dryrun", "part.nc", "--machine", MILL, "--post", "iso6983")
    assert "iso6983: rs274ngc would take nearly all of its lines.\n" in answer.out
    document = json.loads(run("dryrun", "part.nc", "--machine", MILL, "--post", "iso6983", "--json").out)
    assert document["other_dialects"] == {"rs274ngc": 1}
