"""What all the models have in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

__all__ = ["SharedTable", "Table"]


class Table(BaseModel):
    """A table of a file, or what it means: frozen, and every key known."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class SharedTable(Table):
    """A table that stands in several models, in what a file has and in what it means: they take it ready made."""

    model_config = ConfigDict(defer_build=False)
