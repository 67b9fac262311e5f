"""Locks on open files, which end with the process that holds them; none where the system has no such locks."""

from __future__ import annotations

import contextlib
import sys

if sys.platform != "win32":
    import fcntl

__all__ = ["lock", "lock_if_free"]


def lock(descriptor: int) -> None:
    """Lock an open file until it is closed, if its file system has locks; wait for who looks whether it is locked."""
    if sys.platform != "win32":
        with contextlib.suppress(OSError):
            fcntl.flock(descriptor, fcntl.LOCK_EX)


def lock_if_free(descriptor: int) -> bool:
    """Lock an open file and return whether that worked: ``False`` where another holds it or there are no locks."""
    if sys.platform == "win32":
        return False
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
