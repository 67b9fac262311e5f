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


@pytest.fixture(scope="module")
def written() -> set[Path]:
    """Return the files of which a test has been made."""
    return set()


@pytest.mark.parametrize(("job", "mill", "post"), golden.EXPECTED)
def test_expected_program(job: str, mill: str, post: str, written: set[Path]) -> None:
    for path, text in golden.texts_of(job, mill, post).items():
        assert path.read_text(encoding="utf-8") == text
        written.add(path)


def test_no_program_is_left_over(written: set[Path]) -> None:
    stems = {(Path(job).stem, post) for job, _, post in golden.EXPECTED}
    for path in golden.PROGRAMS.iterdir():
        stem, post = path.name.split(".")[:2]
        assert (stem, post.partition("-")[0]) in stems
        assert path in written or not written  # with none written this test was run by itself
