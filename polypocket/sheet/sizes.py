"""Lengths and angles as a drawing gives them: a number in the job's units, without needless zeros."""

from __future__ import annotations

import math

from polypocket.units import Units, in_units

__all__ = ["angle_text", "deviation_text", "size_text"]


def size_text(mm: float, units: Units) -> str:
    """Return a length to 0.001 mm or 0.0001 in, such as ``124`` or ``0.4921``."""
    return in_units(mm, units).removesuffix(".0")


def angle_text(radians: float) -> str:
    """Return an angle to the second, such as ``150°`` or ``128°34'17"``."""
    seconds = round(abs(math.degrees(radians)) * 3600.0)
    minutes, rest = divmod(seconds, 60)
    degrees, minutes = divmod(minutes, 60)
    text = f"{degrees}°" + (f"{minutes:02d}'" if minutes or rest else "") + (f'{rest:02d}"' if rest else "")
    return f"−{text}" if radians < 0.0 and seconds else text


def deviation_text(text: str, units: Units | None = None) -> str:
    """Return a permissible deviation either way, with its unit where it is a length."""
    return f"±{text}" if units is None else f"±{text} {'mm' if units == 'mm' else 'in'}"
