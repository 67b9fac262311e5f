"""The data that ships: mills, jobs to try and materials, read from the package ``polypocket_shared``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

__all__ = ["material_notes", "materials", "shipped_job", "shipped_mill", "shipped_mills"]


def shipped_mills() -> tuple[str, ...]:
    """Return the names of the mills that ship, sorted."""
    entries = (entry.name for entry in (files("polypocket_shared") / "machines").iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in entries if name.endswith(".toml")))


def shipped_mill(name: str) -> str:
    """Return the text of a mill that ships.

    Raises:
        KeyError: no such mill ships.
    """
    if name not in shipped_mills():
        raise KeyError(name)
    return (files("polypocket_shared") / "machines" / f"{name}.toml").read_text(encoding="utf-8")


def shipped_job(name: str) -> str:
    """Return the text of a job that ships to be tried, such as ``valve_stem_block.toml``."""
    return (files("polypocket_shared") / "jobs" / name).read_text(encoding="utf-8")


@cache
def materials() -> Mapping[str, str]:
    """Return the materials that a job may name: key and what it is called."""
    return MappingProxyType({key: table["name"] for key, table in material_notes().items()})


@cache
def material_notes() -> Mapping[str, Mapping[str, str]]:
    """Return all that is said of each material: ``name``, and ``chips`` and ``fluid`` for the sheet."""
    tables = tomllib.loads((files("polypocket_shared") / "materials.toml").read_text(encoding="utf-8"))
    return MappingProxyType(
        {
            key: MappingProxyType({name: str(text) for name, text in table.items()})
            for key, table in tables.items()
        }
    )
