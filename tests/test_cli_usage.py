"""A command line that cannot be understood."""

from __future__ import annotations

import json
import tomllib

import pytest

from tests.test_cli import MILL, ROOT, SMALL, Run, run

__all__ = ["run"]

NOT_UNDERSTOOD = [
    (("check",), "Missing argument 'JOB'."),
    (("check", "job.toml", "--bogus"), "No such option: --bogus"),
    (("dryrun", "--machine", MILL), "Missing argument 'PROGRAM...'."),
    (("write", SMALL), "Missing option '--machine'."),
    (("place", SMALL, SMALL, "--machine", MILL), "Got unexpected extra argument"),
    (("sheet", SMALL, "--machine", MILL, "--paper", "a5"), "Invalid value for '--paper': 'a5' is not one of"),
    (
        ("write", SMALL, "--machine", MILL, "--from-pass", "two"),
        "Invalid value for '--from-pass': \"two\" is not a whole number",
    ),
    (("bogus",), "No such command 'bogus'."),
]


@pytest.mark.parametrize(("arguments", "message"), NOT_UNDERSTOOD, ids=lambda value: str(value)[:30])
def test_it_is_told_on_stderr_and_as_a_document_where_one_is_wanted(
    run: Run, arguments: tuple[object, ...], message: str
) -> None:
    plain = run(*arguments)
    assert (plain.code, plain.out) == (2, "")
    last = plain.err.splitlines()[-1]
    assert last.startswith(f"polypocket: {message}")
    answer = run(*arguments, "--json")
    assert (answer.code, answer.err) == (2, plain.err)
    assert json.loads(answer.out) == {"ok": False, "error": last.removeprefix("polypocket: ")}


def test_no_command_at_all_shows_the_help(run: Run) -> None:
    answer = run()
    assert (answer.code, answer.out) == (2, "")
    assert "Commands:\n" in answer.err


@pytest.mark.parametrize("width", [60, 80, 200])
def test_the_help_cuts_nothing_short(run: Run, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    answer = run("--help")
    assert answer.code == 0
    commands = answer.out[answer.out.index("Commands:") :]
    assert "..." not in commands and "…" not in commands
    assert "Write the program of a job, if its dry run" in commands


def test_the_version_is_told(run: Run) -> None:
    answer = run("--version")
    version = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    assert (answer.code, answer.out, answer.err) == (0, f"polypocket {version}\n", "")
