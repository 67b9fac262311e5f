"""What the drawings know of: a program that asks for more gets no sheet, rather than one that leaves it out."""

from __future__ import annotations

from collections.abc import Iterable

from polypocket.errors import InputError
from polypocket.program import Program

__all__ = ["require_drawable"]


def require_drawable(programs: Iterable[Program]) -> None:
    """Make sure that one drawing of the clamping is all that a person needs.

    Raises:
        InputError: the part is turned about its own axis, or the work is clamped anew.
    """
    setups = [setup for program in programs for setup in program.setups]
    if any(setup.roll for setup in setups):
        raise InputError("no sheet: a part that is turned about its own axis is not drawn yet")
    if len({(setup.number, setup.swivel) for setup in setups}) > 1:
        raise InputError("no sheet: programs of several clampings are not drawn yet")
