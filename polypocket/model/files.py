"""Loading and writing files; with ``shipped`` and ``writing`` the only modules here that touch the disk."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import ValidationError

from polypocket.errors import FileError, Mistake, MistakesError
from polypocket.model.base import Table
from polypocket.model.fits import mistakes_of_fit
from polypocket.model.job import BlockJob, WrittenBlockJob
from polypocket.model.mill import Mill
from polypocket.model.mistakes import in_order_of_file, mistakes_of
from polypocket.model.not_yet import bar_job, not_yet_in_job, not_yet_in_mill
from polypocket.model.shipped import materials, shipped_mill, shipped_mills
from polypocket.model.writing import write_all, write_whole
from polypocket.model.written_mill import WrittenMill
from polypocket.units import Units, shown

__all__ = ["job_of_text", "load_job", "load_mill", "read_text", "shipped_mills", "write_all", "write_whole"]

Written = TypeVar("Written", bound=Table)

# tomllib tells the place only inside its message.
_TOML_PLACE = re.compile(r" \((?:at line (?P<line>\d+), column (?P<column>\d+)|at end of document)\)$")


def load_job(path: Path | str, cutter_diameter: str | None = None) -> BlockJob:
    """Read a job and make sure that it can be made at all, on some mill.

    Args:
        path: of the file.
        cutter_diameter: the cutter as it was measured, such as ``11.87`` or ``"0.4673 in"``, in place of the file's.

    Raises:
        FileError: the file cannot be read or is not TOML.
        MistakesError: it says something that cannot be, or that is not done yet; all of it together.
    """
    return job_of_text(read_text(path), str(path), cutter_diameter)


def job_of_text(text: str, source: str, cutter_diameter: str | None = None) -> BlockJob:
    """Read a job from the text of a file, which mistakes are to call ``source``.

    Raises:
        FileError: it is not TOML.
        MistakesError: as ``load_job``.
    """
    tables = _parsed(text, source)
    bar = bar_job(tables)
    if bar is not None:
        raise MistakesError(source, [bar])
    if cutter_diameter is not None and isinstance(cutter := tables.get("cutter"), dict):
        cutter["diameter"] = _number_or_text(cutter_diameter)
    mistakes, rest = not_yet_in_job(tables)
    written, wrong = _validated(WrittenBlockJob, rest)
    if "cutters" in tables:  # a second mistake about [cutter] would only be the same one again
        wrong = [mistake for mistake in wrong if mistake.place != "cutter"]
    mistakes += wrong
    job: BlockJob | None = None
    if written is not None:
        try:
            job = written.resolved()
            mistakes += mistakes_of_fit(job)
        except MistakesError as error:
            mistakes += error.mistakes
    return _unless(mistakes, tables, source, job)


def _number_or_text(value: str) -> float | str:
    """Return what a file would have: a plain number is in the file's units, text carries its own."""
    try:
        return float(value)
    except ValueError:
        return value


def load_mill(name_or_path: Path | str) -> Mill:
    """Read a mill from a file, or one that ships by its name, such as ``knee-mill-3-axis``.

    Raises:
        FileError: the file cannot be read or is not TOML, or no mill of this name ships.
        MistakesError: it says something that cannot be, or that is not provided for yet; all of it together.
    """
    name = str(name_or_path)
    tables = _parsed(_text_of_mill(name), name)
    mistakes, rest = not_yet_in_mill(tables)
    written, wrong = _validated(WrittenMill, rest)
    return _unless(mistakes + wrong, tables, name, written.resolved() if written is not None else None)


def read_text(path: Path | str) -> str:
    """Read a file as UTF-8 text, line ends and all as they stand.

    Raises:
        FileError: it is missing, a folder, not readable, not UTF-8, or has a NUL character.
    """
    try:
        mode = os.stat(path).st_mode
        if stat.S_ISDIR(mode):
            raise FileError(f"{path}: is a folder; name a file in it")
        if not stat.S_ISREG(mode):
            raise FileError(f"{path}: is not a plain file")
        content = Path(path).read_bytes()
    except FileNotFoundError as error:
        raise FileError(f"{path}: there is no such file") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise FileError(f"{path}: cannot be read: {reason.lower()}") from error
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _line_and_column(content[: error.start].decode("utf-8"))
        raise FileError(f"{path}: line {line}, column {column}: not UTF-8 text; save it as UTF-8") from error
    nul = text.find("\0")
    if nul >= 0:
        line, column = _line_and_column(text[:nul])
        raise FileError(f"{path}: line {line}, column {column}: a NUL character; this is not a text file")
    return text


def _text_of_mill(name: str) -> str:
    if name in shipped_mills():
        return shipped_mill(name)
    is_path = name.endswith(".toml") or "/" in name or os.sep in name or os.path.exists(name)
    if is_path:
        return read_text(name)
    close = get_close_matches(name, shipped_mills(), n=3)
    known = f"nearest: {', '.join(close)}" if close else f"these ship: {', '.join(shipped_mills())}"
    raise FileError(f"{shown(name)}: no mill of this name ships and there is no such file; {known}")


def _parsed(text: str, source: str) -> dict[str, Any]:
    """Parse TOML, with or without the mark that some editors put at a file's start.

    Raises:
        FileError: it is not TOML.
    """
    text = text.removeprefix("\ufeff")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        match = _TOML_PLACE.search(message)
        if match is None:
            raise FileError(f"{source}: not TOML: {message}") from error
        line, column = (match["line"], match["column"]) if match["line"] else _line_and_column(text)
        reason = message[: match.start()]
        raise FileError(f"{source}: line {line}, column {column}: not TOML: {reason}") from error
    except (
        RecursionError,
        ValueError,
    ) as error:  # nested a thousand deep, or a number of thousands of digits
        raise FileError(
            f"{source}: not TOML that can be used: nested too deep, or a number too long"
        ) from error


def _validated(model: type[Written], tables: dict[str, Any]) -> tuple[Written | None, list[Mistake]]:
    """Return the tables as a model, or what is wrong with them."""
    units = tables.get("units")
    # Where the units are wrong, inches stand in for them: nothing comes of the values, and a bare fraction is
    # not told as a second mistake.
    context: dict[str, Any] = {
        "units": units if units in get_args(Units) else "inch",
        "materials": materials(),
    }
    try:
        return model.model_validate(tables, context=context), []
    except ValidationError as error:
        return None, mistakes_of(error, model)


Loaded = TypeVar("Loaded")


def _unless(mistakes: list[Mistake], tables: Mapping[str, Any], source: str, loaded: Loaded | None) -> Loaded:
    """Return what was loaded if there are no mistakes.

    Raises:
        MistakesError: there are.
    """
    if mistakes or loaded is None:
        raise MistakesError(source, in_order_of_file(mistakes, tables))
    return loaded


def _line_and_column(before: str) -> tuple[int, int]:
    """Return the place, counted from 1, of what follows ``before``."""
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
