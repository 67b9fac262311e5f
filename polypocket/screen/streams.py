"""Standard output and error as commands use them: what cannot be printed or is not read ends nothing in a traceback."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterable, Iterator
from typing import Any

from polypocket.errors import MistakesError, PolypocketError
from polypocket.units import printable

__all__ = ["error_document", "let_go_of_stdout", "print_json", "print_lines", "tell"]


def error_document(error: PolypocketError) -> dict[str, Any]:
    """Return an error as what ``json.dumps`` takes."""
    document: dict[str, Any] = {"ok": False, "error": str(error)}
    if isinstance(error, MistakesError):
        document["mistakes"] = [{"place": m.place, "message": m.message} for m in error.mistakes]
    return document


def tell(text: str) -> None:
    """Print what is wrong on stderr, where there is one; where it cannot be printed, the exit code tells."""
    if sys.stderr is not None:
        with contextlib.suppress(OSError):
            print("\n".join(map(printable, text.split("\n"))), file=sys.stderr, flush=True)


def print_lines(lines: Iterable[str]) -> None:
    """Print lines with nothing in them that a terminal would act on."""
    with _if_anyone_reads():
        for line in lines:
            print(printable(line))


def print_json(document: dict[str, Any]) -> None:
    """Print a document in ASCII, which every terminal, pipe and reader of JSON takes."""
    import json

    with _if_anyone_reads():
        print(json.dumps(document, indent=2, allow_nan=False))


@contextlib.contextmanager
def _if_anyone_reads() -> Iterator[None]:
    """Go on where whoever reads the output has enough: the exit code tells what was found all the same."""
    try:
        yield
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        let_go_of_stdout()


def let_go_of_stdout() -> None:
    """Let what could not be printed go nowhere, so that the end of the process does not try again."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
