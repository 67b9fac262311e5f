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
    expected = golden.path_of(job, post).read_text(encoding="utf-8")
    assert golden.text_of(job, mill, post) == expected


def test_no_program_is_left_over() -> None:
    expected = {golden.path_of(job, post) for job, _, post in golden.EXPECTED}
    assert set(golden.PROGRAMS.iterdir()) == expected
