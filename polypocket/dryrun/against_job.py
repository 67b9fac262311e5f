"""Programs run through the stock of the job that they are to make."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import islice

from polypocket.dryrun.as_cut import measure
from polypocket.dryrun.context import Context
from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.cutter_change import change_height_faults
from polypocket.dryrun.cutter_check import cutter_faults
from polypocket.dryrun.edges import edge_faults
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.in_the_way import in_the_way
from polypocket.dryrun.leftover import leftovers
from polypocket.dryrun.material import start, turned
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.part import levels_of
from polypocket.dryrun.paths import Paths
from polypocket.dryrun.settable import units_read
from polypocket.dryrun.simulation import scene_of, simulate
from polypocket.dryrun.told_flats import told_flat_faults
from polypocket.dryrun.tolerance_check import tolerance_faults
from polypocket.dryrun.waiting import waits_of
from polypocket.dryrun.watcher import Watcher
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settable import step_of
from polypocket.progress import Progress
from polypocket.reader.track import Asked, Track

__all__ = ["dry_run_against"]

#: From which row on the swivel base is set to what, radians.
Settings = tuple[tuple[int, float], ...]

#: After so many motions it is told again how far a program has come. No source.
_MOTIONS_TO_TELL = 64


def dry_run_against(
    job: BlockJob,
    tracks: Sequence[Track],
    paths: Sequence[Paths],
    mills: Sequence[Mill],
    settings: Sequence[Settings],
    progress: Progress,
    watcher: Watcher | None = None,
) -> tuple[list[Fault], tuple[AsCut, ...]]:
    """Run programs through a job's stock, turned as each has it; return what is wrong and each section as cut.

    ``mills`` are those on which the programs run, each with its zero; ``settings`` tell for each program from which of
    its rows on the work stands turned by how much, radians.
    """
    motions = [motions_of(each) for each in paths]
    turn = settings[0][0][1] if settings else 0.0
    material = start(job, (motion for each in motions for motion in each), turn)
    faults: list[Fault] = []
    for track, columns, each, mill, told in zip(tracks, paths, motions, mills, settings, strict=True):
        was, first = turn, told[0][1]
        material, turn = turned(material, first - turn), first
        faults += cutter_faults(
            Context(track.name, track.units, mill, job, levels_of(job, turn), turn), track
        )
        faults += told_flat_faults(track, mill, job, _slack(track, mill))
        faults += change_height_faults(track, columns, max(0.0, job.clamping.clamp_height))
        if watcher is not None:
            watcher.begins(track, material)
        waits = waits_of(track, columns.row)
        watched = iter(_watched(each, f"cutting {track.name}", progress))
        for angle, touched, some in _at_each_setting(track, each, told):
            material = turned(material, angle - turn)
            context = Context(
                track.name, track.units, mill, job, levels_of(job, angle), angle, _slack(track, mill),
                job.cutters[0].cut.clearance if track.by_hand else 0.0,
            )  # fmt: skip
            if some:
                faults += in_the_way(context, track, some, was)
                faults += edge_faults(context, touched, material, some[0].start[2])
            material, found = simulate(
                scene_of(context), islice(watched, len(some)), material, watcher, waits
            )
            faults += found
            turn = was = angle
    levels = levels_of(job, turn)
    measured = measure(job, levels, material, turn)
    if tracks:
        line = _last_line(tracks[-1])
        slack = _slack(tracks[-1], mills[-1])
        last = Context(tracks[-1].name, tracks[-1].units, mills[-1], job, levels, turn, slack)
        left = list(leftovers(last, material, line))
        faults += left
        faults += tolerance_faults(last, measured, line, {fault.key for fault in left})
    return faults, tuple(slabs[0] for slabs in measured if slabs)


def _slack(track: Track, mill: Mill) -> float:
    """Return half the coarsest step that a person sets on X or Y, mm; 0 where a control moves both.

    Readings are whole steps, so that a flat may be out by so much; whether the part bears it, its tolerances tell.
    """
    axes = mill.axes.x, mill.axes.y
    if track.by_hand:
        return max(axis.step(mill.readout) for axis in axes) / 2.0
    units = units_read(track, mill)
    return max((step_of(axis, mill, units) for axis in axes if not axis.driven), default=0.0) / 2.0


def _at_each_setting(
    track: Track, motions: Sequence[Motion], settings: Settings
) -> Iterator[tuple[float, list[Asked], Sequence[Motion]]]:
    """Yield the stretches of a program from one turn, or one touching off, to the next.

    Each with the setting that it has, the edges that are touched before its motions, and these.
    """
    rows = [motion.row for motion in motions]
    edges = [asked for asked in track.asks if asked.kind in ("edge", "corner")]
    # Edges between which nothing moves are touched together.
    first_after = {asked.row: bisect_left(rows, asked.row) for asked in edges}
    at = {bisect_left(rows, row): angle for row, angle in settings}
    begins = sorted({0, *at, *first_after.values()})
    angle = settings[0][1]
    for begin, end in zip(begins, [*begins[1:], len(rows)], strict=True):
        angle = at.get(begin, angle)
        yield angle, [asked for asked in edges if first_after[asked.row] == begin], motions[begin:end]


def _watched(motions: Sequence[Motion], stage: str, progress: Progress) -> Iterator[Motion]:
    for number, motion in enumerate(motions):
        if number % _MOTIONS_TO_TELL == 0:
            progress(stage, number / len(motions))
        yield motion


def _last_line(track: Track) -> int:
    return int(track.line[-1]) if len(track) else 1
