"""How a setting of the swivel base is checked with an indicator."""

from __future__ import annotations

import math
from typing import NamedTuple

from polypocket.model.mill import Mill

__all__ = ["Indicator", "graduation_of", "indicator_for"]

#: A line of a swivel base's scale where the mill file does not tell, radians: 1°. Common practice, no source.
_GRADUATION = math.radians(1.0)
#: Length over which an indicator is read, mm.
_OVER = 100.0


class Indicator(NamedTuple):
    """How a setting is checked with an indicator against the fixed jaw, the table being moved along one axis.

    Attributes:
        axis: along which the table moves, ``x`` or ``y``: the one to which the jaw lies nearer.
        rise: by which the reading changes over 100 mm of it, mm; positive where the jaw leans anticlockwise.
        misread: error of the angle where the scale is misread by one line, radians.
        misread_rise: what that makes of the rise, mm: an indicator that shows less is better than the scale.
    """

    axis: str
    rise: float
    misread: float
    misread_rise: float


def graduation_of(mill: Mill) -> float:
    """Return one line of the swivel base's scale, radians."""
    return (mill.vise.swivel_graduation if mill.vise else None) or _GRADUATION


def indicator_for(swivel: float, along: str, mill: Mill) -> Indicator | None:
    """Return how a setting is checked; ``None`` at 0.

    Over 100 mm of travel a jaw that leans by θ from the travel rises by 100 · tan θ.

    Args:
        swivel: the setting, radians.
        along: the axis along which the jaws run at 0, ``x`` or ``y``.
        mill: for the scale of its swivel base.
    """
    if swivel == 0.0:
        return None
    graduation = graduation_of(mill)
    leans = math.remainder(swivel, math.pi)  # a jaw has no sense of direction
    axis = along
    if abs(leans) > math.pi / 4.0 + 1e-9:
        axis = "y" if along == "x" else "x"
        leans = math.remainder(leans - math.copysign(math.pi / 2.0, leans), math.pi)
    rise = _OVER * math.tan(leans)
    misread = max(abs(_OVER * math.tan(leans + off) - rise) for off in (-graduation, graduation))
    return Indicator(axis, rise, graduation, misread)
