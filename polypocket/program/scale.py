"""On what a person reads where an axis stands."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["Scale"]


class Scale(NamedTuple):
    """A readout, or the dial of a handwheel.

    Attributes:
        step: the smallest that is read, mm.
        turn: what one turn of the dial goes, mm; ``None`` for a readout.
        divisions: of the dial; ``None`` for a readout.
    """

    step: float
    turn: float | None = None
    divisions: int | None = None
