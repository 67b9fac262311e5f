"""Tables as the text of a TOML file, so that generated jobs pass through everything that files pass through."""

from __future__ import annotations

import json
import math
from typing import Any

__all__ = ["Tables", "toml_text"]

#: A file's content: keys to values, tables or arrays of tables.
Tables = dict[str, Any]


def toml_text(tables: Tables) -> str:
    """Return the text of a file, its plain values first, as TOML wants them."""
    return "\n".join(_lines(tables, "")) + "\n"


def _lines(table: Tables, path: str) -> list[str]:
    lines = [f"{_key(key)} = {_value(value)}" for key, value in table.items() if not _is_nested(value)]
    for key, value in table.items():
        place = f"{path}.{_key(key)}" if path else _key(key)
        if isinstance(value, dict):
            lines += ["", f"[{place}]", *_lines(value, place)]
        elif _is_nested(value):
            for item in value:
                lines += ["", f"[[{place}]]", *_lines(item, place)]
    return lines


def _is_nested(value: object) -> bool:
    tables = isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)
    return isinstance(value, dict) or tables


def _key(key: str) -> str:
    bare = key.isascii() and key.replace("-", "").replace("_", "").isalnum()
    return key if bare else json.dumps(key)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, float) and not math.isfinite(value):
        return "nan" if math.isnan(value) else f"{'-' if value < 0.0 else ''}inf"
    if isinstance(value, int | float):
        return repr(value)
    raise TypeError(f"no TOML for {value!r}")
