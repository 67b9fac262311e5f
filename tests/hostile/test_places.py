"""Files and outputs that are no files: folders, pipes, devices, full disks, closed ends."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.hostile.conftest import Run
from tests.hostile.inputs import ROOT

MILL = "knee-mill-3-axis"
JOB = ROOT / "fixtures" / "jobs" / "gate_key.toml"
SEARCHED = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
PROGRAM = ROOT / "fixtures" / "programs" / "gate_key.rs274ngc.nc"

READ: dict[str, Callable[[Path], tuple[object, ...]]] = {
    "check": lambda place: ("check", place),
    "check on a mill": lambda place: ("check", JOB, "--machine", place),
    "write": lambda place: ("write", place, "--machine", MILL),
    "dryrun": lambda place: ("dryrun", place, "--machine", MILL),
    "dryrun of the second": lambda place: ("dryrun", PROGRAM, place, "--machine", MILL),
    "dryrun against a job": lambda place: ("dryrun", PROGRAM, "--machine", MILL, "--job", place),
}


def place(kind: str, folder: Path) -> tuple[Path, str]:
    """Make something that cannot be read; return where it is, and what is said about it."""
    path = folder / "place.toml"
    match kind:
        case "missing":
            return path, "there is no such file"
        case "folder":
            path.mkdir()
            return path, "is a folder; name a file in it"
        case "pipe":
            os.mkfifo(path)
            return path, "is not a plain file but a pipe or a device; save what it gives in a file first"
        case "device":
            return Path(
                "/dev/zero"
            ), "is not a plain file but a pipe or a device; save what it gives in a file first"
        case "link to nothing":
            path.symlink_to("nothing")
            return path, "there is no such file; it is a link to a file that is not there"
        case "link to itself":
            path.symlink_to(path)
            return path, "cannot be read: too many levels of symbolic links"
        case "below a file":
            (folder / "file").touch()
            return folder / "file" / "place.toml", "cannot be read: not a directory"
    raise AssertionError(kind)


@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
@pytest.mark.parametrize("command", READ)
@pytest.mark.parametrize(
    "kind", ["missing", "folder", "pipe", "device", "link to nothing", "link to itself", "below a file"]
)
def test_what_cannot_be_read(run: Run, tmp_path: Path, kind: str, command: str, as_json: bool) -> None:
    path, said = place(kind, tmp_path)
    answer = run(*READ[command](path), *(["--json"] if as_json else []))
    assert (answer.code, answer.err) == (2, f"polypocket: {path}: {said}\n")
    if as_json:
        assert json.loads(answer.out) == {"ok": False, "error": f"{path}: {said}"}
    else:
        assert answer.out == ""


@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
@pytest.mark.parametrize(
    ("output", "said"),
    [
        ("/dev/full", "is not a plain file"),
        ("none/part.nc", "the folder {folder}/none does not exist; make it first"),
        (".", "is a folder; name a file in it"),
        ("/proc/part.nc", "cannot be written: no such file or directory"),  # nobody can make a file there
        ("x" * 300, "cannot be written: file name too long"),
    ],
    ids=["full", "missing folder", "folder", "read-only folder", "long name"],
)
def test_where_nothing_can_be_written(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, output: str, said: str, as_json: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    answer = run("write", JOB, "--machine", MILL, "-o", output, *(["--json"] if as_json else []))
    told = f"{output}: {said.format(folder=tmp_path)}"
    assert (answer.code, answer.err) == (2, f"polypocket: {told}\n")
    assert (json.loads(answer.out) if as_json else answer.out) == (
        {"ok": False, "error": told} if as_json else ""
    )
    assert list(tmp_path.iterdir()) == []


@contextlib.contextmanager
def nobody(folder: Path) -> Iterator[None]:
    """Be a user whom the system really refuses, where the tests are run by the superuser, who may do everything."""
    if os.geteuid() != 0:
        yield
        return
    modes = {each: each.stat().st_mode for each in (folder, *folder.parents[:-1])}
    for each, mode in modes.items():
        each.chmod(mode | 0o011)  # to pass through
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)
        for each, mode in modes.items():
            each.chmod(mode)


@pytest.mark.parametrize("command", READ)
def test_a_file_that_may_not_be_read(run: Run, tmp_path: Path, command: str) -> None:
    path = tmp_path / "closed.toml"
    path.write_bytes(JOB.read_bytes())
    path.chmod(0)
    with nobody(tmp_path):
        answer = run(*READ[command](path))
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == f"polypocket: {path}: cannot be read: permission denied\n"


@pytest.mark.parametrize("there", [False, True], ids=["new", "old"])
def test_a_folder_that_may_not_be_written_to(run: Run, tmp_path: Path, there: bool) -> None:
    folder = tmp_path / "closed"
    folder.mkdir()
    path = folder / "part.nc"
    if there:
        path.write_text("(OLD)")
        path.chmod(0o666)
    folder.chmod(0o555)
    with nobody(tmp_path):
        answer = run("write", JOB, "--machine", MILL, "-o", path)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == f"polypocket: {path}: cannot be written: permission denied\n"
    assert [each.read_text() for each in folder.iterdir()] == ["(OLD)"] * there


def outcome(
    *arguments: object, stdout: str = "", closed: int | None = None, **environment: str
) -> subprocess.CompletedProcess[bytes]:
    """Run the command in a process of its own, its output to a file that takes nothing or to a closed end."""
    with open(stdout or os.devnull, "wb") as out:
        return subprocess.run(
            [sys.executable, "-m", "polypocket", *map(str, arguments)],
            stdout=out if stdout else subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": SEARCHED, **environment},
            preexec_fn=None if closed is None else lambda: os.close(closed),
            timeout=60,
            check=False,
        )


@pytest.mark.parametrize("options", [(), ("--json",)], ids=["text", "json"])
def test_output_to_a_full_disk(options: tuple[str, ...]) -> None:
    ended = outcome("machines", *options, stdout="/dev/full")
    assert ended.returncode == 2
    assert ended.stderr == b"polypocket: the output cannot be printed: no space left on device\n"


@pytest.mark.parametrize(("command", "closed", "code"), [("machines", 1, 0), ("check", 2, 2)])
def test_closed_ends(command: str, closed: int, code: int) -> None:
    ended = outcome(command, *(["/none"] if command == "check" else []), closed=closed)
    assert (ended.returncode, ended.stdout, ended.stderr) == (code, b"", b"")


def test_a_terminal_that_knows_only_ascii() -> None:
    ended = outcome("check", JOB, PYTHONIOENCODING="ascii")
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert rb"flat 1 faces 90\xb0" in ended.stdout


@pytest.mark.parametrize("options", [[], ["--json"]], ids=["text", "json"])
def test_a_reader_that_has_enough(tmp_path: Path, options: list[str]) -> None:
    """The exit code tells what was found, though nobody reads the rest."""
    path = tmp_path / "part.nc"
    path.write_text("$\n" * 5000)
    command = [
        sys.executable,
        "-m",
        "polypocket",
        "dryrun",
        str(path),
        "--machine",
        MILL,
        *options,
    ]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={**os.environ, "PYTHONPATH": SEARCHED}
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        told = process.stderr.read()
    assert (process.returncode, told) == (1, b"")


def test_names_that_are_no_text(run: Run, tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b"a\xff\x1b[2J\n.nc")
    path.write_bytes(PROGRAM.read_bytes())
    answer = run("dryrun", path, "--machine", MILL, "--json")
    assert (answer.code, json.loads(answer.out)["programs"]) == (0, [str(path)])
    path.write_bytes(b"G1")
    answer = run("dryrun", path, "--machine", MILL)
    assert answer.code == 1
    assert all(line.isprintable() for line in answer.out.splitlines())
