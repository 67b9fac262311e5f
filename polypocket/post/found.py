"""How posts are found: by the name of an installed one, or in a file on the disk."""

from __future__ import annotations

import importlib.util
import traceback
from importlib.metadata import EntryPoint, EntryPoints, PackageNotFoundError, distribution, entry_points
from itertools import chain
from pathlib import Path
from types import ModuleType

from polypocket.errors import InputError
from polypocket.post.base import Post
from polypocket.units import shown

__all__ = ["post_named", "posts"]

_PACKAGE, _GROUP = "polypocket", "polypocket.posts"
#: What every dialect says of itself.
_REQUIRED = ("name", "title", "traits", "dialect")


def posts() -> dict[str, Post]:
    """Return all installed posts by name."""
    found = {entry.name: _installed(entry) for entry in entry_points(group=_GROUP)}
    return dict(sorted(found.items()))


def post_named(name: str) -> Post:
    """Return an installed post by its name, or the one in a file by its path, such as ``./mine.py``.

    Raises:
        InputError: none has that name, or the file holds no usable post.
    """
    if name.endswith(".py"):
        return _of_file(Path(name))
    # What comes with this package is found without a look at every other.
    every = (look(group=_GROUP, name=name) for look in (_own().select, entry_points))
    entry = next(chain.from_iterable(every), None)
    if entry is None:
        known = ", ".join(sorted(entry_points(group=_GROUP).names))
        raise InputError(
            f"no dialect is called {shown(name)}; there are {known}; a file of your own ends in .py"
        )
    return _installed(entry)


def _own() -> EntryPoints:
    try:
        return distribution(_PACKAGE).entry_points
    except PackageNotFoundError:
        return EntryPoints()


def _installed(entry: EntryPoint) -> Post:
    return _made(entry.load(), entry.value)


def _of_file(path: Path) -> Post:
    """Run a file and return the one post that it defines; posts that it imports are not its own."""
    if not path.is_file():
        raise InputError(f"{path}: there is no such file")
    module = _run(path)
    own = [
        value
        for value in vars(module).values()
        if isinstance(value, type) and issubclass(value, Post) and value.__module__ == module.__name__
    ]
    if len(own) != 1:
        found = ", ".join(each.__name__ for each in own) or "none"
        raise InputError(
            f"{path}: wants exactly one subclass of polypocket.post.Post of its own; found: {found}"
        )
    return _made(own[0], str(path))


def _run(path: Path) -> ModuleType:
    """Run a file as a module of its own.

    Raises:
        InputError: it cannot be run; the line at which it stopped is told.
    """
    spec = importlib.util.spec_from_file_location(f"polypocket_post_of_{path.stem}", path)
    assert spec is not None and spec.loader is not None  # the file is there and ends in .py
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except SyntaxError as error:
        raise InputError(f"{path}: line {error.lineno}: not Python: {error.msg}") from error
    except Exception as error:
        lines = [
            frame.lineno for frame in traceback.extract_tb(error.__traceback__) if frame.filename == str(path)
        ]
        place = f" line {lines[-1]}:" if lines else ""
        raise InputError(f"{path}:{place} {type(error).__name__}: {error}") from error
    return module


def _made(kind: object, source: str) -> Post:
    if not (isinstance(kind, type) and issubclass(kind, Post)):
        raise InputError(f"{source} is not a post: it is no subclass of polypocket.post.Post")
    missing = [each for each in _REQUIRED if not hasattr(kind, each)]
    if missing:
        raise InputError(f"{source}: the post does not state its {', '.join(missing)}")
    return kind()
