"""Programs run through the stock of the job that they are to make."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import islice

from polypocket.dryrun.as_cut import measure
from polypocket.dryrun.context import Context
from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.cutter_check import cutter_faults
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.in_the_way import in_the_way
from polypocket.dryrun.leftover import leftovers
from polypocket.dryrun.material import start, turned
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.part import levels_of
from polypocket.dryrun.paths import Paths
from polypocket.dryrun.simulation import scene_of, simulate
from polypocket.dryrun.tolerance_check import tolerance_faults
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.progress import Progress
from polypocket.reader.track import Track

__all__ = ["dry_run_against"]

#: From which row on the swivel base is set to what, radians.
Settings = tuple[tuple[int, float], ...]

#: After so many motions it is told again how far a program has come. No source.
_MOTIONS_TO_TELL = 64


def dry_run_against(
    job: BlockJob,
    tracks: Sequence[Track],
    paths: Sequence[Paths],
    mill: Mill,
    settings: Sequence[Settings],
    progress: Progress,
) -> tuple[list[Fault], tuple[AsCut, ...]]:
    """Run programs through a job's stock, turned as each has it; return what is wrong and each section as cut.

    ``settings`` tell for each program from which of its rows on the work stands turned by how much, radians.
    """
    motions = [motions_of(each) for each in paths]
    turn = settings[0][0][1] if settings else 0.0
    material = start(job, (motion for each in motions for motion in each), turn)
    faults: list[Fault] = []
    for track, each, told in zip(tracks, motions, settings, strict=True):
        faults += cutter_faults(
            Context(track.name, track.units, mill, job, levels_of(job, turn), turn), track
        )
        watched = iter(_watched(each, f"cutting {track.name}", progress))
        for angle, some in _at_each_setting(each, told):
            material = turned(material, angle - turn)
            context = Context(track.name, track.units, mill, job, levels_of(job, angle), angle)
            faults += in_the_way(context, track, some, turn) if some else ()
            material, found = simulate(scene_of(context), islice(watched, len(some)), material)
            faults += found
            turn = angle
    levels = levels_of(job, turn)
    measured = measure(job, levels, material, turn)
    if tracks:
        line = _last_line(tracks[-1])
        last = Context(tracks[-1].name, tracks[-1].units, mill, job, levels, turn)
        left = list(leftovers(last, material, line))
        faults += left
        faults += tolerance_faults(last, measured, line, {fault.key for fault in left})
    return faults, tuple(slabs[0] for slabs in measured if slabs)


def _at_each_setting(
    motions: Sequence[Motion], settings: Settings
) -> Iterator[tuple[float, Sequence[Motion]]]:
    """Yield each setting of a program with the motions that are made at it."""
    rows = [motion.row for motion in motions]
    for number, (row, angle) in enumerate(settings):
        beyond = settings[number + 1][0] if number + 1 < len(settings) else math.inf
        yield angle, motions[bisect_left(rows, row) : bisect_left(rows, beyond)]


def _watched(motions: Sequence[Motion], stage: str, progress: Progress) -> Iterator[Motion]:
    for number, motion in enumerate(motions):
        if number % _MOTIONS_TO_TELL == 0:
            progress(stage, number / len(motions))
        yield motion


def _last_line(track: Track) -> int:
    return int(track.line[-1]) if len(track) else 1
