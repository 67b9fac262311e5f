"""The settings of a vise's swivel base that a job may use: a list, or a range in whole graduations."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Any, Final

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from polypocket.model.nearest import nearest
from polypocket.model.values import NUMBER_OR_TEXT, signed_angle
from polypocket.units import shown

__all__ = ["MOST_SETTINGS", "SwivelSettings", "degrees_text", "is_whole"]

#: Settings that one job may name: a whole turn in degrees, both ends. No source.
MOST_SETTINGS: Final = 361

#: What counts as a whole graduation, in graduations: far above rounding, far below what an eye can read. No source.
_ROUNDING: Final = 1e-6

_KEYS: Final = ("from", "to", "graduation")


def is_whole(setting: float, graduation: float) -> bool:
    """Whether a setting of the swivel base is on a line of its scale, both in radians."""
    return abs(setting / graduation - round(setting / graduation)) <= _ROUNDING


def degrees_text(angle: float) -> str:
    """Return an angle in radians as degrees, as short as it can be told to a millionth, such as ``-22.5``."""
    text = f"{math.degrees(angle):.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _settings(value: object, info: ValidationInfo) -> tuple[float, ...]:
    if isinstance(value, Mapping):
        return _range(value, info)
    if not isinstance(value, list | tuple):
        raise ValueError(
            f"{shown(value)} is neither a list of angles, such as [0, 30], "
            "nor a range, such as { from = -60, to = 60, graduation = 1 }"
        )
    if not value:
        raise ValueError("at least one setting is wanted; leave the key out where the swivel base stays at 0")
    return _checked(tuple(_setting(item, info) for item in value))


def _range(value: Mapping[Any, Any], info: ValidationInfo) -> tuple[float, ...]:
    for key in value:
        if key not in _KEYS:
            raise ValueError(f"unknown key {shown(key)}{nearest(str(key), _KEYS)}")
    for key in _KEYS:
        if key not in value:
            raise ValueError(f"a range wants {key} too: {{ from = -60, to = 60, graduation = 1 }}")
    low, high = _setting(value["from"], info), _setting(value["to"], info)
    graduation = signed_angle(value["graduation"], info)
    if graduation <= 0.0:
        raise ValueError(f"graduation must be more than 0, not {shown(value['graduation'])}")
    if high < low:
        raise ValueError(
            f"the range is the wrong way round: from {degrees_text(low)} to {degrees_text(high)}"
        )
    for key, end in (("from", low), ("to", high)):
        if not is_whole(end, graduation):
            raise ValueError(
                f"{key}, {degrees_text(end)}°, is not a whole graduation of {degrees_text(graduation)}° from 0"
            )
    first, last = round(low / graduation), round(high / graduation)
    if last - first + 1 > MOST_SETTINGS:
        raise ValueError(f"{last - first + 1} settings are too many; at most {MOST_SETTINGS} may be tried")
    return _checked(tuple(step * graduation for step in range(first, last + 1)))


def _setting(value: object, info: ValidationInfo) -> float:
    setting = signed_angle(value, info)
    if abs(setting) > math.pi + _ROUNDING:
        raise ValueError(f"{shown(value)} is more than half a turn; settings go from -180 to 180 degrees")
    return setting


def _checked(settings: tuple[float, ...]) -> tuple[float, ...]:
    if len(settings) > MOST_SETTINGS:
        raise ValueError(f"{len(settings)} settings are too many; at most {MOST_SETTINGS} may be tried")
    for index, setting in enumerate(settings):
        if any(abs(setting - other) < _ROUNDING for other in settings[:index]):
            raise ValueError(f"{degrees_text(setting)}° stands there twice")
    return settings


_RANGE_SCHEMA: Final[dict[str, Any]] = {
    "type": "object",
    "properties": {key: NUMBER_OR_TEXT for key in _KEYS},
    "required": list(_KEYS),
    "additionalProperties": False,
}

SwivelSettings = Annotated[
    tuple[float, ...],
    PlainValidator(_settings),
    WithJsonSchema({"anyOf": [{"type": "array", "items": NUMBER_OR_TEXT, "minItems": 1}, _RANGE_SCHEMA]}),
]
