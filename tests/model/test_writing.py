"""Files are replaced whole or not at all, whatever fails."""

from __future__ import annotations

import errno
import os
import resource
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from polypocket.errors import FileError
from polypocket.model.files import write_all, write_whole

OLD = "(OLD)\n"
NEW = "%\n(NEW 0° 6')\r\n%\n"


def standing(folder: Path) -> dict[str, str]:
    """Return what every file in a folder holds, hidden ones too."""
    return {path.name: path.read_bytes().decode("utf-8") for path in folder.iterdir()}


def failing(function: Callable[..., Any], number: int, error: BaseException) -> Callable[..., Any]:
    """Return a function that raises ``error`` at its call ``number`` (from 1)."""
    calls = 0

    def call(*args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - stands in for any function of os
        nonlocal calls
        calls += 1
        if calls == number:
            raise error
        return function(*args, **kwargs)

    return call


FULL = OSError(errno.ENOSPC, "No space left on device")


def test_new_file(tmp_path: Path) -> None:
    write_whole(tmp_path / "part.nc", NEW)
    assert standing(tmp_path) == {"part.nc": NEW}


def test_old_file_is_replaced_and_keeps_its_rights(tmp_path: Path) -> None:
    path = tmp_path / "part.nc"
    path.write_text(OLD)
    path.chmod(0o640)
    write_whole(path, NEW)
    assert standing(tmp_path) == {"part.nc": NEW}
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_new_file_has_the_rights_that_new_files_have(tmp_path: Path) -> None:
    (tmp_path / "other").touch()
    write_whole(tmp_path / "part.nc", NEW)
    assert (tmp_path / "part.nc").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.nc").write_text(OLD)
    (tmp_path / "link.nc").symlink_to("real.nc")
    write_whole(tmp_path / "link.nc", NEW)
    assert (tmp_path / "link.nc").is_symlink()
    assert standing(tmp_path) == {"real.nc": NEW, "link.nc": NEW}


@pytest.mark.parametrize("function", ["fdopen", "fsync", "replace", "open"])
@pytest.mark.parametrize("old", [{}, {"part.nc": OLD}])
def test_one_file_and_a_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, function: str, old: dict[str, str]
) -> None:
    for name, text in old.items():
        (tmp_path / name).write_text(text)
    with monkeypatch.context() as patch:
        patch.setattr(os, function, failing(getattr(os, function), 1, FULL))
        with pytest.raises(FileError) as caught:
            write_whole(tmp_path / "part.nc", NEW)
    assert str(caught.value) == f"{tmp_path / 'part.nc'}: cannot be written: no space left on device"
    assert standing(tmp_path) == old


def test_interrupted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "part.nc").write_text(OLD)
    monkeypatch.setattr(os, "fsync", failing(os.fsync, 1, KeyboardInterrupt()))
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "part.nc", NEW)
    assert standing(tmp_path) == {"part.nc": OLD}


def test_a_file_that_outgrows_what_the_system_allows(tmp_path: Path) -> None:
    """Nothing is simulated here: the system itself stops the writing midway."""
    (tmp_path / "part.nc").write_text(OLD)
    allowed = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, allowed[1]))
    try:
        with pytest.raises(FileError, match="cannot be written: file too large"):
            write_whole(tmp_path / "part.nc", NEW * 4096)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, allowed)
    assert standing(tmp_path) == {"part.nc": OLD}


def test_a_device_is_not_replaced_by_a_file() -> None:
    before = set(os.listdir("/dev"))
    with pytest.raises(FileError, match="is not a plain file"):
        write_whole(Path("/dev/full"), NEW)
    assert set(os.listdir("/dev")) == before


@pytest.mark.parametrize("function", ["fsync", "replace"])
@pytest.mark.parametrize("number", [1, 2, 3])
def test_several_files_and_a_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, function: str, number: int
) -> None:
    old = {"part-1.nc": "(ONE)\n", "part-3.nc": "(THREE)\n", "notes.txt": "mine\n"}
    for name, text in old.items():
        (tmp_path / name).write_text(text)
    with monkeypatch.context() as patch:
        patch.setattr(os, function, failing(getattr(os, function), number, FULL))
        with pytest.raises(FileError, match="no space left on device"):
            write_all({tmp_path / f"part-{setup}.nc": f"{NEW}{setup}" for setup in (1, 2, 3)})
    assert standing(tmp_path) == old


def test_several_files(tmp_path: Path) -> None:
    (tmp_path / "part-1.nc").write_text(OLD)
    write_all({tmp_path / "part-1.nc": "1", tmp_path / "part-2.nc": "2"})
    assert standing(tmp_path) == {"part-1.nc": "1", "part-2.nc": "2"}


def test_where_a_file_cannot_have_two_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "part-1.nc").write_text(OLD)
    (tmp_path / "part-2.nc").write_text(OLD)
    with monkeypatch.context() as patch:
        patch.setattr(os, "link", failing(os.link, 1, OSError(errno.EPERM, "Operation not permitted")))
        patch.setattr(os, "replace", failing(os.replace, 2, FULL))
        with pytest.raises(FileError, match="no space left on device"):
            write_all({tmp_path / "part-1.nc": "1", tmp_path / "part-2.nc": "2"})
    assert standing(tmp_path) == {"part-1.nc": OLD, "part-2.nc": OLD}


def test_what_cannot_be_put_back_is_told_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "part-1.nc").write_text(OLD)
    whole, calls = os.replace, 0

    def replace(source: Path, target: Path) -> None:
        nonlocal calls
        calls += 1
        if calls > 1:
            raise FULL
        whole(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", replace)
        with pytest.raises(FileError, match=r"part-1\.nc: is new, and could not be put back") as caught:
            write_all({tmp_path / "part-1.nc": "1", tmp_path / "part-2.nc": "2"})
    kept = Path(str(caught.value).rsplit("; it was ", 1)[1])
    assert standing(tmp_path) == {"part-1.nc": "1", kept.name: OLD}


def test_one_file_under_two_names(tmp_path: Path) -> None:
    (tmp_path / "link.nc").symlink_to("part.nc")
    with pytest.raises(FileError, match="two texts were to be written to this one file"):
        write_all({tmp_path / "part.nc": "1", tmp_path / "link.nc": "2"})
    assert not (tmp_path / "part.nc").exists()


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("", "is a folder; name a file in it"),
        ("none/part.nc", "does not exist; make it first"),
        ("protected.nc", "is write-protected; choose another name, or allow writing first"),
    ],
)
def test_places_that_cannot_be_written(tmp_path: Path, name: str, message: str) -> None:
    protected = tmp_path / "protected.nc"
    protected.write_text(OLD)
    protected.chmod(0o444)
    with pytest.raises(FileError) as caught:
        write_whole(tmp_path / name, NEW)
    assert str(caught.value).startswith(f"{tmp_path / name}: ")
    assert str(caught.value).endswith(message)
    assert standing(tmp_path) == {"protected.nc": OLD}


def test_text_that_utf_8_does_not_know(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="a character that UTF-8 does not know"):
        write_whole(tmp_path / "part.nc", "\ud800")
    assert standing(tmp_path) == {}
