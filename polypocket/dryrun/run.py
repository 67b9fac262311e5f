"""The dry run of one job's programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from polypocket.dryrun.centres import centre_paths
from polypocket.dryrun.corners import corner_faults
from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.cutter_change import change_faults
from polypocket.dryrun.doubtful import doubtful_faults
from polypocket.dryrun.duration import lengths_of, moving_seconds
from polypocket.dryrun.findings import Fault, Finding, findings_of
from polypocket.dryrun.handover import handover_faults
from polypocket.dryrun.limits import limit_faults
from polypocket.dryrun.references import reference_faults
from polypocket.dryrun.sequence import sequence_faults
from polypocket.dryrun.settable import setting_faults
from polypocket.dryrun.spindle import spindle_faults
from polypocket.dryrun.table import column_faults, table_faults
from polypocket.dryrun.told_swivel import told_swivel_faults
from polypocket.dryrun.tool_length import length_faults
from polypocket.dryrun.travel import AxisTravel, extremes_of, travel_faults, travel_of
from polypocket.dryrun.turning import turning_of
from polypocket.dryrun.undriven import undriven_faults
from polypocket.dryrun.waiting import restart_faults
from polypocket.dryrun.watcher import Watcher
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.progress import Progress, silent
from polypocket.reader.track import Track

__all__ = ["DryRun", "dry_run"]


class DryRun(NamedTuple):
    """What a mill would do with the programs.

    Attributes:
        programs: their names.
        findings: what is wrong, in the order of the programs and lines.
        travel: of the axes ``x``, ``y`` and ``z``.
        seconds: of moving and waiting.
        feed_length, rapid_length: of path, mm.
        as_cut: each section as cut, in the order of the job; none without a job, nor of a sheet that is unclear.
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


def dry_run(
    tracks: Sequence[Track],
    mill: Mill,
    job: BlockJob | None,
    done: int = 0,
    progress: Progress = silent,
    mills: Sequence[Mill] = (),
    watcher: Watcher | None = None,
) -> DryRun:
    """Judge programs as read, one after another on the same block, and measure the part that they cut.

    Without a job, only what needs none: complaints, limits, travel, keep-outs, times and lengths. The cutter's length
    is taken to be in the work offset's Z, whichever way the control keeps it: where it keeps lengths
    (``length_offset``), the mill file gives the Z at which the tip of the job's first cutter is on the zero; with
    another the spindle is higher by as much as that stands out further. The first
    ``done`` programs have been run already: they cut, but their travel, times and lengths do not count. ``progress``
    is told how far each program has come, ``watcher`` of every motion through a job's stock. ``mills`` are given where
    the zero is elsewhere for each program, one for each: the mill with that zero.
    """
    each_mill = tuple(mills) or (mill,) * len(tracks)
    longer = {cutter.number: job.longer_by(cutter) for cutter in job.cutters} if job is not None else {}
    centres = [centre_paths(track, on, longer) for track, on in zip(tracks, each_mill, strict=True)]
    paths = [each for each, _ in centres]
    extremes = [extremes_of(each, longer) for each in paths]
    turned = turning_of(tracks, mill, job)
    faults: list[Fault] = [*turned.faults, *sequence_faults(tracks)]
    for number, (track, (each, hindrances), reach) in enumerate(zip(tracks, centres, extremes, strict=True)):
        on = each_mill[number]
        faults += _complaints(track)
        faults += hindrances
        faults += limit_faults(track, each, on)
        faults += length_faults(track, on)
        faults += reference_faults(track, on)
        faults += handover_faults(track)
        faults += corner_faults(track)
        faults += told_swivel_faults(track)
        faults += restart_faults(track, on)
        faults += setting_faults(track, on)
        faults += doubtful_faults(track, on)
        faults += change_faults(track, on)
        faults += undriven_faults(track, each, on)
        faults += travel_faults(track, reach, on)
        for angle in turned.angles(number):
            faults += column_faults(track, reach, on, job, angle)
        for angle, some in turned.parts(number, each):
            faults += table_faults(track, some, on, job, angle)
    as_cut: tuple[AsCut, ...] = ()
    if job is None:
        for track, each in zip(tracks, paths, strict=True):
            faults += spindle_faults(track, each)
    elif not any(track.by_hand and track.complaints for track in tracks):  # a sheet ends where it is unclear
        from polypocket.dryrun.against_job import dry_run_against  # late: the geometry is heavy

        found, as_cut = dry_run_against(job, tracks, paths, each_mill, turned.settings, progress, watcher)
        faults += found
    lengths = lengths_of(paths[done:])
    return DryRun(
        programs=tuple(track.name for track in tracks[done:]),
        findings=findings_of(faults),
        travel=travel_of(extremes[done:], each_mill[done:] or (mill,)),
        seconds=sum(
            moving_seconds(each, mill) + float(track.dwell.sum())
            for track, each in zip(tracks[done:], paths[done:], strict=True)
        ),
        feed_length=lengths.feed,
        rapid_length=lengths.rapid,
        as_cut=as_cut,
    )


def _complaints(track: Track) -> Iterator[Fault]:
    for number, complaint in enumerate(track.complaints):
        yield Fault(
            code=complaint.code,
            program=track.name,
            line=complaint.line,
            message=complaint.text,
            fix=_FIXES.get(
                complaint.code,
                "correct this line as the control's manual has it; as it stands nothing can be told of what it does",
            ),
            key=f"complaint {number}",
            column=complaint.column,
        )


_FIXES = {
    "arc-radius": "look at the signs of I and J, at R and at the arc's end; a small difference wants more decimals",
    "compensation": "end compensation first (G40, then a G1 in X and Y), or let the path carry the cutter's radius",
    "end": "end the program as its control wants it",
    "no-feed": "put an F word on this line, or before it where feeds are by the minute (G94)",
    "tool": "say which cutter it is for, or with G43 whose length",
    "units": "say the units once, in the first lines",
}
