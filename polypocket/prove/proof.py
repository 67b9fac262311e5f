"""What a proof is: programs as written, what their dry run found, and how a text is dry-run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, NamedTuple

from polypocket.dryrun import DryRun, Watcher, dry_run
from polypocket.errors import InputError, MistakesError
from polypocket.model.fits import mistakes_on_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.post import Post
from polypocket.program import Program
from polypocket.progress import Progress, silent
from polypocket.reader import read

if TYPE_CHECKING:
    from polypocket.plan.stage import Stage
    from polypocket.prove.placing import Placed

__all__ = [
    "Proof",
    "Written",
    "dry_run_of_text",
    "part_name",
    "require_fit",
    "require_pass",
    "resolution_of",
]

#: The share of the angle's tolerance that rounding of coordinates may take. Common practice, no source.
_ROUNDING_SHARE = 0.1


class Written(NamedTuple):
    """One program.

    Attributes:
        name: as findings call it.
        program: the neutral program.
        text: as the post wrote it.
        clamping: what a person does for the clamping that it is for, where there are several.
    """

    name: str
    program: Program
    text: str
    clamping: tuple[str, ...] = ()


class Proof(NamedTuple):
    """The programs of a job and what their dry run found.

    Attributes:
        before: what is taken to have been run already, on the same stock.
        parts: what is to be run, in order.
        verdict: of the dry run of all their texts; travel, times and lengths are those of ``parts``.
        placed: the setting and the work zero that it holds for.
        stages: the plan section by section, in the order in which they are cut; none of a sheet.
        is_sheet: whether a person reads them and not a control.
        clampings: setting and zero of each part, where there is more than one.
    """

    before: tuple[Written, ...]
    parts: tuple[Written, ...]
    verdict: DryRun
    placed: Placed
    stages: tuple[Stage, ...]
    is_sheet: bool = False
    clampings: tuple[Placed, ...] = ()

    @property
    def programs(self) -> tuple[Program, ...]:
        """The neutral programs of the parts."""
        return tuple(part.program for part in self.parts)


def require_fit(job: BlockJob, mill: Mill, source: str) -> None:
    """Make sure that a mill can make a job.

    Raises:
        MistakesError: it cannot; all the reasons together.
    """
    mistakes = mistakes_on_mill(job, mill)
    if mistakes:
        raise MistakesError(source, mistakes)


def require_pass(number: int, passes: int) -> None:
    """Make sure that a program of so many passes can begin with one.

    Raises:
        InputError: there is no such pass.
    """
    if not 1 <= number <= max(1, passes):
        raise InputError(f"there is no pass {number}; the program has passes 1 to {passes}")


def part_name(name: str, part: int, parts: int) -> str:
    """Return the name of a part: ``block.nc`` is ``block-2.nc`` where there are several."""
    path = PurePath(name)
    return name if parts == 1 else str(path.with_name(f"{path.stem}-{part}{path.suffix}"))


def dry_run_of_text(
    texts: Sequence[tuple[str, str]],
    mill: Mill,
    job: BlockJob | None,
    post: Post,
    done: int = 0,
    progress: Progress = silent,
    mills: Sequence[Mill] = (),
    watcher: Watcher | None = None,
) -> DryRun:
    """Read programs, each given as name and text, as the post's control would, and dry-run them in order.

    The first ``done`` of them have been run already: they cut, but their travel and times do not count.
    ``mills`` as for ``dry_run``.
    """
    if post.dialect.is_sheet:
        from polypocket.reader.sheet import read_sheet  # late: few mills have no control

        tracks = [read_sheet(text, name=name, file=i) for i, (name, text) in enumerate(texts)]
    else:
        tracks = [
            read(text, post.dialect, name=name, file=i, progress=progress)
            for i, (name, text) in enumerate(texts)
        ]
    return dry_run(tracks, mill, job, done, progress, mills, watcher)


def resolution_of(job: BlockJob) -> float:
    """How fine coordinates should be for the job's angle, mm.

    A flat's ends are each out by half a step on both axes at the most, so that its direction is out by at most
    √2 · step / side, and the angle between two neighbours by twice that.
    """
    side = min(section.polygon().side for section in job.sections)
    return _ROUNDING_SHARE * job.tolerance.angle * side / (2.0 * math.sqrt(2.0))
