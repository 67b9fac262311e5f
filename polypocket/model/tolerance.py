"""How exact the part has to be."""

from __future__ import annotations

import math
from typing import Final

from pydantic import Field, field_validator

from polypocket.model.base import SharedTable
from polypocket.model.values import PositiveAngle, PositiveLength

__all__ = ["Tolerance"]

#: The widest that ISO 2768-1 has, table 3, class v, legs up to 10 mm; more is minutes written as degrees.
_WIDEST_ANGLE: Final = math.radians(3.0)

#: Where a job says nothing: the tightest deviation of class m, ISO 2768-1, table 1 (0.5 mm to 6 mm), mm.
_SIZE: Final = 0.1


class Tolerance(SharedTable):
    """Permissible deviations either way: ``angle`` from side to side, radians; ``size`` of lengths, mm."""

    angle: PositiveAngle = Field(
        description='permissible error from side to side: degrees, or text such as "0° 6\'"'
    )
    size: PositiveLength = Field(_SIZE, description="permissible error of the sizes; 0.1 mm if left out")

    @field_validator("angle")
    @classmethod
    def _is_a_tolerance(cls, value: float) -> float:
        """Refuse an angle under which everything would pass."""
        if value > _WIDEST_ANGLE:
            raise ValueError('more than 3 degrees is no tolerance; minutes are written as text: "0° 6\'"')
        return value
