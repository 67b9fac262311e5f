"""What must hold for any bytes whatever: refused with an error of ours, or read, and in a bounded time."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from polypocket.dryrun import as_json
from polypocket.errors import InputError, MistakesError
from polypocket.layout import layout_of
from polypocket.model.files import job_of_text, load_job, load_mill, mill_of_text
from polypocket.model.fits import mistakes_on_mill
from polypocket.post import posts
from polypocket.prove import dry_run_of_text
from polypocket.reader import read
from polypocket.screen.verdict import verdict_lines

__all__ = ["SECONDS", "TARGETS"]

ROOT = Path(__file__).parents[2]

#: CPU time that one input under a megabyte may take, with nothing else about it but being read.
SECONDS = 1.0

_MILL = load_mill("knee-mill-3-axis")
_JOB = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")
_POSTS = tuple(posts().values())


def reader(data: bytes) -> None:
    """Read a program; dry-run one in eight, and one in sixteen against a job too, since that takes the longest."""
    text = _text(data)
    post = _POSTS[len(data) // 16 % len(_POSTS)]
    began = time.process_time()
    track = read(text, post.dialect)
    assert time.process_time() - began < SECONDS
    lines = text.split("\n")
    for complaint in track.complaints:
        assert complaint.text and len(complaint.text) < 300
        assert 1 <= complaint.line <= len(lines)
        assert 1 <= complaint.column <= max(1, len(lines[complaint.line - 1]))
    if len(data) % 8 != 0:
        return
    verdict = dry_run_of_text([("any.nc", text)], _MILL, _JOB if len(data) % 16 == 0 else None, post)
    json.dumps(as_json(verdict), allow_nan=False)
    assert all(len(line) < 500 for line in verdict_lines(verdict, "mm"))


def job(data: bytes) -> None:
    """Load a job; what is accepted can be laid out and compared with a mill."""
    try:
        loaded = job_of_text(_text(data), "any.toml")
    except InputError as error:
        _judge(error)
        return
    layout_of(loaded)
    for mistake in mistakes_on_mill(loaded, _MILL):
        assert mistake.message


def mill(data: bytes) -> None:
    """Load a mill; what is accepted can be compared with a job."""
    try:
        loaded = mill_of_text(_text(data), "any.toml")
    except InputError as error:
        _judge(error)
        return
    for mistake in mistakes_on_mill(_JOB, loaded):
        assert mistake.message


TARGETS: Mapping[str, Callable[[bytes], None]] = MappingProxyType(
    {"reader": reader, "job": job, "mill": mill}
)


def _text(data: bytes) -> str:
    """Return bytes as text even where they are no UTF-8, so that the trying is not spent on that."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _judge(error: InputError) -> None:
    assert len(str(error)) < 50_000
    for line in str(error).split("\n"):
        assert line.startswith("any.toml: ")
        assert line.isprintable()
        assert len(line) < 1000
    if isinstance(error, MistakesError):
        assert error.mistakes
