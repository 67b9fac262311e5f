"""One clamping of the work."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.program.items import Item

__all__ = ["Setup"]


class Setup(NamedTuple):
    """One clamping of the work and what is done in it.

    Attributes:
        number: counts from 1.
        swivel: setting of the vise's swivel base, radians anticlockwise seen from above.
        roll: turn of a bar about its own axis, radians.
        offset: the work offset's word, such as ``G54``.
        zero: where the work zero is on the part, in words.
        items: in order.
    """

    number: int
    swivel: float
    roll: float
    offset: str
    zero: str
    items: tuple[Item, ...]
