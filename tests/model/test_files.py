"""Files that cannot be read or are not TOML, and how a mill is found."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from polypocket.errors import FileError, MistakesError
from polypocket.model.files import load_job, load_mill, read_text, shipped_mills

FIXTURES = Path(__file__).parents[2] / "fixtures"


def refusal(path: Path | str) -> str:
    """Return why the file is refused, without its name."""
    for load in (load_job, load_mill):
        with pytest.raises(FileError) as caught:
            load(path)
        assert str(caught.value).startswith(f"{path}: ")
    return str(caught.value).removeprefix(f"{path}: ")


def written(folder: Path, content: bytes) -> Path:
    path = folder / "file.toml"
    path.write_bytes(content)
    return path


def test_missing(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.toml") == "there is no such file"


def test_in_a_missing_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none" / "job.toml") == "there is no such file"


def test_a_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path) == "is a folder; name a file in it"


def test_not_a_plain_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)  # to open it would wait for a writer for ever
    assert refusal(pipe) == "is not a plain file but a pipe or a device; save what it gives in a file first"


def test_unreadable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, b"")

    def refuse(path: Path, flags: int) -> int:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(os, "open", refuse)
    assert refusal(path) == "cannot be read: permission denied"


def test_a_name_that_no_file_can_have() -> None:
    assert refusal("a\0b.toml") == "cannot be read: embedded null byte"


def test_not_utf_8(tmp_path: Path) -> None:
    path = written(
        tmp_path, 'kind = "block"\n# \u00b0\nname = "\u00e9"'.encode().replace(b"\xc3\xa9", b"\xe9")
    )
    assert refusal(path) == "line 3, column 9: not UTF-8 text; save it as UTF-8"


def test_nul(tmp_path: Path) -> None:
    path = written(tmp_path, b'kind = "block"\nna\0me = "x"')
    assert refusal(path) == "line 2, column 3: a NUL character; this is not a text file, or not UTF-8"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("kind = block", "line 1, column 8: not TOML: Invalid value"),
        ('a = 1\nb == "x"', "line 2, column 4: not TOML: Invalid value"),
        ("[stock]\n[stock]", "line 2, column 7: not TOML: Cannot declare ('stock',) twice"),
        ("a = [1, 2", "line 1, column 10: not TOML: Unclosed array"),
        ("a = 1\n\nb = [1,\n2", "line 4, column 2: not TOML: Unclosed array"),
        ("a = " + "[" * 5000, "not TOML that can be used: nested too deep, or a number too long"),
        ("a = " + "1" * 5000, "not TOML that can be used: nested too deep, or a number too long"),
    ],
)
def test_not_toml(tmp_path: Path, text: str, message: str) -> None:
    assert refusal(written(tmp_path, text.encode())) == message


def test_the_mark_at_the_start_of_a_file_and_other_line_ends(tmp_path: Path) -> None:
    original = FIXTURES.parent / "shared" / "jobs" / "valve_stem_block.toml"
    content = original.read_bytes().replace(b"\n", b"\r\n")
    assert load_job(written(tmp_path, b"\xef\xbb\xbf" + content)) == load_job(original)


def test_text_is_read_as_it_stands(tmp_path: Path) -> None:
    assert read_text(written(tmp_path, b"%\r\nG0 X1\rM2\n")) == "%\r\nG0 X1\rM2\n"


def test_a_mill_by_name_and_by_file() -> None:
    shipped = Path(__file__).parents[2] / "shared" / "machines" / "bench-mill.toml"
    assert load_mill("bench-mill") == load_mill(shipped) == load_mill(str(shipped))


def test_a_file_without_a_suffix_is_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ours").write_bytes((FIXTURES / "mills" / "pulley_head.toml").read_bytes())
    assert load_mill("ours").name == "pulley-head mill"


def test_the_nearest_names_of_an_unknown_mill() -> None:
    with pytest.raises(FileError) as caught:
        load_mill("knee-mill-4-axis")
    assert str(caught.value) == (
        '"knee-mill-4-axis": no mill of this name ships and there is no such file; '
        "nearest: knee-mill-3-axis, knee-mill-by-hand, knee-mill-ballscrews"
    )
    with pytest.raises(FileError) as caught:
        load_mill("zzz")
    assert str(caught.value).endswith(f"; these ship: {', '.join(shipped_mills())}")


def test_a_key_a_thousand_tables_deep(tmp_path: Path) -> None:
    path = written(tmp_path, b"# a.b\n" + ".".join(["a"] * 3000).encode() + b" = 1")
    assert refusal(path) == "line 2, column 1: a key of more than 8 parts; none has so many"


def test_a_key_as_deep_as_may_be(tmp_path: Path) -> None:
    path = written(tmp_path, b" . ".join([b"a", b'"b c"', b"'d'", b"e-f"] * 2) + b" = 1")
    with pytest.raises(MistakesError) as caught:
        load_job(path)
    assert caught.value.mistakes[0].place == "a"


def test_a_file_larger_than_any_job(tmp_path: Path) -> None:
    path = written(tmp_path, b"#" * 50_001)
    assert refusal(path) == "has more than 50000 bytes; is this the right file?"
    assert read_text(path) == "#" * 50_001


def test_a_program_too_large_is_not_read_into_memory(tmp_path: Path) -> None:
    path = tmp_path / "part.nc"
    with path.open("wb") as file:
        file.truncate(64 * 1024 * 1024 + 1)  # a hole: it takes no room on the disk
    with pytest.raises(FileError, match="has more than 67108864 bytes"):
        read_text(path)


def test_a_pipe_that_takes_the_place_of_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, stat = written(tmp_path, b""), os.stat

    def swap(name: Path) -> os.stat_result:
        found = stat(name)
        path.unlink()
        os.mkfifo(path)
        return found

    monkeypatch.setattr(os, "stat", swap)
    with pytest.raises(FileError, match="is not a plain file"):
        read_text(path)


def test_a_link_to_nothing(tmp_path: Path) -> None:
    (tmp_path / "job.toml").symlink_to("none.toml")
    assert refusal(tmp_path / "job.toml") == "there is no such file; it is a link to a file that is not there"


def test_a_link_to_itself(tmp_path: Path) -> None:
    (tmp_path / "job.toml").symlink_to("job.toml")
    assert refusal(tmp_path / "job.toml") == "cannot be read: too many levels of symbolic links"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_other_encodings(tmp_path: Path, encoding: str) -> None:
    assert refusal(written(tmp_path, 'kind = "block"'.encode(encoding))).endswith("UTF-8")
