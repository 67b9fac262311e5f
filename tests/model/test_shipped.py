"""The data that ships."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from polypocket.model.shipped import materials, shipped_mill, shipped_mills

SHARED = Path(__file__).parents[2] / "shared"


def test_materials_have_a_name_each() -> None:
    tables = tomllib.loads((SHARED / "materials.toml").read_text(encoding="utf-8"))
    assert materials() == {key: table["name"] for key, table in tables.items()}
    assert {"aluminium-6061", "brass", "acetal"} <= set(materials())
    assert len(set(materials().values())) == len(materials())


def test_mills_are_the_files_in_the_folder() -> None:
    assert set(shipped_mills()) == {path.stem for path in (SHARED / "machines").glob("*.toml")}
    assert len(shipped_mills()) >= 3
    for name in shipped_mills():
        text = shipped_mill(name)
        assert text == (SHARED / "machines" / f"{name}.toml").read_text(encoding="utf-8")
        assert "All numbers are invented" in text


@pytest.mark.parametrize("name", ["none", "", "../materials", "bench-mill.toml"])
def test_names_that_do_not_ship(name: str) -> None:
    with pytest.raises(KeyError):
        shipped_mill(name)
