"""Running the commands in this process, and measuring what they take."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from polypocket.cli import main


@dataclass(frozen=True)
class Answer:
    code: object
    out: str
    err: str
    seconds: float


Run = Callable[..., Answer]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command; anything but an exit code comes out as it is, and fails the test."""

    def command(*arguments: object) -> Answer:
        monkeypatch.setattr(sys, "argv", ["polypocket", *map(str, arguments)])
        began = time.process_time()
        try:
            main()
        except SystemExit as end:
            code = end.code or 0
        else:
            code = 0
        seconds = time.process_time() - began
        captured = capsys.readouterr()
        return Answer(code, captured.out, captured.err, seconds)

    return command
