"""What all the models have in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

__all__ = ["Table"]


class Table(BaseModel):
    """A table of a file, or what it means: frozen, and every key known."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
