"""Lengths as people write them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

__all__ = ["Lengths"]

#: Exact since the international yard and pound agreement of 1959; not taken from what is tested.
_INCH = 25.4


@dataclass(frozen=True)
class Lengths:
    """Writes lengths in a file's units, in one of the forms in which they may stand there."""

    units: str
    random: Random

    @property
    def step(self) -> float:
        """The finest that people write: 0.001 mm or 0.0001 in, as mm."""
        return 0.001 if self.units == "mm" else 0.0001 * _INCH

    def rounded(self, mm: float) -> float:
        """Return a length rounded to what people write, mm."""
        return round(mm / self.step) * self.step

    def rounded_down(self, mm: float) -> float:
        """Return a length rounded down to what people write, mm."""
        return math.floor(mm / self.step + 1e-9) * self.step

    def written(self, mm: float) -> float | str:
        """Return a rounded length as a number in the file's units, or now and then as text with its unit."""
        if self.random.random() < 0.85:
            return round(mm, 3) if self.units == "mm" else round(mm / _INCH, 4)
        if self.units == "mm":
            return f"{mm:.3f} mm"
        return self.random.choice((f"{mm / _INCH:.4f} in", f"{mm / _INCH * 1000.0:.1f} thou"))

    def exact(self, mm: float) -> float:
        """Return a length as a number in the file's units with all its digits."""
        return mm if self.units == "mm" else mm / _INCH

    def rate(self, mm: float) -> float | str:
        """Return a rate, mm a minute, as a number in the file's units or as text."""
        number = round(mm, 1) if self.units == "mm" else round(mm / _INCH, 2)
        unit = "mm/min" if self.units == "mm" else "in/min"
        return number if self.random.random() < 0.85 else f"{number} {unit}"
