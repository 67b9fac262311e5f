"""Files are replaced whole or not at all."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path

from polypocket.errors import FileError

__all__ = ["make_folder", "write_all", "write_whole"]


def write_whole(path: Path, text: str) -> None:
    """Write a file so that at every moment either the old or the new one stands there whole.

    Raises:
        FileError: it cannot be written; the old file, or none, stands as it did, and nothing is left behind.
    """
    write_all({path: text})


def write_all(files: Mapping[Path, str]) -> None:
    """Write several files so that in the end all of them are new, or all stand as they did.

    All are first written beside their places, which is where a full disk shows. Then they are moved into
    place one after the other, and moved back if one of them cannot be.

    Raises:
        FileError: one cannot be written, or two of the paths are one file; nothing is left behind.
    """
    staged: dict[Path, Path] = {}
    try:
        for path, text in files.items():
            with _told_as_file_error(path):
                target = _target(path)
                if target in staged:
                    raise FileError(f"{path}: two texts were to be written to this one file")
                staged[target] = _beside(target)
                _write(staged[target], text, target)
        _move_into_place(staged)
    finally:
        for leftover in staged.values():
            _remove(leftover)


def make_folder(path: Path) -> None:
    """Make a folder, and those above it, where there is none.

    Raises:
        FileError: it cannot be made.
    """
    with _told_as_file_error(path):
        path.mkdir(parents=True, exist_ok=True)


def _move_into_place(staged: Mapping[Path, Path]) -> None:
    """Move each new file over its target; where one fails, move back those before it."""
    moved: list[tuple[Path, Path | None]] = []
    try:
        for target, new in staged.items():
            with _told_as_file_error(target):
                # A single move needs no way back, and then nothing at all stands beside the old file.
                old = _keep(target) if len(staged) > 1 else None
                try:
                    os.replace(new, target)
                except BaseException:
                    _remove(old)
                    raise
                moved.append((target, old))
    except BaseException:
        for target, old in reversed(moved):
            _move_back(target, old)
        raise
    for target, old in moved:
        _remove(old)
        _sync_folder(target.parent)


def _move_back(target: Path, old: Path | None) -> None:
    """Let ``target`` be what it was before: ``old``, or nothing."""
    if old is None:
        _remove(target)
        return
    try:
        os.replace(old, target)
    except OSError as error:
        raise FileError(
            f"{target}: is new, and could not be put back ({_reason(error)}); it was {old}"
        ) from error


def _target(path: Path) -> Path:
    """Return the file meant, behind any links.

    Raises:
        FileError: something stands there that may not be replaced, or its folder does not exist.
    """
    target = Path(os.path.realpath(path))
    if target.is_dir():
        raise FileError(f"{path}: is a folder; name a file in it")
    if not target.parent.is_dir():
        raise FileError(f"{path}: the folder {target.parent} does not exist; make it first")
    if target.exists():
        mode = target.stat().st_mode
        if not stat.S_ISREG(mode):
            raise FileError(f"{path}: is not a plain file")
        if not mode & 0o222:
            raise FileError(f"{path}: is write-protected; choose another name, or allow writing first")
    return target


def _beside(target: Path) -> Path:
    return target.with_name(f".polypocket-{secrets.token_hex(6)}.part")


def _write(new: Path, text: str, target: Path) -> None:
    """Write a new file to the disk itself, with the rights of the one that it is to replace."""
    content = text.encode("utf-8")
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    if target.exists():
        shutil.copymode(target, new)


def _keep(target: Path) -> Path | None:
    """Keep the present file under a second name; ``None`` where there is none."""
    if not target.exists():
        return None
    old = _beside(target)
    try:
        os.link(target, old)
    except OSError:  # not every file system has second names
        try:
            shutil.copy2(target, old)
        except BaseException:
            _remove(old)
            raise
    return old


def _remove(path: Path | None) -> None:
    if path is not None:
        with contextlib.suppress(OSError):
            path.unlink()


def _sync_folder(folder: Path) -> None:
    """Put the folder's entries on the disk, where the system can; the files' contents are there already."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


@contextlib.contextmanager
def _told_as_file_error(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise FileError(f"{path}: cannot be written: {_reason(error)}") from error
    except UnicodeEncodeError as error:
        raise FileError(
            f"{path}: cannot be written: the text has a character that UTF-8 does not know"
        ) from error


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
