"""Files that are wrong in the ways people get them wrong, each with the messages it is to be answered with.

The messages stand beside each file, in ``fixtures/wrong/*.txt``, one ``file: place: message`` a line. To
write them anew, and then read the difference: ``python tests/model/test_wrong_files.py``.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from polypocket.errors import InputError
from polypocket.model.files import load_job, load_mill

FOLDER = Path(__file__).parents[2] / "fixtures" / "wrong"
WRONG = sorted(path.name for path in FOLDER.glob("*.toml"))


def answer(name: str) -> str:
    """Return what is said about a file of the present folder."""
    try:
        if name.startswith("job_"):
            load_job(name)
        else:
            load_mill(name)
    except InputError as error:
        return f"{error}\n"
    return "nothing is wrong\n"


def test_there_are_enough_of_them() -> None:
    assert len(WRONG) >= 20
    assert {name.split("_")[0] for name in WRONG} == {"job", "mill"}


@pytest.mark.parametrize("name", WRONG)
def test_answer(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(FOLDER)
    said = answer(name)
    assert said == Path(name).with_suffix(".txt").read_text(encoding="utf-8")
    assert all(line.startswith(f"{name}: ") for line in said.splitlines())


@pytest.mark.parametrize("name", WRONG)
def test_no_words_of_the_libraries(name: str) -> None:
    said = (FOLDER / name).with_suffix(".txt").read_text(encoding="utf-8")
    for words in (
        "Input should",
        "Field required",
        "Extra inputs",
        "Value error",
        "pydantic",
        "NoneType",
        "dict",
    ):
        assert words not in said


if __name__ == "__main__":
    os.chdir(FOLDER)
    for wrong in WRONG:
        Path(wrong).with_suffix(".txt").write_text(answer(wrong), encoding="utf-8")
