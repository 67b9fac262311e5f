"""A command line that cannot be understood: an unknown option, an argument that is missing, a number that is none."""

from __future__ import annotations

from importlib.metadata import version
from typing import Annotated, Any

import typer

from polypocket.units import shown

__all__ = ["CommandLineError", "Version", "plain_message", "usage_of", "whole_number"]


def _root() -> type[Exception]:
    """Return the error that all errors of a command line have as their root, wherever typer keeps it."""
    return next(each for each in typer.BadParameter.__mro__ if each.__name__ == "UsageError")


#: What typer raises where a command line cannot be understood.
CommandLineError = _root()


def plain_message(error: Any) -> str:  # noqa: ANN401 - typer does not say of which package its errors are
    """Return what is wrong with a command line, in one line and no words of a library's; nothing if help is wanted."""
    if type(error).__name__ == "NoArgsIsHelpError":
        return ""
    return str(error.format_message()).replace("Value error, ", "")


def usage_of(error: Any) -> str:  # noqa: ANN401 - as above
    """Return how the command is used, as lines to stand before the message."""
    if error.ctx is None:
        return ""
    if not plain_message(error):
        return str(error.ctx.get_help())
    return f"{error.ctx.get_usage()}\n{error.ctx.command_path} --help tells more\n\n"


def whole_number(text: str) -> int:
    """Read a whole number from a command line.

    Raises:
        typer.BadParameter: it is none.
    """
    try:
        return int(text)
    except ValueError:
        raise typer.BadParameter(f"{shown(text)} is not a whole number") from None


def _show_version(wanted: bool) -> None:
    if wanted:
        print(f"polypocket {version('polypocket')}")
        raise typer.Exit


Version = Annotated[
    bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version and exit.")
]
