"""Files are replaced whole or not at all, even where the writing is killed or the power fails.

A file is first written under another name in the same folder, put on the disk, and then moved over the old one in a
single step of the system. The new file has the old one's mode, and its owner and group where the system lets us;
what has several names (hard links) keeps the old content under the others. A symbolic link stays: the file that it
leads to is replaced. What may not be written to is not replaced, although its folder would allow it.

What a killed writing leaves is named ``.polypocket-….part`` or ``.polypocket-….old``, which nobody takes for a
program. The next writing in the folder removes every part that no process is still writing, which it tells by the
lock on it. An ``….old`` keeps one file's earlier content while several are replaced; there is one a file at most,
and the next writing of several takes its place.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
import shutil
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from polypocket.errors import FileError
from polypocket.model.locking import lock, lock_if_free

__all__ = ["make_folder", "write_all", "write_whole"]

_PART = re.compile(r"\.polypocket-[0-9a-f]{12}\.part")


def write_whole(path: Path, text: str) -> None:
    """Write a file so that at every moment either the old or the new one stands there whole.

    Raises:
        FileError: it cannot be written; the old file, or none, stands as it did, and nothing is left behind.
    """
    write_all({path: text})


def write_all(files: Mapping[Path, str | bytes]) -> None:
    """Write several files so that in the end all of them are new, or all stand as they did.

    All are first written beside their places, which is where a full disk shows. Then they are moved into
    place one after the other, and moved back if one of them cannot be.

    Raises:
        FileError: one cannot be written, or two of the paths are one file; nothing is left behind.
    """
    staged: dict[Path, Path] = {}
    with contextlib.ExitStack() as locked:
        try:
            for path, text in files.items():
                with _told_as_file_error(path):
                    target = _target(path)
                    if target in staged:
                        raise FileError(f"{path}: two texts were to be written to this one file")
                    _sweep(target.parent)
                    staged[target] = target.with_name(f".polypocket-{secrets.token_hex(6)}.part")
                    _write(staged[target], text, target, locked)
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
    if target.is_symlink():
        raise FileError(f"{path}: is a link that leads nowhere but to itself; choose another name")
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


def _sweep(folder: Path) -> None:
    """Remove what writings that were killed have left in a folder; those under way hold a lock on theirs."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if not _PART.fullmatch(entry.name) or not entry.is_file(follow_symlinks=False):
                continue
            with contextlib.suppress(OSError):
                descriptor = os.open(entry.path, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0))
                try:
                    if lock_if_free(descriptor):
                        os.unlink(entry.path)
                finally:
                    os.close(descriptor)


def _write(new: Path, text: str | bytes, target: Path, locked: contextlib.ExitStack) -> None:
    """Write a new file to the disk itself, as readable as the one that it is to replace, and lock it for ``locked``.

    Raises:
        OSError: it cannot be written.
        UnicodeEncodeError: the text has a lone surrogate.
    """
    content = text if isinstance(text, bytes) else text.encode("utf-8")
    old = target.stat() if target.exists() else None
    mode = 0o666 if old is None else stat.S_IMODE(old.st_mode)
    file = _locked(new, mode, locked)
    file.write(content)
    file.flush()
    if old is not None:
        _keep_owner(new, old)
        new.chmod(mode)
    os.fsync(file.fileno())


def _locked(new: Path, mode: int, locked: contextlib.ExitStack) -> BinaryIO:
    """Make a file and lock it. Another process that sweeps may remove it before the lock is on: then once more."""
    while True:
        with contextlib.ExitStack() as opened:
            descriptor = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
            file = opened.enter_context(os.fdopen(descriptor, "wb"))
            lock(descriptor)
            if new.exists():
                locked.push(opened.pop_all())
                return file


def _keep_owner(new: Path, old: os.stat_result) -> None:
    """Give a file the owner and group of another, as far as the system allows."""
    made = new.stat()
    if (made.st_uid, made.st_gid) != (old.st_uid, old.st_gid):
        with contextlib.suppress(OSError):
            shutil.chown(new, old.st_uid, old.st_gid)


def _keep(target: Path) -> Path | None:
    """Keep the present file under a second name; ``None`` where there is none."""
    if not target.exists():
        return None
    name = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:12]
    old = target.with_name(f".polypocket-{name}.old")
    _remove(old)
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
