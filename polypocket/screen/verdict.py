"""What a dry run found, on the screen."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.dryrun import AsCut, AxisTravel, DryRun, Finding
from polypocket.screen.columns import columns, duration
from polypocket.screen.lengths import Lengths
from polypocket.units import Units

__all__ = ["findings_lines", "verdict_lines"]

#: Findings told on the screen: more, and something else is wrong than each of them. No source.
_MOST_TOLD = 50


def verdict_lines(verdict: DryRun, units: Units) -> Iterator[str]:
    """Yield findings, the part as cut, travel and times; lengths in ``units``."""
    lengths = Lengths(units)
    yield from findings_lines(verdict)
    if verdict.as_cut:
        yield ""
        yield from _as_cut(verdict, lengths)
    else:
        yield "Judged without a job: not what it cuts, nor what it meets, nor how long each cutter is."
        yield "To have that judged, name the job with --job."
    yield ""
    yield from _travel(verdict, lengths)
    yield ""
    yield (
        f"  {duration(verdict.seconds)} at the mill: {lengths.whole(verdict.feed_length)} {lengths.unit} at a feed, "
        f"{lengths.whole(verdict.rapid_length)} {lengths.unit} at rapid"
    )


def findings_lines(verdict: DryRun) -> Iterator[str]:
    """Yield the count of errors and warnings, then each with what to do about it."""
    errors = sum(finding.severity == "error" for finding in verdict.findings)
    warnings = len(verdict.findings) - errors
    if not verdict.findings:
        yield "Dry run: nothing found"
        return
    yield f"Dry run: {_count(errors, 'error')}, {_count(warnings, 'warning')}"
    for finding in verdict.findings[:_MOST_TOLD]:
        yield from _finding(finding)
    more = len(verdict.findings) - _MOST_TOLD
    if more > 0:
        yield f"  and {more} more; --json tells them all"


def _finding(finding: Finding) -> Iterator[str]:
    yield f"  {finding.program}:{finding.line}:{finding.column}: {finding.severity} {finding.code}: {finding.message}"
    if finding.fix:
        yield f"      {finding.fix}"


def _as_cut(verdict: DryRun, lengths: Lengths) -> Iterator[str]:
    yield "As cut, measured on what the program leaves standing"
    for part in verdict.as_cut:
        yield ""
        worst = (
            "unknown" if part.worst_angle_error is None else f"{math.degrees(part.worst_angle_error):.4f}°"
        )
        yield f"  {part.feature}: worst angle between neighbours off by {worst}"
        yield from columns(_flats(part, lengths), indent="    ")


def _flats(part: AsCut, lengths: Lengths) -> list[list[str]]:
    rows = [["flat", "faces", "across flats", ""]]
    for number, (size, normal) in enumerate(zip(part.across_flats, part.normals, strict=True), start=1):
        rows.append(
            [
                str(number),
                "–" if normal is None else f"{round(math.degrees(normal), 4) % 360.0:z.4f}",
                lengths.text(size),
                "left as the stock has it" if number in part.not_cut else "",
            ]
        )
    return rows


def _travel(verdict: DryRun, lengths: Lengths) -> Iterator[str]:
    def row(axis: str, travel: AxisTravel) -> list[str]:
        places = (travel.limit_low, travel.low, travel.high, travel.limit_high)
        return [axis.upper(), *(lengths.text(place, fewer=2) for place in places)]

    head = [f"machine, {lengths.unit}", "travel from", "used from", "used to", "travel to"]
    yield from columns([head, *(row(axis, travel) for axis, travel in verdict.travel.items())])


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
