"""How far a long piece of work has come, told to whoever shows it; the core prints nothing."""

from __future__ import annotations

from typing import Protocol

__all__ = ["Progress", "silent"]


class Progress(Protocol):
    """What is called now and then during long work."""

    def __call__(self, stage: str, share: float) -> None:
        """Take note that ``share`` (0 to 1) of the stage, such as ``reading part.nc``, is done."""


def silent(stage: str, share: float) -> None:
    """Show nothing."""
