"""The dry run of one job's programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from polypocket.dryrun.as_cut import AsCut, measure
from polypocket.dryrun.context import Context
from polypocket.dryrun.cutter_check import cutter_faults
from polypocket.dryrun.duration import lengths_of, moving_seconds
from polypocket.dryrun.findings import Fault, Finding, findings_of
from polypocket.dryrun.leftover import leftovers
from polypocket.dryrun.limits import limit_faults
from polypocket.dryrun.material import start
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.part import levels_of
from polypocket.dryrun.paths import Paths, paths_of
from polypocket.dryrun.simulation import scene_of, simulate
from polypocket.dryrun.tolerance_check import tolerance_faults
from polypocket.dryrun.travel import AxisTravel, extremes_of, travel_faults, travel_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.progress import Progress, silent
from polypocket.reader.track import Track

__all__ = ["DryRun", "dry_run"]

#: After so many motions it is told again how far a program has come. No source.
_MOTIONS_TO_TELL = 64


@dataclass(frozen=True, slots=True)
class DryRun:
    """What a mill would do with the programs.

    Attributes:
        programs: their names.
        findings: what is wrong, in the order of the programs and lines.
        travel: of the axes ``x``, ``y`` and ``z``.
        seconds: of moving and waiting.
        feed_length, rapid_length: of path, mm.
        as_cut: each section as cut, in the order of the job; none without a job.
    """

    programs: tuple[str, ...]
    findings: tuple[Finding, ...]
    travel: Mapping[str, AxisTravel]
    seconds: float
    feed_length: float
    rapid_length: float
    as_cut: tuple[AsCut, ...]

    @property
    def ok(self) -> bool:
        """Whether no error was found."""
        return not any(finding.severity == "error" for finding in self.findings)


def dry_run(tracks: Sequence[Track], mill: Mill, job: BlockJob | None, progress: Progress = silent) -> DryRun:
    """Judge programs as read, one after another on the same block, and measure the part that they cut.

    Without a job, only what needs none: complaints, limits, travel, times and lengths. The cutter's length
    is taken to be in the work offset's Z, whichever way the control keeps it. ``progress`` is told how far
    each program has come.
    """
    paths = [paths_of(track, mill.work_offset, mill.work_offsets) for track in tracks]
    extremes = [extremes_of(each) for each in paths]
    faults: list[Fault] = []
    for track, each, reach in zip(tracks, paths, extremes, strict=True):
        faults += _complaints(track)
        faults += limit_faults(track, each, mill)
        faults += travel_faults(track, reach, mill)
    as_cut: tuple[AsCut, ...] = ()
    if job is not None:
        found, as_cut = _with_job(tracks, paths, mill, job, progress)
        faults += found
    lengths = lengths_of(paths)
    return DryRun(
        programs=tuple(track.name for track in tracks),
        findings=findings_of(faults),
        travel=travel_of(extremes, mill),
        seconds=sum(
            moving_seconds(each, mill) + float(track.dwell.sum())
            for track, each in zip(tracks, paths, strict=True)
        ),
        feed_length=lengths.feed,
        rapid_length=lengths.rapid,
        as_cut=as_cut,
    )


def _with_job(
    tracks: Sequence[Track], paths: Sequence[Paths], mill: Mill, job: BlockJob, progress: Progress
) -> tuple[list[Fault], tuple[AsCut, ...]]:
    motions = [motions_of(each) for each in paths]
    levels = levels_of(job)
    material = start(job, (motion for each in motions for motion in each))
    faults: list[Fault] = []
    for track, each in zip(tracks, motions, strict=True):
        context = Context(track.name, track.units, mill, job, levels)
        faults += cutter_faults(context, track)
        material, found = simulate(
            scene_of(context), _watched(each, f"cutting {track.name}", progress), material
        )
        faults += found
    measured = measure(job, levels, material)
    if tracks:
        line = _last_line(tracks[-1])
        last = Context(tracks[-1].name, tracks[-1].units, mill, job, levels)
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


def _complaints(track: Track) -> Iterator[Fault]:
    for number, complaint in enumerate(track.complaints):
        yield Fault(
            code=complaint.code,
            program=track.name,
            line=complaint.line,
            message=complaint.text,
            fix=_FIXES.get(complaint.code, "write this line so that every control reads it alike"),
            key=f"complaint {number}",
            column=complaint.column,
        )


_FIXES = {
    "arc-radius": "write the arc's centre with more decimals, or correct it",
    "compensation": "take compensation out (G40) and let the path carry the cutter's radius",
    "end": "end the program as its control wants it",
    "no-feed": "give a feed (F) before it",
    "tool": "say which cutter it is for",
    "units": "say the units once, in the first lines",
}
