"""Lengths on the screen: a number in the job's units, its unit in the head of the column."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.units import MM_PER_INCH, Units

__all__ = ["Lengths"]


class Lengths(NamedTuple):
    """How lengths are shown: mm to 0.001, inches to 0.0001."""

    units: Units

    @property
    def unit(self) -> str:
        """The unit's sign."""
        return "mm" if self.units == "mm" else "in"

    def text(self, mm: float | None, fewer: int = 0) -> str:
        """Return a length, with ``fewer`` decimals than usual; a dash for ``None``."""
        if mm is None:
            return "–"
        places = (3 if self.units == "mm" else 4) - fewer
        return f"{mm / (1.0 if self.units == 'mm' else MM_PER_INCH):z.{places}f}"

    def whole(self, mm: float) -> str:
        """Return a length to the whole unit."""
        return f"{mm / (1.0 if self.units == 'mm' else MM_PER_INCH):z.0f}"
