"""What a person answers to ``polypocket new``, each answer read by the rules of the key of the job that it becomes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from polypocket.model.nearest import nearest
from polypocket.model.new_job import NewSection
from polypocket.model.shipped import materials
from polypocket.model.values import Count, PositiveLength, PositiveNumber, PositiveRate, Sides, Text
from polypocket.units import Units, shown

__all__ = ["option", "place_of_answer", "read_answer"]

#: Sizes that a stock's shape asks for, in the order in which they are written.
_STOCK_SIZES: Final = {"square": ("width",), "rectangle": ("width", "length"), "round": ("diameter",)}

_CUTTER_MATERIALS: Final = ("carbide", "hss")

#: Keys of the job that an answer becomes, and the answer.
_KEYS: Final = {
    "name": "name",
    "units": "units",
    "stock": "stock",
    "stock.thickness": "thickness",
    "stock.material": "material",
    "sections": "sections",
    "cutter.diameter": "cutter",
    "cutter.flutes": "flutes",
    "cutter.flute_length": "flute_length",
    "cutter.material": "cutter_material",
    "cut.spindle_rpm": "rpm",
    "cut.feed": "feed",
    "clamping.held": "held",
}


def option(key: str) -> str:
    """Return the option that gives an answer."""
    return "--" + key.replace("_", "-")


def place_of_answer(place: str) -> str:
    """Return the option that a place of the job's file comes from; the place itself where none does."""
    if re.fullmatch(r"sections\[[0-9]+\]\.depth", place):
        return "--depths"
    key = _KEYS.get(place) or _KEYS.get(re.split(r"[.\[]", place)[0])
    return option(key) if key is not None else place


def read_answer(key: str, text: str, units: Units) -> Any:  # noqa: ANN401 - a value of the answer's own kind
    """Read the answer to one question; lengths mm, feed mm/min.

    Raises:
        ValueError: it is none.
    """
    return _READERS[key](text.strip(), units)


def _value(kind: Any, value: object, units: Units) -> Any:  # noqa: ANN401 - as above
    """Read a value as a job's file would have it."""
    try:
        return TypeAdapter(kind).validate_python(value, context={"units": units})
    except ValidationError as error:
        raise ValueError(str(error.errors()[0]["ctx"]["error"])) from None


def _name(text: str, units: Units) -> Any:  # noqa: ANN401 - as above
    return _value(Text, text, units)


def _one_of(*known: str) -> Callable[[str, Units], str]:
    def read(text: str, units: Units) -> str:
        if text not in known:
            raise ValueError(f"{shown(text)} cannot be used; write {' or '.join(known)}")
        return text

    return read


def _material(text: str, units: Units) -> str:
    if text not in materials():
        raise ValueError(f"{shown(text)} is not in materials.toml{nearest(text, materials())}")
    return text


def _measure(kind: Any) -> Callable[[str, Units], Any]:  # noqa: ANN401 - as above
    """Make a reader of a length or feed: a bare number is in the file's units, as in a file."""

    def read(text: str, units: Units) -> Any:  # noqa: ANN401 - as above
        return _value(kind, float(text) if _is_number(text) else text, units)

    return read


_length = _measure(PositiveLength)


def _rpm(text: str, units: Units) -> Any:  # noqa: ANN401 - as above
    if not _is_number(text):
        raise ValueError(f"{shown(text)} is not a number; write turns a minute, such as 900")
    return _value(PositiveNumber, float(text), units)


def _flutes(text: str, units: Units) -> Any:  # noqa: ANN401 - as above
    return _value(Count, _whole(text), units)


def _stock(text: str, units: Units) -> dict[str, float | str]:
    shape, *sizes = text.lower().split() or [""]
    keys = _STOCK_SIZES.get(shape)
    if keys is None or len(sizes) != len(keys):
        raise ValueError(
            f'{shown(text)}: write "square 130", "rectangle 130 100" or "round 80"; other stock in the file itself'
        )
    return {"shape": shape, **{key: _length(size, units) for key, size in zip(keys, sizes, strict=True)}}


def _sections(text: str, units: Units) -> tuple[NewSection, ...]:
    sections, wrong = [], []
    for part in map(str.strip, text.split(",")):
        match = re.fullmatch(r"([0-9]{1,3})\s*[x×]\s*(\S.*)", part, re.IGNORECASE)
        if match is None:
            wrong.append(f'{shown(part)} is not a section; write sides x across flats, such as "12 x 124"')
            continue
        try:
            sections.append(NewSection(_value(Sides, int(match[1]), units), _length(match[2], units)))
        except ValueError as error:
            wrong.append(f"{shown(part)}: {error}")
    if wrong:
        raise ValueError("; ".join(wrong))
    return tuple(sections)


def _depths(text: str, units: Units) -> tuple[float, ...]:
    return tuple(sorted(_length(part.strip(), units) for part in text.split(",")))


def _whole(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise ValueError(f"{shown(text)} is not a whole number")
    return int(text)


def _is_number(text: str) -> bool:
    """Whether a text is a number as a file may have it: Python takes digits of other scripts, and underlines, too."""
    try:
        float(text)
    except ValueError:
        return False
    return text.isascii() and "_" not in text


_READERS: Final[Mapping[str, Callable[[str, Units], Any]]] = {
    "name": _name,
    "units": _one_of("mm", "inch"),
    "stock": _stock,
    "thickness": _length,
    "material": _material,
    "sections": _sections,
    "held": _length,
    "cutter": _length,
    "flutes": _flutes,
    "flute_length": _length,
    "cutter_material": _one_of(*_CUTTER_MATERIALS),
    "rpm": _rpm,
    "feed": _measure(PositiveRate),
    "depths": _depths,
}
