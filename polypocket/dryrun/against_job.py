"""Programs run through the stock of the job that they are to make."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.dryrun.as_cut import measure
from polypocket.dryrun.context import Context
from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.cutter_check import cutter_faults
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.leftover import leftovers
from polypocket.dryrun.material import start
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.part import levels_of
from polypocket.dryrun.paths import Paths
from polypocket.dryrun.simulation import scene_of, simulate
from polypocket.dryrun.tolerance_check import tolerance_faults
from polypocket.dryrun.watcher import Watcher
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.progress import Progress
from polypocket.reader.track import Track

__all__ = ["dry_run_against"]

#: After so many motions it is told again how far a program has come. No source.
_MOTIONS_TO_TELL = 64


def dry_run_against(
    job: BlockJob,
    tracks: Sequence[Track],
    paths: Sequence[Paths],
    mill: Mill,
    turn: float,
    progress: Progress,
    watcher: Watcher | None = None,
) -> tuple[list[Fault], tuple[AsCut, ...]]:
    """Run programs through a job's stock, turned by ``turn`` radians; return what is wrong and each section as cut."""
    motions = [motions_of(each) for each in paths]
    levels = levels_of(job, turn)
    material = start(job, (motion for each in motions for motion in each), turn)
    faults: list[Fault] = []
    for track, each in zip(tracks, motions, strict=True):
        context = Context(track.name, track.units, mill, job, levels, turn)
        faults += cutter_faults(context, track)
        if watcher is not None:
            watcher.begins(track, material)
        material, found = simulate(
            scene_of(context), _watched(each, f"cutting {track.name}", progress), material, watcher
        )
        faults += found
    measured = measure(job, levels, material, turn)
    if tracks:
        line = _last_line(tracks[-1])
        last = Context(tracks[-1].name, tracks[-1].units, mill, job, levels, turn)
        left = list(leftovers(last, material, line))
        faults += left
        faults += tolerance_faults(last, measured, line, {fault.key for fault in left})
    return faults, tuple(slabs[0] for slabs in measured if slabs)


def _watched(motions: Sequence[Motion], stage: str, progress: Progress) -> Iterator[Motion]:
    for number, motion in enumerate(motions):
        if number % _MOTIONS_TO_TELL == 0:
            progress(stage, number / len(motions))
        yield motion


def _last_line(track: Track) -> int:
    return int(track.line[-1]) if len(track) else 1
