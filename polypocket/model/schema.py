"""JSON Schema of the files, for editors that complete keys and mark mistakes while a person writes."""

from __future__ import annotations

from typing import Any

from polypocket.model.base import Table
from polypocket.model.job import WrittenBlockJob
from polypocket.model.written_mill import WrittenMill

__all__ = ["job_schema", "mill_schema"]


def job_schema() -> dict[str, Any]:
    """Return the schema of a job file."""
    return _schema(WrittenBlockJob, "polypocket job")


def mill_schema() -> dict[str, Any]:
    """Return the schema of a mill file."""
    return _schema(WrittenMill, "polypocket mill")


def _schema(model: type[Table], title: str) -> dict[str, Any]:
    schema = _without_defaults(model.model_json_schema())
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": title}


def _without_defaults(value: Any) -> Any:  # noqa: ANN401 - any part of a schema
    """Leave out the defaults, which are in mm and radians, not in a file's units; descriptions tell them."""
    if isinstance(value, dict):
        return {key: _without_defaults(item) for key, item in value.items() if key != "default"}
    if isinstance(value, list):
        return [_without_defaults(item) for item in value]
    return value
