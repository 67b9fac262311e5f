"""Loading and writing files; with ``shipped`` and ``writing`` the only modules here that touch the disk."""

from __future__ import annotations

import codecs
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
from polypocket.model.measured import OPTION, measured_cutter, require_same
from polypocket.model.mill import Mill
from polypocket.model.mistakes import in_order_of_file, mistakes_of
from polypocket.model.not_yet import bar_job, not_yet_in_job
from polypocket.model.plausible import mistakes_of_units, other_units
from polypocket.model.shipped import materials, shipped_mill, shipped_mills
from polypocket.model.writing import write_all, write_whole
from polypocket.model.written_mill import WrittenMill
from polypocket.units import Units, shown

__all__ = [
    "job_of_text",
    "load_job",
    "load_mill",
    "mill_of_text",
    "read_text",
    "shipped_mills",
    "write_all",
    "write_whole",
]

Written = TypeVar("Written", bound=Table)

#: Bytes of a program, at most: some million lines. Common practice, no source.
_LARGEST_PROGRAM = 64 * 1024 * 1024

#: Bytes of a job or mill, at most: some twenty times what a person writes. Common practice, no source.
_LARGEST_TABLES = 50_000

#: Parts of a key in a job or mill, at most. No key that is known has more than three; tomllib's time grows with the
#: square of their number.
_MOST_PARTS = 8

# One part of a TOML key and the point behind it, as often as may not be. In a comment the same is refused.
# What could begin in the middle of a part does not begin at all, and no part gives anything back, so that the time
# grows with the length of the text alone.
_TOO_MANY_PARTS = re.compile(
    r"""(?<![A-Za-z0-9_-])(?:(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+)"""
    + f"{{{_MOST_PARTS}}}"
)

# tomllib tells the place only inside its message.
_TOML_PLACE = re.compile(r" \((?:at line (?P<line>\d+), column (?P<column>\d+)|at end of document)\)$")


def load_job(path: Path | str, cutter_diameter: str | None = None) -> BlockJob:
    """Read a job and make sure that it can be made at all, on some mill.

    Args:
        path: of the file.
        cutter_diameter: the cutter as it was measured, such as ``11.87`` or ``"0.4673 in"``, in place of the file's,
            or ``2 = 5.94`` for one of several; where the control makes up for the difference the path stays that of
            the file's.

    Raises:
        FileError: the file cannot be read or is not TOML.
        MistakesError: it says something that cannot be, or that is not done yet; all of it together.
    """
    return job_of_text(read_text(path, _LARGEST_TABLES), str(path), cutter_diameter)


def _with_cutter(job: BlockJob, text: str, source: str, given: str) -> BlockJob:
    """Return a job for its cutter as it was measured, which must be the same one still.

    Raises:
        MistakesError: it cannot be that cutter, or the job cannot be made with it.
    """
    try:
        cutter, diameter = measured_cutter(job, given)
        key = "measured" if cutter.cut.size_from_control else "diameter"
        tables = _parsed(text, source)
        table = tables["cutters"][job.cutters.index(cutter)] if "cutters" in tables else tables["cutter"]
        table[key] = diameter
        changed = _job_of_tables(tables, source)
        require_same(job, cutter, changed.cutter(cutter.number))
    except ValueError as error:
        raise MistakesError(source, [Mistake(OPTION, str(error))]) from error
    except MistakesError as error:
        places = (f"{cutter.place}.diameter", f"{cutter.place}.measured")
        mistakes = [Mistake(OPTION, m.message) if m.place in places else m for m in error.mistakes]
        raise MistakesError(source, mistakes) from error
    return changed


def job_of_text(text: str, source: str, cutter_diameter: str | None = None) -> BlockJob:
    """Read a job from the text of a file, which mistakes are to call ``source``; the cutter as ``load_job`` has it.

    Raises:
        FileError: it is not TOML.
        MistakesError: as ``load_job``.
    """
    job = _job_of_tables(_parsed(text, source), source)
    return job if cutter_diameter is None else _with_cutter(job, text, source, cutter_diameter)


def _job_of_tables(tables: dict[str, Any], source: str) -> BlockJob:
    bar = bar_job(tables)
    if bar is not None:
        raise MistakesError(source, [bar])
    mistakes, rest = not_yet_in_job(tables)
    written, wrong = _validated(WrittenBlockJob, rest)
    mistakes += wrong
    job: BlockJob | None = None
    if written is not None:
        try:
            job = written.resolved()
            mistakes += mistakes_of_fit(job)
        except MistakesError as error:
            mistakes += error.mistakes
    return _unless(mistakes, tables, source, job)


