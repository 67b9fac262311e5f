"""A writing that is killed at any moment leaves the old file or the new one, whole, and next to nothing else."""

from __future__ import annotations

import os
import random
import signal
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import pytest

from polypocket.errors import FileError
from polypocket.model.files import write_all, write_whole

#: Two programs of half a megabyte, which take a while to be written.
ONE, TWO = "(ONE)\nG1 X1\n" * 40_000, "(TWO)\nG1 X2\n" * 40_000
KILLS = 200


def fork() -> int:
    """Fork, although threads of a numerical library may be waiting: the child writes files and does nothing else."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        return os.fork()


def killed(work: Callable[[], None], chance: random.Random) -> None:
    """Let a process do its work over and over, and kill it at some moment, nearly always in the midst of it."""
    child = fork()
    if child == 0:
        _for_ever(work)
    time.sleep(chance.uniform(0.0005, 0.012))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status)  # it did not end by itself


def _for_ever(work: Callable[[], None]) -> NoReturn:
    try:
        while True:
            work()
    finally:
        os._exit(1)


def test_one_file(tmp_path: Path) -> None:
    path, chance = tmp_path / "part.nc", random.Random(0)
    path.write_text(ONE)
    midway, seen, most = 0, set(), 0

    def work() -> None:
        write_whole(path, TWO)
        write_whole(path, ONE)

    for _ in range(KILLS):
        killed(work, chance)
        seen.add(path.read_text())
        names = {each.name for each in tmp_path.iterdir()} - {"part.nc"}
        midway += bool(names)
        most = max(most, len(names))
        assert all(name.startswith(".polypocket-") and name.endswith(".part") for name in names)
    assert seen == {ONE, TWO}
    assert most <= 1  # each process removes what the one before it has left
    assert midway > KILLS // 10  # they were indeed killed in the midst of it
    write_whole(path, TWO)
    assert [each.name for each in tmp_path.iterdir()] == ["part.nc"]


def test_several_files(tmp_path: Path) -> None:
    """Each is whole; which of them are new is not promised to who is killed between two of them."""
    paths, chance = [tmp_path / "part-1.nc", tmp_path / "part-2.nc"], random.Random(1)

    def work() -> None:
        write_all(dict.fromkeys(paths, TWO))
        write_all(dict.fromkeys(paths, ONE))

    write_all(dict.fromkeys(paths, ONE))
    for _ in range(KILLS // 4):
        killed(work, chance)
        assert {path.read_text() for path in paths} <= {ONE, TWO}
        assert len(list(tmp_path.iterdir())) <= 2 + 2 + 2  # the files, parts, earlier contents
    write_all(dict.fromkeys(paths, TWO))
    assert sorted(each.name for each in tmp_path.iterdir()) == ["part-1.nc", "part-2.nc"]


def test_two_at_once_do_not_sweep_each_others_parts(tmp_path: Path) -> None:
    children = []
    for number in range(3):
        child = fork()
        if child == 0:
            try:
                for _ in range(60):
                    write_whole(tmp_path / f"part-{number % 2}.nc", ONE[:5000])
                os._exit(0)
            finally:
                os._exit(1)
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0, 0, 0]
    assert sorted(each.name for each in tmp_path.iterdir()) == ["part-0.nc", "part-1.nc"]


def test_only_parts_are_swept(tmp_path: Path) -> None:
    names = [".polypocket-0123456789ab.old", ".polypocket-x.part", "0123456789ab.part", "mine.part"]
    for name in names:
        (tmp_path / name).write_text(name)
    (tmp_path / ".polypocket-00000000000a.part").symlink_to("mine.part")
    (tmp_path / ".polypocket-00000000000b.part").mkdir()
    (tmp_path / ".polypocket-00000000000c.part").write_text("left")
    write_whole(tmp_path / "part.nc", ONE)
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted(
        [*names, "part.nc", ".polypocket-00000000000a.part", ".polypocket-00000000000b.part"]
    )


def test_what_stays_of_the_old_file(tmp_path: Path) -> None:
    path, other = tmp_path / "part.nc", tmp_path / "other.nc"
    path.write_text(ONE)
    path.chmod(0o604)
    os.link(path, other)
    if os.geteuid() == 0:
        os.chown(path, 65534, 65534)
    before = path.stat()
    write_whole(path, TWO)
    after = path.stat()
    assert (after.st_mode, after.st_uid, after.st_gid) == (before.st_mode, before.st_uid, before.st_gid)
    assert (path.read_text(), other.read_text()) == (TWO, ONE)


def test_a_link_to_nothing_makes_the_file_that_it_names(tmp_path: Path) -> None:
    (tmp_path / "link.nc").symlink_to("part.nc")
    write_whole(tmp_path / "link.nc", ONE)
    assert (tmp_path / "link.nc").is_symlink()
    assert (tmp_path / "part.nc").read_text() == ONE


def test_a_link_to_itself_is_left(tmp_path: Path) -> None:
    (tmp_path / "link.nc").symlink_to("link.nc")
    with pytest.raises(FileError, match="is a link that leads nowhere but to itself"):
        write_whole(tmp_path / "link.nc", ONE)
    assert os.readlink(tmp_path / "link.nc") == "link.nc"
