"""A bar on the terminal for work that takes more than a moment; nothing where the output goes elsewhere."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

__all__ = ["ProgressBar"]

#: What takes less than this many seconds needs no bar: a person's thought is not broken off. No source.
_PATIENCE = 1.0


class ProgressBar:
    """A context; call it with a stage and the share of it that is done (``polypocket.progress.Progress``)."""

    def __init__(self) -> None:
        self._shows = sys.stderr.isatty()
        self._begin = time.monotonic()
        self._bar: Progress | None = None
        self._stages: dict[str, TaskID] = {}

    def __enter__(self) -> ProgressBar:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()

    def __call__(self, stage: str, share: float) -> None:
        """Show how far a stage has come."""
        if not self._shows or time.monotonic() - self._begin < _PATIENCE:
            return
        if self._bar is None:
            self._bar = _started()
        if stage not in self._stages:
            for task in self._stages.values():
                self._bar.update(task, completed=1.0)
            self._stages[stage] = self._bar.add_task(stage, total=1.0)
        self._bar.update(self._stages[stage], completed=share)


def _started() -> Progress:
    from rich.console import Console  # late: most commands show no bar
    from rich.progress import Progress

    bar = Progress(console=Console(stderr=True), transient=True)
    bar.start()
    return bar
