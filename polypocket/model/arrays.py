"""How arrays of values are read: ranges, positions, lists of numbers. Units as in ``values``."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from polypocket.model.values import (
    NUMBER_OR_TEXT,
    POSITIVE,
    POSITIVE_OR_TEXT,
    positive_length,
    positive_number,
    signed_length,
)
from polypocket.units import shown

__all__ = ["PositiveNumbers", "PositiveTriple", "Range", "SpeedRange", "Triple"]


def _positive_numbers(value: object) -> tuple[float, ...]:
    return tuple(sorted(positive_number(item) for item in _array(value, "numbers")))


def _speed_range(value: object) -> tuple[float, float]:
    low, high = (positive_number(item) for item in _array(value, "numbers, lowest and highest", 2))
    return _ascending(low, high)


def _range(value: object, info: ValidationInfo) -> tuple[float, float]:
    low, high = (signed_length(item, info) for item in _array(value, "lengths, lowest and highest", 2))
    return _ascending(low, high)


def _triple(value: object, info: ValidationInfo) -> tuple[float, float, float]:
    x, y, z = (signed_length(item, info) for item in _array(value, "lengths, X, Y and Z", 3))
    return x, y, z


def _positive_triple(value: object, info: ValidationInfo) -> tuple[float, float, float]:
    x, y, z = (positive_length(item, info) for item in _array(value, "lengths, X, Y and Z", 3))
    return x, y, z


def _ascending(low: float, high: float) -> tuple[float, float]:
    if not low < high:
        raise ValueError("the first number must be less than the second")
    return low, high


def _array(value: object, of: str, length: int | None = None) -> list[Any] | tuple[Any, ...]:
    """Return an array as it is, of the wanted length, or of any but none."""
    if not isinstance(value, list | tuple):
        raise ValueError(f"{shown(value)} is not an array of {of}; write it in square brackets")
    if length is not None and len(value) != length:
        raise ValueError(f"an array of {length} {of}, is wanted, not one of {len(value)}")
    if not value:
        raise ValueError(f"an array of {of} is wanted, not an empty one")
    return value


def _schema(of: dict[str, Any], length: int | None = None) -> WithJsonSchema:
    bounds = {"minItems": 1} if length is None else {"minItems": length, "maxItems": length}
    return WithJsonSchema({"type": "array", "items": of, **bounds})


PositiveNumbers = Annotated[tuple[float, ...], PlainValidator(_positive_numbers), _schema(POSITIVE)]
SpeedRange = Annotated[tuple[float, float], PlainValidator(_speed_range), _schema(POSITIVE, 2)]
Range = Annotated[tuple[float, float], PlainValidator(_range), _schema(NUMBER_OR_TEXT, 2)]
Triple = Annotated[tuple[float, float, float], PlainValidator(_triple), _schema(NUMBER_OR_TEXT, 3)]
PositiveTriple = Annotated[
    tuple[float, float, float], PlainValidator(_positive_triple), _schema(POSITIVE_OR_TEXT, 3)
]
