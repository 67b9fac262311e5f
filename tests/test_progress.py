"""Long runs tell how far they have come: to a terminal, never into a pipe."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from polypocket.post import posts
from polypocket.prove import dry_run_of_text
from polypocket.reader import Dialect, read
from polypocket.reader.table import understands
from polypocket.screen import progress_bar
from polypocket.screen.progress_bar import ProgressBar

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[1]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_reading_tells_its_share() -> None:
    told: list[tuple[str, float]] = []
    lines = 40_000
    read(
        "G21 G90\n" + "G0 X1\n" * lines + "M30",
        Dialect("plain"),
        name="long.nc",
        progress=lambda s, n: told.append((s, n)),
    )
    assert {stage for stage, _ in told} == {"reading long.nc"}
    shares = [share for _, share in told]
    assert len(shares) >= 2
    assert shares == sorted(shares)
    assert 0.0 < shares[0] < shares[-1] <= 1.0


def test_the_run_through_the_stock_tells_its_share() -> None:
    from polypocket.model.files import load_job, load_mill

    told: list[tuple[str, float]] = []
    job, mill = (
        ROOT / "shared" / path for path in ("jobs/valve_stem_block.toml", "machines/knee-mill-3-axis.toml")
    )
    text = (ROOT / "fixtures" / "programs" / "valve_stem_block.rs274ngc.nc").read_text("utf-8")
    post = posts()["rs274ngc"]
    silent = dry_run_of_text([("a.nc", text)], load_mill(str(mill)), load_job(job), post)
    verdict = dry_run_of_text(
        [("a.nc", text)],
        load_mill(str(mill)),
        load_job(job),
        post,
        progress=lambda stage, share: told.append((stage, share)),
    )
    assert verdict == silent
    shares = [share for stage, share in told if stage == "cutting a.nc"]
    assert len(shares) > 5
    assert shares == sorted(shares)
    assert shares[-1] < 1.0


@pytest.mark.parametrize(
    ("stream", "patience", "shows"),
    [(Terminal, -1.0, True), (Terminal, 60.0, False), (io.StringIO, -1.0, False)],
)
def test_a_bar_on_a_terminal_after_a_moment_and_nothing_in_a_pipe(
    stream: Callable[[], io.StringIO], patience: float, shows: bool, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    errors = stream()
    monkeypatch.setattr(sys, "stderr", errors)
    monkeypatch.setattr(progress_bar, "_PATIENCE", patience)
    monkeypatch.setenv("TERM", "xterm")
    with ProgressBar() as progress:
        progress("reading a.nc", 0.25)
        progress("cutting a.nc", 0.5)
    assert ("reading a.nc" in errors.getvalue()) == shows
    assert ("cutting a.nc" in errors.getvalue()) == shows
    assert shows or errors.getvalue() == ""
    assert capsys.readouterr().out == ""


def test_the_dialects_without_coded_words_are_read_many_lines_at_a_time() -> None:
    assert {name for name, post in posts().items() if understands(post.dialect)} == {
        "rs274ngc",
        "iso6983",
        "lean",
    }
