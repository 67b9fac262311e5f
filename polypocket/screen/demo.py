"""The demonstration on the screen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from polypocket.dryrun import DryRun
from polypocket.screen.verdict import verdict_lines
from polypocket.units import Units

__all__ = ["DEMO", "demo_lines"]

#: Jobs that ship, and the mill that each is made on.
DEMO = (
    ("valve_stem_block.toml", "knee-mill-3-axis"),
    ("hydrant_key_block.toml", "knee-mill-ballscrews"),
)
#: How much of a program is shown.
_SHOWN = 8


def demo_lines(
    job: Path, machine: str, program: Path, text: str, verdict: DryRun, units: Units
) -> Iterator[str]:
    """Yield a job's program, by its first passes, and its dry run."""
    yield f"polypocket write {job} --machine {machine} -o {program}"
    yield ""
    lines = text.splitlines()
    first = next(number for number, line in enumerate(lines) if "(PASS 1 " in line)
    yield f"  {program}, {len(lines)} lines, from line {first + 1}:"
    for line in islice(lines, first, first + _SHOWN):
        yield f"    {line}"
    yield "    …"
    yield ""
    yield from verdict_lines(verdict, units)
    yield ""
