"""The inch, and the text of lengths, rates, angles and powers as a person writes them.

Knows nothing else of ours. A text carries its unit; a plain number is in the units of the file it stands in.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Final, Literal, TypeAlias

__all__ = [
    "MM_PER_INCH",
    "WATTS_PER_HORSEPOWER",
    "Units",
    "format_length",
    "in_units",
    "parse_acceleration",
    "parse_angle",
    "parse_direction",
    "parse_length",
    "parse_power",
    "parse_rate",
    "printable",
    "shown",
]

Units: TypeAlias = Literal["mm", "inch"]

#: Exact since the international yard and pound agreement of 1959.
MM_PER_INCH = 25.4

#: Mechanical horsepower, 550 foot-pounds a second: NIST SP 811, appendix B.8, gives 7.456 999 E+02 W.
WATTS_PER_HORSEPOWER = 745.69987

# Beyond these a number is a slip of the finger, not a mill: 100 m, 1 km a minute, 1 km/s², 1 MW.
_LONGEST: Final = 1e5
_FASTEST: Final = 1e6
_STRONGEST_ACCELERATION: Final = 1e6
_STRONGEST_POWER: Final = 1e6
_WIDEST_ANGLE: Final = 360.0

_DECIMAL = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
_LENGTH = re.compile(
    rf"(?P<sign>[+-]?)(?:(?:(?P<whole>[0-9]+)(?:\s*-\s*|\s+))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)"
    rf"|(?P<decimal>{_DECIMAL}))\s*(?P<unit>[a-z]+|[\"″])?",
    re.IGNORECASE,
)
_ANGLE = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:(?P<degrees>{_DECIMAL})\s*(?:°|deg))?"
    rf"\s*(?:(?P<minutes>{_DECIMAL})\s*['′])?\s*(?:(?P<seconds>{_DECIMAL})\s*[\"″])?",
    re.IGNORECASE,
)
_POWER = re.compile(rf"(?P<number>{_DECIMAL})\s*(?P<unit>[a-z]+)", re.IGNORECASE)

_MM_PER_UNIT = {"mm": 1.0, "in": MM_PER_INCH, "inch": MM_PER_INCH, "inches": MM_PER_INCH, '"': MM_PER_INCH,
                "″": MM_PER_INCH, "thou": MM_PER_INCH / 1000.0}  # fmt: skip
_SYMBOL: Final[dict[Units, str]] = {"mm": "mm", "inch": "in"}
_WATTS_PER_UNIT = {"w": 1.0, "kw": 1000.0, "hp": WATTS_PER_HORSEPOWER}
_PER_DEGREE = {"degrees": 1.0, "minutes": 60.0, "seconds": 3600.0}
_NEXT_LARGER = {"minutes": "degree", "seconds": "minute"}
_DIRECTIONS = {"+x": 0.0, "+y": 0.5 * math.pi, "-x": math.pi, "-y": 1.5 * math.pi}


def parse_length(value: object, units: Units) -> float:
    """Return mm from a number in ``units`` or a text such as ``12 mm``, ``1-1/2 in``, ``40 thou``.

    A text carries its unit; only a fraction may go without one, and only where ``units`` are inches.

    Raises:
        ValueError: neither a number nor such a text, not finite, or longer than 100 m.
    """
    if isinstance(value, str):
        return _bounded(_length_of_text(value, units), _LONGEST, value)
    return _bounded(
        _number(value, 'a length: a number, or text such as "12 mm"') * _factor(units), _LONGEST, value
    )


def parse_rate(value: object, units: Units) -> float:
    """Return mm/min from a number of ``units`` a minute or a text such as ``480 mm/min`` or ``20 in/min``.

    Raises:
        ValueError: neither, not finite, or more than 1 km a minute.
    """
    return _per(value, units, r"/\s*min", _FASTEST, 'a feed: a number, or text such as "480 mm/min"')


def parse_acceleration(value: object, units: Units) -> float:
    """Return mm/s² from a number of ``units`` a second, a second, or a text such as ``250 mm/s²``.

    Raises:
        ValueError: neither, not finite, or more than 1 km/s².
    """
    limit = _STRONGEST_ACCELERATION
    return _per(
        value, units, r"/\s*s(?:²|\^?2)", limit, 'an acceleration: a number, or text such as "250 mm/s²"'
    )


def parse_angle(value: object) -> float:
    """Return radians from a number of degrees or a text such as ``0° 6'``, ``0° 6' 30"``, ``6'``, ``30 deg``.

    Raises:
        ValueError: neither, not finite, more than 360 degrees, 60 or more minutes or seconds after a larger
            part, or decimals before the last part.
    """
    if not isinstance(value, str):
        number = _number(value, 'an angle: a number of degrees, or text such as "0° 6\'"')
        return math.radians(_bounded(number, _WIDEST_ANGLE, value))
    match = _ANGLE.fullmatch(value.strip())
    if match is None or not any(match.group("degrees", "minutes", "seconds")):
        raise ValueError(
            f'{shown(value)} is not an angle; write degrees as a number, or text such as "0° 6\'"'
        )
    parts = [(name, match[name]) for name in ("degrees", "minutes", "seconds") if match[name] is not None]
    if any("." in part for _, part in parts[:-1]):
        raise ValueError(f"{shown(value)}: only the last part of an angle may have decimals")
    for name, part in parts[1:]:
        if float(part) >= 60.0:
            raise ValueError(f"{shown(value)}: {part} {name} are a whole {_NEXT_LARGER[name]} or more")
    degrees = sum(float(part) / _PER_DEGREE[name] for name, part in parts)
    return math.radians(_bounded(-degrees if match["sign"] == "-" else degrees, _WIDEST_ANGLE, value))


def parse_direction(value: object) -> float:
    """Return radians anticlockwise from +X: from ``+x``, ``-x``, ``+y``, ``-y``, or from an angle.

    Raises:
        ValueError: neither.
    """
    if not isinstance(value, str):
        return parse_angle(value)
    text = value.strip().lower()
    if text in _DIRECTIONS:
        return _DIRECTIONS[text]
    if _ANGLE.fullmatch(text):
        return parse_angle(value)
    raise ValueError(
        f'{shown(value)} is not a direction; write degrees anticlockwise from +X, or "+x", "-x", "+y", "-y"'
    )


def parse_power(value: object) -> float:
    """Return watts from a number of watts or a text such as ``2 hp`` (mechanical) or ``1.5 kW``.

    Raises:
        ValueError: neither, not finite, or more than 1 MW.
    """
    if not isinstance(value, str):
        number = _number(value, 'a power: a number of watts, or text such as "2 hp"')
        return _bounded(number, _STRONGEST_POWER, value)
    match = _POWER.fullmatch(value.strip())
    factor = _WATTS_PER_UNIT.get(match["unit"].lower()) if match else None
    if match is None or factor is None:
        raise ValueError(f'{shown(value)} is not a power; write "1.5 kW", "2 hp", or a number of watts')
    return _bounded(float(match["number"]) * factor, _STRONGEST_POWER, value)


def format_length(mm: float, units: Units, decimals: int | None = None) -> str:
    """Return a length with its unit, such as ``12.500 mm`` or ``0.4921 in``; decimals 3 and 4 if not said.

    Raises:
        ValueError: the length is not finite.
    """
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a finite length")
    places = (3 if units == "mm" else 4) if decimals is None else decimals
    number = f"{mm / _factor(units):z.{places}f}"  # z: no minus sign before a zero
    return f"{number} {_SYMBOL[units]}"


def in_units(mm: float, units: Units) -> str:
    """Return a length as a number that a file in ``units`` may hold, without needless zeros: ``12.0``, ``0.4921``."""
    number = f"{mm / _factor(units):z.{3 if units == 'mm' else 4}f}".rstrip("0")
    return f"{number}0" if number.endswith(".") else number


def shown(value: object) -> str:
    """Return a value as it may stand in a message: one short line, nothing that a terminal would act on."""
    if isinstance(value, str):
        start = printable(value[:40])
        return f'"{start}…"' if len(value) > 40 else f'"{start}"'
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**20:
        return "a number of more than 20 digits"
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return "an array"
    return f"the date or time {value}"  # nothing else is left in TOML


def printable(text: str) -> str:
    """Return a text with nothing in it that a terminal would act on: such signs are spelled out."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def _length_of_text(text: str, units: Units) -> float:
    match = _LENGTH.fullmatch(text.strip())
    if match is None:
        hint = "; write decimals with a point" if "," in text else ""
        raise ValueError(
            f'{shown(text)} is not a length; write for example "12 mm", "1/2 in" or "40 thou"{hint}'
        )
    unit = match["unit"]
    if unit is None:
        if match["decimal"] is not None:
            meant = f"{text.strip()} {_SYMBOL[units]}"
            raise ValueError(
                f'{shown(text)} has no unit; write "{meant}", or a number without quotation marks'
            )
        if units != "inch":
            raise ValueError(
                f'{shown(text)} has no unit and the file is in {units}; write "{text.strip()} in"'
            )
        unit = "in"
    factor = _MM_PER_UNIT.get(unit.lower())
    if factor is None:
        raise ValueError(f'{shown(text)}: "{unit}" is not a unit known here; use mm, in or thou')
    if match["decimal"] is not None:
        number = float(match["decimal"])
    else:
        if not float(match["bottom"]):
            raise ValueError(f"{shown(text)} divides by zero")
        number = float(match["whole"] or 0.0) + float(match["top"]) / float(match["bottom"])
    return -number * factor if match["sign"] == "-" else number * factor


def _per(value: object, units: Units, time: str, limit: float, wanted: str) -> float:
    """Read a length a unit of time, ``time`` being a pattern of its denominator."""
    if not isinstance(value, str):
        return _bounded(_number(value, wanted) * _factor(units), limit, value)
    length, count = re.subn(rf"\s*{time}\s*$", "", value)
    if not count:
        raise ValueError(f"{shown(value)} is not {wanted}")
    return _bounded(_length_of_text(length, units), limit, value)


def _number(value: object, wanted: str) -> float:
    """Return a number as a float; true and false are no numbers, although Python counts them as such."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{shown(value)} is not {wanted}")
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _bounded(number: float, limit: float, value: object) -> float:
    if not math.isfinite(number):
        raise ValueError(f"{shown(value)} is not a finite number")
    if abs(number) > limit:
        raise ValueError(f"{shown(value)} is larger than anything that makes sense on a mill")
    return number


def _factor(units: Units) -> float:
    return MM_PER_INCH if units == "inch" else 1.0
