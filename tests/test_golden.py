"""The expected programs stand as they are written today; `make golden` writes them anew."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

_spec = importlib.util.spec_from_file_location("golden", Path(__file__).with_name("golden.py"))
assert _spec is not None
assert _spec.loader is not None
golden = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(golden)


@pytest.mark.parametrize(("job", "mill", "post"), golden.EXPECTED)
def test_expected_program(job: str, mill: str, post: str) -> None:
    texts = golden.texts_of(job, mill, post)
    assert texts == {
        path: path.read_text(encoding="utf-8")
        for path in golden.PROGRAMS.glob("*.nc")
        if (path.name + ".").startswith((f"{Path(job).stem}.{post}.", f"{Path(job).stem}.{post}-"))
    }


def test_no_program_is_left_over() -> None:
    expected = {(Path(job).stem, post) for job, _, post in golden.EXPECTED}
    there = {
        tuple(path.name.split("-")[0].removesuffix(".nc").split(".")) for path in golden.PROGRAMS.iterdir()
    }
    assert there == expected
