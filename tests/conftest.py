"""How many generated jobs to try, and what became of them in the summary; no test is timed."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from _pytest.terminal import TerminalReporter

#: Generated jobs in an ordinary run of the tests; 10 000 take about 40 minutes on two cores.
JOBS = 300

# How long an example takes depends on what else the machine does, and is no matter of right or wrong.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("generated jobs")
    group.addoption("--jobs", type=int, default=JOBS, metavar="N", help=f"how many to try (default {JOBS})")
    group.addoption(
        "--first-job",
        type=int,
        default=0,
        metavar="SEED",
        help="seed of the first one; one a job (default 0)",
    )


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """Say how many generated jobs were accepted and refused, with all processes taken together."""
    counts: Counter[str] = Counter()
    for reports in terminalreporter.stats.values():
        for report in reports:
            if getattr(report, "when", None) == "call":
                counts.update(
                    {name: value for name, value in report.user_properties if isinstance(value, int)}
                )
    if counts:
        told = ", ".join(f"{name} {count}" for name, count in sorted(counts.items()))
        terminalreporter.write_sep("-", f"generated jobs: {told}")