def load_mill(name_or_path: Path | str) -> Mill:
    """Read a mill from a file, or one that ships by its name, such as ``knee-mill-3-axis``.

    Raises:
        FileError: the file cannot be read or is not TOML, or no mill of this name ships.
        MistakesError: it says something that cannot be, or that is not provided for yet; all of it together.
    """
    name = str(name_or_path)
    return mill_of_text(_text_of_mill(name), name)


def mill_of_text(text: str, source: str) -> Mill:
    """Read a mill from the text of a file, which mistakes are to call ``source``.

    Raises:
        FileError: it is not TOML.
        MistakesError: as ``load_mill``.
    """
    tables = _parsed(text, source)
    written, mistakes = _validated(WrittenMill, tables)
    mill: Mill | None = None
    if written is not None:
        mill = written.resolved()
        mistakes += mistakes_of_units(mill, _in_other_units(tables, mill.units))
    return _unless(mistakes, tables, source, mill)


def _in_other_units(tables: dict[str, Any], units: Units) -> Mill | None:
    """Return what the same tables mean with plain numbers in the units that they are not said to be in, if anything."""
    written, _ = _validated(WrittenMill, {**tables, "units": other_units(units)})
    return written.resolved() if written is not None else None


def read_text(path: Path | str, largest: int = _LARGEST_PROGRAM) -> str:
    """Read a file as UTF-8 text, line ends and all as they stand.

    Only plain files are read: a pipe or a device may keep one waiting for ever, or never end.

    Args:
        path: the file.
        largest: bytes that it may have.

    Raises:
        FileError: it is missing, a folder, no plain file, not readable, too large, not UTF-8, or has a NUL character.
    """
    try:
        content = _content(path, largest)
    except FileNotFoundError as error:
        link = "; it is a link to a file that is not there" if os.path.islink(path) else ""
        raise FileError(f"{path}: there is no such file{link}") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise FileError(f"{path}: cannot be read: {reason.lower()}") from error
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise FileError(f"{path}: line 1, column 1: UTF-16 text, not UTF-8; save it as UTF-8")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _line_and_column(content[: error.start].decode("utf-8"))
        raise FileError(f"{path}: line {line}, column {column}: not UTF-8 text; save it as UTF-8") from error
    nul = text.find("\0")
    if nul >= 0:
        line, column = _line_and_column(text[:nul])
        raise FileError(
            f"{path}: line {line}, column {column}: a NUL character; this is not a text file, or not UTF-8"
        )
    return text


def _content(path: Path | str, largest: int) -> bytes:
    """Return what a plain file holds.

    Raises:
        FileError: it is no plain file, or holds more than ``largest`` bytes.
        OSError: it cannot be read.
        ValueError: no file can have this name.
    """
    _require_plain(path, os.stat(path).st_mode)
    # It is looked at again once it is open, since another may stand there by now; to open a pipe must not wait.
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(descriptor, "rb") as file:
        _require_plain(path, os.fstat(file.fileno()).st_mode)
        content = file.read(largest + 1)
    if len(content) > largest:
        raise FileError(f"{path}: has more than {largest} bytes; is this the right file?")
    return content


def _require_plain(path: Path | str, mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise FileError(f"{path}: is a folder; name a file in it")
    if not stat.S_ISREG(mode):
        raise FileError(
            f"{path}: is not a plain file but a pipe or a device; save what it gives in a file first"
        )


def _text_of_mill(name: str) -> str:
    if name in shipped_mills():
        return shipped_mill(name)
    is_path = name.endswith(".toml") or "/" in name or os.sep in name or os.path.exists(name)
    if is_path:
        return read_text(name, _LARGEST_TABLES)
    close = get_close_matches(name, shipped_mills(), n=3)
    known = f"nearest: {', '.join(close)}" if close else f"these ship: {', '.join(shipped_mills())}"
    raise FileError(f"{shown(name)}: no mill of this name ships and there is no such file; {known}")


def _parsed(text: str, source: str) -> dict[str, Any]:
    """Parse TOML, with or without the mark that some editors put at a file's start.

    Raises:
        FileError: it is not TOML.
    """
    text = text.removeprefix("\ufeff")
    if (many := _TOO_MANY_PARTS.search(text)) is not None:
        where = "line {}, column {}".format(*_line_and_column(text[: many.start()]))
        raise FileError(f"{source}: {where}: a key of more than {_MOST_PARTS} parts; none has so many")
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
