"""The whole of a neutral program."""

from __future__ import annotations

from typing import Literal, NamedTuple

from polypocket.program.setup import Setup

__all__ = ["Program"]


class Program(NamedTuple):
    """A job as the machine is to do it.

    Attributes:
        name: the job's name.
        units: in which the text is to be written; all values here are millimetres.
        setups: one a clamping.
    """

    name: str
    units: Literal["mm", "inch"]
    setups: tuple[Setup, ...]
