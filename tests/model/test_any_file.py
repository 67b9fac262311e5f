"""Whatever stands in a file, it is loaded or answered with mistakes in plain words, never anything else."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.errors import InputError, MistakesError
from polypocket.model import files
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill

ROOT = Path(__file__).parents[2]
JOB = tomllib.loads((ROOT / "shared" / "jobs" / "valve_stem_block.toml").read_text(encoding="utf-8"))
MILL = tomllib.loads((ROOT / "shared" / "machines" / "knee-mill-3-axis.toml").read_text(encoding="utf-8"))

#: Names of the libraries' own wording, none of which may reach a person.
FOREIGN = (
    "Input should",
    "Field required",
    "Extra inputs",
    "Value error",
    "pydantic",
    "NoneType",
    "Traceback",
)

single = st.one_of(
    st.none(),  # taken for: leave the key out
    st.booleans(),
    st.integers(),
    st.floats(),
    st.dates(),
    st.text(max_size=8),
    st.sampled_from(
        ["stock", "1/2", "-1 in", "0° 6'", "+x", "vise", "plate", "round", "inch", "G54", "2 hp", 0.0, 3]
    ),
)
anything = st.recursive(
    single,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


def paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:  # noqa: ANN401 - any part of a file
    """Return the path of every value in a parsed file."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [(*path, key) for key, _ in items] + [
        inner for key, item in items for inner in paths(item, (*path, key))
    ]


def changes_of(tables: dict[str, Any]) -> st.SearchStrategy[list[tuple[tuple[Any, ...], Any]]]:
    """Draw values to be put in the place of others, or beside them under a new key."""
    beside = [(*path[:-1], "new key") for path in paths(tables)]
    return st.lists(st.tuples(st.sampled_from(paths(tables) + beside), anything), min_size=1, max_size=4)


def changed(tables: dict[str, Any], changes: list[tuple[tuple[Any, ...], Any]]) -> dict[str, Any]:
    result = copy.deepcopy(tables)
    for path, value in changes:
        holder: Any = result
        for key in path[:-1]:
            try:
                holder = holder[key]
            except (TypeError, KeyError, IndexError):  # an earlier change has removed it
                break
        else:
            if isinstance(holder, dict) and value is None:
                holder.pop(path[-1], None)
            elif isinstance(holder, dict) or (isinstance(holder, list) and path[-1] in range(len(holder))):
                holder[path[-1]] = value
    return _without_none(result)


def _without_none(value: Any) -> Any:  # noqa: ANN401 - any part of a file
    """Leave out what TOML cannot say."""
    if isinstance(value, dict):
        return {key: _without_none(item) for key, item in value.items() if item is not None}
    if isinstance(value, list):
        return [_without_none(item) for item in value if item is not None]
    return value


def answer(load: Any, tables: dict[str, Any]) -> BlockJob | Mill | MistakesError:  # noqa: ANN401
    """Load tables as if they had been parsed from a file."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "_parsed", lambda text, source: tables)
        patch.setattr(files, "read_text", lambda path, largest: "")
        try:
            loaded: BlockJob | Mill = load("any.toml")
        except MistakesError as error:
            return error
    return loaded


def judge(result: BlockJob | Mill | InputError) -> None:
    if isinstance(result, MistakesError):
        assert result.mistakes
        for mistake in result.mistakes:
            assert str(mistake).isprintable()
            assert not any(words in mistake.message for words in FOREIGN)


def test_unchanged_they_are_loaded() -> None:
    assert isinstance(answer(files.load_job, changed(JOB, [])), BlockJob)
    assert isinstance(answer(files.load_mill, changed(MILL, [])), Mill)


@settings(max_examples=150)
@given(changes_of(JOB))
def test_any_job(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    judge(answer(files.load_job, changed(JOB, changes)))


@settings(max_examples=150)
@given(changes_of(MILL))
def test_any_mill(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    judge(answer(files.load_mill, changed(MILL, changes)))


@settings(max_examples=100)
@given(st.dictionaries(st.text(max_size=8), anything, max_size=5))
def test_any_tables(tables: dict[str, Any]) -> None:
    for load in (files.load_job, files.load_mill):
        result = answer(load, _without_none(tables))
        assert isinstance(result, MistakesError)
        judge(result)


@settings(max_examples=100)
@given(content=st.binary(max_size=200))
def test_any_bytes(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_bytes(content)
    for load in (files.load_job, files.load_mill):
        with pytest.raises(InputError) as caught:
            load(path)
        judge(caught.value)
