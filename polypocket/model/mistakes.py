"""What the validation found, in plain words and with the place of each."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from polypocket.errors import Mistake
from polypocket.model.nearest import nearest
from polypocket.units import shown

__all__ = ["in_order_of_file", "mistakes_of", "place_of"]

Path = Sequence[int | str]

_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")  # TOML 1.0: a bare key; others stand in quotation marks

#: Parts of the longest place of any mistake, such as cutters[1].cut.feed; what lies deeper need not be in order.
_DEEPEST: Final = 4

#: Characters of a key that a message shows whole; no key that is known has as many. No source.
_LONGEST_KEY: Final = 40


def mistakes_of(error: ValidationError, model: type[BaseModel]) -> list[Mistake]:
    """Return what ``error`` holds, each with its place in the file that ``model`` describes."""
    found = error.errors(include_url=False)
    # An array whose tables are all wrong counts as empty there; what is wrong with them is told already.
    return [_mistake(item, model) for item in found if not (item["type"] == "too_short" and item["input"])]


def place_of(path: Path) -> str:
    """Return a path of keys and indices (from 0) as text, such as ``sections[1].depth``."""
    place = ""
    for part in path:
        if isinstance(part, int):
            place += f"[{part}]"
        else:
            key = part if len(part) <= _LONGEST_KEY and _BARE_KEY.fullmatch(part) else shown(part)
            place += f".{key}" if place else key
    return place


def in_order_of_file(mistakes: Sequence[Mistake], tables: Mapping[str, Any]) -> tuple[Mistake, ...]:
    """Sort mistakes as their places follow each other in a parsed file; what is missing after its table."""
    places: dict[str, tuple[int, int]] = {}
    _number(tables, (), places)

    def order(mistake: Mistake) -> tuple[int, int]:
        place = mistake.place
        if place in places:
            return places[place][0], 0
        while place not in places:
            place = place[: max(place.rfind("."), place.rfind("["), 0)]
        return places[place][1], 1

    return tuple(sorted(dict.fromkeys(mistakes), key=order))


def _number(value: object, path: tuple[int | str, ...], places: dict[str, tuple[int, int]]) -> None:
    """Note the ordinal numbers of a value's start and end for it and all that it holds."""
    start = len(places)
    place = place_of(path)
    places[place] = (start, start)
    items: list[tuple[int | str, object]] = []
    if isinstance(value, Mapping):
        items = list(value.items())
    elif isinstance(value, list):
        items = list(enumerate(value))
    for key, item in items if len(path) < _DEEPEST else ():
        _number(item, (*path, key), places)
    places[place] = (start, len(places) - 1)


def _mistake(details: ErrorDetails, model: type[BaseModel]) -> Mistake:
    path = details["loc"]
    if details["type"] == "value_error" and path[-1] == "[key]" and len(path) > 1:
        path = path[:-1]  # pydantic's mark of a key that is wrong; a file may have a key of that very name
    return Mistake(place_of(path), _message(details, path, model))


def _message(details: ErrorDetails, path: Path, model: type[BaseModel]) -> str:
    value = details["input"]
    context = details.get("ctx", {})
    match details["type"]:
        case "value_error":
            return str(context["error"])
        case "missing":
            field = _model_at(path[:-1], model).model_fields[str(path[-1])]
            return f"required; {field.description}"
        case "extra_forbidden":
            return f"unknown key{nearest(str(path[-1]), _model_at(path[:-1], model).model_fields)}"
        case "literal_error":
            expected = str(context["expected"]).replace("'", '"')
            return f"{shown(value)} cannot be used; write {expected}"
        case "model_type" | "dict_type":
            return f"a table is wanted, not {shown(value)}; {_header(path)}"
        case "tuple_type":
            return f"an array of tables is wanted, not {shown(value)}; {_header((*path, 0))}"
        case "too_short":
            return f"at least one is wanted; {_header((*path, 0))}"
        case other:
            # Reached only if a field is given a type whose checks are pydantic's own.
            raise AssertionError(f"no words for {other}")


def _header(path: Path) -> str:
    """Return how to begin the table at ``path``, which is one of an array where an index ends it."""
    keys = place_of([part for part in path if not isinstance(part, int)])
    header = f"[[{keys}]]" if isinstance(path[-1], int) else f"[{keys}]"
    return f"write {header} and its keys below"


def _model_at(path: Path, model: type[BaseModel]) -> type[BaseModel]:
    """Return the model of the table at ``path``."""
    for part in path:
        if isinstance(part, str):
            model = _model_in(model.model_fields[part].annotation) or model
    return model


def _model_in(annotation: object) -> type[BaseModel] | None:
    """Return the model that an annotation such as ``tuple[Model, ...]`` or ``Model | None`` holds."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(filter(None, map(_model_in, get_args(annotation))), None)
