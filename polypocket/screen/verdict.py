"""What a dry run found, on the screen."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from polypocket.dryrun import AsCut, DryRun, Finding
from polypocket.screen.columns import columns, duration
from polypocket.screen.lengths import Lengths
from polypocket.units import Units

__all__ = ["findings_lines", "other_dialects_lines", "time_by_hand", "verdict_lines"]

#: Findings told on the screen: more, and something else is wrong than each of them. No source.
_MOST_TOLD = 50

#: Findings of one kind told where a control does not take the lines: one is like the other. No source.
_MOST_OF_A_KIND = 3

#: What differs between two lines of which the same is wrong: what is quoted, numbers, and words with their number.
_NUMBERS = re.compile(r"'.*'|[A-Z]?[+-]?[0-9]+(?:\.[0-9]*)?")


def verdict_lines(verdict: DryRun, units: Units, *, by_hand: bool = False) -> Iterator[str]:
    """Yield findings, the part as cut, travel and times; lengths in ``units``.

    ``by_hand``: the motions are those of a person at the handwheels.
    """
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
    cut, between = (
        f"{lengths.whole(mm)} {lengths.unit}" for mm in (verdict.feed_length, verdict.rapid_length)
    )
    if by_hand:
        yield f"  {time_by_hand(verdict.seconds)}:"
        yield f"  {cut} at a feed, {between} between. Setting, touching off, measuring and checks come on top."
    else:
        yield f"  {duration(verdict.seconds)} at the mill: {cut} at a feed, {between} at rapid"


def time_by_hand(seconds: float) -> str:
    """Return what the time of a sheet is: no machine goes by it, and most of what a person does is not in it."""
    return f"{duration(seconds)} of turning handwheels alone, as fast as the mill file has it"


def findings_lines(verdict: DryRun) -> Iterator[str]:
    """Yield the count of errors and warnings, then each with what to do about it."""
    errors = sum(finding.severity == "error" for finding in verdict.findings)
    warnings = len(verdict.findings) - errors
    if not verdict.findings:
        yield "Dry run: nothing found"
        return
    yield f"Dry run: {_count(errors, 'error')}, {_count(warnings, 'warning')}"
    told, alike = _few_of_a_kind(verdict.findings)
    fixes: set[str] = set()
    for finding in told[:_MOST_TOLD]:
        yield from _finding(finding, is_told=finding.code == "unread" and finding.fix in fixes)
        fixes.add(finding.fix)
    if alike:
        yield f"  and {_count(alike, 'line')} that this control does not take, like those above; --json tells them all"
    more = len(told) - _MOST_TOLD
    if more > 0:
        yield f"  and {more} more; --json tells them all"


def other_dialects_lines(dialect: str, elsewhere: Mapping[str, int]) -> Iterator[str]:
    """Yield that programs look like another dialect than the one they were read in, if they do."""
    if not elsewhere:
        return
    with_none = [name for name, complaints in elsewhere.items() if not complaints]
    names = with_none or list(elsewhere)
    lines = "its lines" if with_none else "nearly all of its lines"
    yield f"This looks like another dialect than {dialect}: {' and '.join(names)} would take {lines}."
    yield "If the mill file names the wrong one, put it right there, by what polypocket posts tells; do not guess."
    yield ""


def _few_of_a_kind(findings: Sequence[Finding]) -> tuple[list[Finding], int]:
    """Return findings with no more than a few of each kind of line that is not taken, and how many are left out."""
    kinds: Counter[tuple[str, str]] = Counter()
    few: list[Finding] = []
    for finding in findings:
        if finding.code == "unread":
            kind = finding.program, _NUMBERS.sub("", finding.message)
            kinds[kind] += 1
            if kinds[kind] > _MOST_OF_A_KIND:
                continue
        few.append(finding)
    return few, len(findings) - len(few)


def _finding(finding: Finding, *, is_told: bool = False) -> Iterator[str]:
    yield f"  {finding.program}:{finding.line}:{finding.column}: {finding.severity} {finding.code}: {finding.message}"
    if finding.fix and not is_told:
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
    """Yield how far each axis goes in the machine, or from the work zero where no home switches tell that."""

    def row(axis: str, *places: float | None) -> list[str]:
        return [axis.upper(), *(lengths.text(place, fewer=2) for place in places)]

    axes = verdict.travel.items()
    if all(travel.limit_low is None for _, travel in axes):
        head = [f"from work zero, {lengths.unit}", "room from", "to"]
        yield from columns([head, *(row(axis, travel.low, travel.high) for axis, travel in axes)])
        return
    head = [f"machine, {lengths.unit}", "travel from", "used from", "used to", "travel to"]
    ends = ((axis, travel.limit_low, travel.low, travel.high, travel.limit_high) for axis, travel in axes)
    yield from columns([head, *(row(*each) for each in ends)])


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
