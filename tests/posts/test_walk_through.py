"""DEVELOPERS.md shows how a dialect is written: what stands there works, and is as short as it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from polypocket.errors import InputError
from polypocket.model.files import load_job, load_mill
from polypocket.post import post_named
from polypocket.prove import prove

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def written() -> str:
    (code,) = re.findall(
        r"```python\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), re.DOTALL
    )
    return str(code)


def test_a_dialect_in_under_forty_lines(written: str, tmp_path: Path) -> None:
    assert len(written.splitlines()) < 40
    path = tmp_path / "mine.py"
    path.write_text(written)
    post = post_named(str(path))
    job = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")
    proof = prove(job, load_mill("knee-mill-3-axis"), post, "gate_key.nc")
    assert proof.verdict.findings == ()
    lines = proof.parts[0].text.splitlines()
    assert all(re.match(r"N\d+ ", line) for line in lines[1:-1])
    assert max(map(len, lines)) <= 48
    assert lines[-2].endswith(" M2") and "G49" not in proof.parts[0].text


def test_what_was_forgotten_is_found_by_the_dry_run(written: str, tmp_path: Path) -> None:
    path = tmp_path / "mine.py"
    path.write_text(written.replace('    end_word = "M2"\n', ""))
    job = load_job(ROOT / "fixtures" / "jobs" / "gate_key.toml")
    verdict = prove(job, load_mill("knee-mill-3-axis"), post_named(str(path)), "gate_key.nc").verdict
    assert [finding.code for finding in verdict.findings if "M30 is not known" in finding.message] == [
        "unread"
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("class A(:", "line 1: not Python"),
        ("import nothing_of_this_name", "line 1: ModuleNotFoundError"),
        ("x = 1\ny = x / 0", "line 2: ZeroDivisionError"),
        (
            "from polypocket.post import Post",
            "exactly one subclass of polypocket.post.Post of its own; found: none",
        ),
        ("from polypocket.post import Post\nclass A(Post): ...\nclass B(Post): ...", "found: A, B"),
        (
            "from polypocket.post import Post\nclass A(Post):\n    name = 'a'",
            "does not state its title, traits, dialect",
        ),
    ],
)
def test_a_file_that_holds_no_post_says_why(text: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "mine.py"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        post_named(str(path))
    assert said in str(caught.value)
    assert str(path) in str(caught.value)


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        post_named(str(tmp_path / "mine.py"))
