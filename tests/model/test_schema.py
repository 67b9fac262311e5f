"""The schema that editors use says of the example files what the models say."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from polypocket.model.schema import job_schema, mill_schema

ROOT = Path(__file__).parents[2]
JOBS = sorted((ROOT / "shared" / "jobs").glob("*.toml"))
MILLS = sorted((ROOT / "fixtures" / "mills").glob("*.toml")) + sorted(
    (ROOT / "shared" / "machines").glob("*.toml")
)
TYPES: dict[str, type | tuple[type, ...]] = {
    "string": str,
    "number": (int, float),
    "integer": int,
    "boolean": bool,
    "array": list,
    "object": dict,
    "null": type(None),
}


def complaints(value: Any, schema: dict[str, Any], whole: dict[str, Any], place: str = "") -> Iterator[str]:  # noqa: ANN401
    """Check a value against the few words of JSON Schema that the schemas use."""
    if "$ref" in schema:
        yield from complaints(value, whole["$defs"][schema["$ref"].rsplit("/", 1)[1]], whole, place)
        return
    if "anyOf" in schema:
        if all(any(complaints(value, choice, whole, place)) for choice in schema["anyOf"]):
            yield f"{place}: none of the choices"
        return
    kind = schema.get("type")
    if kind is not None and (
        not isinstance(value, TYPES[kind]) or (isinstance(value, bool) != (kind == "boolean"))
    ):
        yield f"{place}: not a {kind}"
        return
    if "enum" in schema and value not in schema["enum"]:
        yield f"{place}: not one of {schema['enum']}"
    if "const" in schema and value != schema["const"]:
        yield f"{place}: not {schema['const']}"
    if isinstance(value, dict) and "properties" in schema:
        yield from (f"{place}.{key}: missing" for key in schema.get("required", ()) if key not in value)
        for key, item in value.items():
            if key not in schema["properties"]:
                yield f"{place}.{key}: unknown"
            else:
                yield from complaints(item, schema["properties"][key], whole, f"{place}.{key}")
    if isinstance(value, list):
        for item in value:
            yield from complaints(item, schema["items"], whole, f"{place}[]")


@pytest.mark.parametrize("path", JOBS + MILLS, ids=lambda path: path.name)
def test_examples_are_valid(path: Path) -> None:
    schema = job_schema() if path in JOBS else mill_schema()
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    assert list(complaints(tables, schema, schema)) == []


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("job_misspelt_keys", {".cut.stepovr: unknown", ".cut.stepover: missing", ".tolerances: unknown"}),
        ("job_vice", {".clamping.grip: not one of ['vise', 'plate']"}),
        ("job_sections_table", {".sections: not a array"}),
        ("job_bar", {".kind: not block", ".flats: unknown"}),
        ("mill_misspelt_keys", {".max_feed: unknown", ".feed_max: missing", ".axes.x.back_lash: unknown"}),
    ],
)
def test_wrong_files_are_not(name: str, found: set[str]) -> None:
    schema = job_schema() if name.startswith("job_") else mill_schema()
    tables = tomllib.loads((ROOT / "fixtures" / "wrong" / f"{name}.toml").read_text(encoding="utf-8"))
    assert found <= set(complaints(tables, schema, schema))


@pytest.mark.parametrize("schema", [job_schema(), mill_schema()], ids=lambda schema: schema["title"])
def test_every_key_is_described_and_no_other_allowed(schema: dict[str, Any]) -> None:
    for table in (schema, *schema["$defs"].values()):
        assert table["additionalProperties"] is False
        assert "default" not in table
        for key, described in table["properties"].items():
            assert described.get("description"), key


def test_lengths_are_numbers_or_text() -> None:
    width = job_schema()["$defs"]["Stock"]["properties"]["width"]
    assert {"number", "string"} <= {choice["type"] for choice in width["anyOf"]}
    assert job_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_arrays_have_their_lengths() -> None:
    tables = mill_schema()["$defs"]

    def lengths(table: str, key: str) -> tuple[int | None, int | None]:
        schema = tables[table]["properties"][key]
        schema = schema["anyOf"][0] if "anyOf" in schema else schema
        return schema["minItems"], schema.get("maxItems")

    assert lengths("WrittenAxis", "travel") == (2, 2)
    assert lengths("WrittenSpindle", "rpm") == (2, 2)
    assert lengths("WrittenSpindle", "speeds") == (1, None)
    assert lengths("ToolChange", "at") == (3, 3)
    assert lengths("Vise", "body") == (3, 3)
    assert [lengths("KeepOut", axis) for axis in "xyz"] == [(2, 2)] * 3
    assert lengths("TableTop", "x") == (2, 2)


def test_reference_points_have_their_names() -> None:
    schema = mill_schema()["properties"]["reference_points"]
    assert schema["propertyNames"] == {"enum": ["G28", "G30"]}
