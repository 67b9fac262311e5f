"""How a control codes its words, where a dialect leaves that to its makers."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema, field_validator

from polypocket.model.base import SharedTable
from polypocket.model.values import POSITIVE, Flag, positive_number
from polypocket.units import shown

__all__ = ["Words"]

#: More digits than this are no word of a program on tape. Common practice, no source.
_MOST_DIGITS = 8
#: A spindle code has two or three digits. Common practice, no source.
_LARGEST_CODE = 999


def _digits(value: object) -> tuple[int, int]:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise ValueError("an array of two whole numbers is wanted: digits before and after the point")
    before, after = value
    for count in value:
        if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= _MOST_DIGITS:
            raise ValueError(f"{shown(count)} is not a number of digits from 0 to {_MOST_DIGITS}")
    if not 0 < before + after <= _MOST_DIGITS:
        raise ValueError(f"from 1 to {_MOST_DIGITS} digits in all are wanted")
    return before, after


def _codes(value: object) -> tuple[tuple[int, float], ...]:
    if not isinstance(value, dict) or not value:
        raise ValueError('a table of codes and their speeds is wanted, such as { "40" = 80, "45" = 135 }')
    codes = []
    for code, speed in value.items():
        if not (isinstance(code, str) and code.isascii() and code.isdigit() and int(code) <= _LARGEST_CODE):
            raise ValueError(f"{shown(code)} is not a spindle code of up to three digits")
        codes.append((int(code), positive_number(speed)))
    if len({code for code, _ in codes}) < len(codes) or len({speed for _, speed in codes}) < len(codes):
        raise ValueError("each code and each speed may stand once only")
    return tuple(sorted(codes))


_DIGITS: dict[str, Any] = {
    "type": "array",
    "items": {"type": "integer", "minimum": 0, "maximum": _MOST_DIGITS},
    "minItems": 2,
    "maxItems": 2,
}

Digits = Annotated[tuple[int, int], PlainValidator(_digits), WithJsonSchema(_DIGITS)]
Codes = Annotated[
    tuple[tuple[int, float], ...],
    PlainValidator(_codes),
    WithJsonSchema({"type": "object", "additionalProperties": POSITIVE, "minProperties": 1}),
]


class Words(SharedTable):
    """How lengths, feeds and speeds are coded in numbers without a decimal point; from the control's manual."""

    digits_inch: Digits = Field(description="digits of a length in inches before and after the point")
    digits_mm: Digits = Field(description="digits of a length in mm before and after the point")
    zeros: Literal["leading", "trailing", "none"] = Field(
        description='which zeros are left out: "leading", "trailing" or "none"'
    )
    signed_ij: Flag = Field(description="false where I and J carry no sign and the quadrant tells it")
    feed: Literal["per-minute"] = Field(description='how F is coded; "per-minute": lengths a minute')
    digits_feed: Digits = Field(description="digits of a feed a minute before and after the point")
    spindle: Literal["rpm", "code"] = Field(description='"rpm", or "code": from the table spindle_codes')
    spindle_codes: Codes | None = Field(
        None, description="each code and its speed, turns a minute", validate_default=True
    )

    @field_validator("spindle_codes")
    @classmethod
    def _where_coded(cls, value: object, info: ValidationInfo) -> object:
        """Refuse codes without a table, and a table that nothing looks at."""
        spindle = info.data.get("spindle")
        if spindle == "code" and value is None:
            raise ValueError('required where spindle is "code": each code and its speed, from the manual')
        if spindle == "rpm" and value is not None:
            raise ValueError('speeds are not coded; leave it out, or set spindle = "code"')
        return value
