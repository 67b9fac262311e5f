"""How each kind of single value is read: annotated types for the fields of the models.

A file's values arrive with the file's units in the validation context and are converted. Without a context (a
model made in code) numbers are taken as they are: mm, radians, mm/min, mm/s², watts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Annotated, Final

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from polypocket.units import (
    Units,
    parse_acceleration,
    parse_angle,
    parse_direction,
    parse_length,
    parse_power,
    parse_rate,
    shown,
)

__all__ = [
    "NUMBER_OR_TEXT",
    "POSITIVE",
    "POSITIVE_OR_TEXT",
    "Acceleration",
    "Count",
    "Direction",
    "Flag",
    "LengthNotNegative",
    "OffsetName",
    "PositiveAngle",
    "PositiveLength",
    "PositiveNumber",
    "PositivePower",
    "PositiveRate",
    "ReferenceName",
    "RegisterNumber",
    "Sides",
    "SignedLength",
    "Text",
    "positive_length",
    "positive_number",
    "signed_angle",
    "signed_length",
]

#: More sides than this are not a job but a slip: flats one degree apart. Common practice, no source.
_MOST_SIDES: Final = 360

#: Larger is no cutter's number, and no number of flutes. Common practice, no source.
_LARGEST_COUNT: Final = 999

#: Larger is no number that stands on a mill, turns a minute least of all. Common practice, no source.
_LARGEST_NUMBER: Final = 1e6

#: Longest name of a job or mill, which stands in a comment of the program. Common practice, no source.
_LONGEST_TEXT: Final = 100

#: The words that select a work offset: NISTIR 6556, modal group of coordinate systems (from memory).
_OFFSET_NAME: Final = r"G5[4-9]|G59\.[1-3]"

#: A register's number as a key of a table: one to five digits. No source: controls hold a few hundred.
_REGISTER_NUMBER: Final = r"[1-9][0-9]{0,4}"

# What stands for these values in JSON Schema.
NUMBER_OR_TEXT: Final = {"anyOf": [{"type": "number"}, {"type": "string"}]}
POSITIVE: Final = {"type": "number", "exclusiveMinimum": 0}
POSITIVE_OR_TEXT: Final = {"anyOf": [POSITIVE, {"type": "string"}]}
_NOT_NEGATIVE_OR_TEXT: Final = {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string"}]}


def signed_length(value: object, info: ValidationInfo) -> float:
    """Read a length, mm.

    Raises:
        ValueError: it is none.
    """
    return _read(value, info, parse_length)


def positive_length(value: object, info: ValidationInfo) -> float:
    """Read a length of more than nothing, mm.

    Raises:
        ValueError: it is none, or not positive.
    """
    return _positive(signed_length(value, info), value)


def signed_angle(value: object, info: ValidationInfo) -> float:
    """Read an angle, radians.

    Raises:
        ValueError: it is none.
    """
    return _read(value, info, lambda value, _: parse_angle(value))


def positive_number(value: object) -> float:
    """Read a number of more than nothing.

    Raises:
        ValueError: it is none, not positive, or too large.
    """
    number = _positive(_number(value), value)
    if number > _LARGEST_NUMBER:
        raise ValueError(f"{shown(value)} is larger than anything that makes sense on a mill")
    return number


def _read(value: object, info: ValidationInfo, parse: Callable[[object, Units], float]) -> float:
    """Return a file's value as ``parse`` reads it in the file's units, and a number made in code as it is."""
    units: Units | None = (info.context or {}).get("units")
    return _number(value) if units is None else parse(value, units)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{shown(value)} is not a number{_unquote(value)}")
    if not -math.inf < value < math.inf or abs(value) > 1e300:  # whole numbers may be too large for a float
        raise ValueError(f"{shown(value)} is not a finite number")
    return float(value)


def _length_not_negative(value: object, info: ValidationInfo) -> float:
    length = signed_length(value, info)
    if length < 0.0:
        raise ValueError(f"must be at least 0, not {shown(value)}")
    return length


def _positive_rate(value: object, info: ValidationInfo) -> float:
    return _positive(_read(value, info, parse_rate), value)


def _acceleration(value: object, info: ValidationInfo) -> float:
    return _positive(_read(value, info, parse_acceleration), value)


def _direction(value: object, info: ValidationInfo) -> float:
    return _read(value, info, lambda value, _: parse_direction(value))


def _positive_angle(value: object, info: ValidationInfo) -> float:
    return _positive(signed_angle(value, info), value)


def _positive_power(value: object, info: ValidationInfo) -> float:
    return _positive(_read(value, info, lambda value, _: parse_power(value)), value)


def _whole(lowest: int, highest: int) -> Callable[[object], int]:
    """Make a reader of whole numbers between two limits."""

    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"{shown(value)} is not a whole number{_unquote(value)}")
        if not lowest <= value <= highest:
            raise ValueError(f"must be between {lowest} and {highest}, not {shown(value)}")
        return value

    return read


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(
            f"{shown(value)} is neither true nor false; write one of them without quotation marks"
        )
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text; put text in quotation marks")
    if not value.strip():
        raise ValueError("the text is empty")
    if not value.isprintable():
        raise ValueError(f"{shown(value)} has characters that cannot be printed; write it on one line")
    if len(value) > _LONGEST_TEXT:
        raise ValueError(f"{shown(value)} has {len(value)} characters; at most {_LONGEST_TEXT} may be")
    return value.strip()


def _offset_name(value: object) -> str:
    if not isinstance(value, str) or not re.fullmatch(_OFFSET_NAME, value):
        raise ValueError(f"{shown(value)} is not a work offset; they are G54 to G59 and G59.1 to G59.3")
    return value


def _reference_name(value: object) -> str:
    if value not in ("G28", "G30"):
        raise ValueError(f"{shown(value)} is not a reference point; they are G28 and G30")
    return str(value)


def _register_number(value: object) -> int:
    """Read a register's number: text where it is a key of a file, a whole number in a model made in code."""
    text = str(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if not isinstance(text, str) or not re.fullmatch(_REGISTER_NUMBER, text):
        raise ValueError(f"{shown(value)} is not a register's number; they are whole, from 1 to 99999")
    return int(text)


def _unquote(value: object) -> str:
    return "; write it without quotation marks" if isinstance(value, str) else ""


def _positive(number: float, value: object) -> float:
    if not number > 0.0:
        raise ValueError(f"must be more than 0, not {shown(value)}")
    return number


def _whole_schema(lowest: int, highest: int) -> WithJsonSchema:
    return WithJsonSchema({"type": "integer", "minimum": lowest, "maximum": highest})


_TEXT_SCHEMA = WithJsonSchema({"type": "string", "minLength": 1, "maxLength": _LONGEST_TEXT})
_REGISTER_SCHEMA = WithJsonSchema({"type": "string", "pattern": f"^{_REGISTER_NUMBER}$"})
_OFFSET_SCHEMA = WithJsonSchema({"type": "string", "pattern": f"^({_OFFSET_NAME})$"})
_REFERENCE_SCHEMA = WithJsonSchema({"type": "string", "enum": ["G28", "G30"]})

SignedLength = Annotated[float, PlainValidator(signed_length), WithJsonSchema(NUMBER_OR_TEXT)]
PositiveLength = Annotated[float, PlainValidator(positive_length), WithJsonSchema(POSITIVE_OR_TEXT)]
LengthNotNegative = Annotated[
    float, PlainValidator(_length_not_negative), WithJsonSchema(_NOT_NEGATIVE_OR_TEXT)
]
PositiveRate = Annotated[float, PlainValidator(_positive_rate), WithJsonSchema(POSITIVE_OR_TEXT)]
Acceleration = Annotated[float, PlainValidator(_acceleration), WithJsonSchema(POSITIVE_OR_TEXT)]
Direction = Annotated[float, PlainValidator(_direction), WithJsonSchema(NUMBER_OR_TEXT)]
PositiveAngle = Annotated[float, PlainValidator(_positive_angle), WithJsonSchema(POSITIVE_OR_TEXT)]
PositivePower = Annotated[float, PlainValidator(_positive_power), WithJsonSchema(POSITIVE_OR_TEXT)]
PositiveNumber = Annotated[float, PlainValidator(positive_number), WithJsonSchema(POSITIVE)]
Sides = Annotated[int, PlainValidator(_whole(3, _MOST_SIDES)), _whole_schema(3, _MOST_SIDES)]
Count = Annotated[int, PlainValidator(_whole(1, _LARGEST_COUNT)), _whole_schema(1, _LARGEST_COUNT)]
Flag = Annotated[bool, PlainValidator(_flag), WithJsonSchema({"type": "boolean"})]
Text = Annotated[str, PlainValidator(_text), _TEXT_SCHEMA]
RegisterNumber = Annotated[int, PlainValidator(_register_number), _REGISTER_SCHEMA]
OffsetName = Annotated[str, PlainValidator(_offset_name), _OFFSET_SCHEMA]
ReferenceName = Annotated[str, PlainValidator(_reference_name), _REFERENCE_SCHEMA]
