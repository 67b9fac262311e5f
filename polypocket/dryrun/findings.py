"""What the dry run finds wrong, and how many like it become one finding."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Literal, NamedTuple

from polypocket.units import MM_PER_INCH

__all__ = ["Fault", "Finding", "Severity", "findings_of", "length_text", "rate_text"]

Severity = Literal["error", "warning"]

#: Findings of one program and code; what comes after becomes one more. A program whose reading is given up makes
#: fewer, so this is for a list of speeds without end and the like. No source.
_MOST_OF_A_CODE = 1000


class Finding(NamedTuple):
    """One thing wrong in a program.

    Attributes:
        code: one of the finding codes.
        severity: ``error`` or ``warning``.
        program: the program's name.
        line: from 1.
        column: from 1; 1 where only the line is known.
        message: what is wrong, with numbers in the program's units.
        fix: what to do about it.
    """

    code: str
    severity: Severity
    program: str
    line: int
    column: int
    message: str
    fix: str


class Fault(NamedTuple):
    """A finding at one row, or at many alike; faults with the same code and key become one finding.

    Attributes:
        code: a finding code.
        program: the program's name.
        line: from 1; of the worst row where there are many.
        message: with the numbers of this row.
        fix: what to do.
        key: what tells it from others of its code, such as a feature and flat.
        amount: how bad it is; the worst one's numbers are told.
        severity: ``error`` or ``warning``.
        column: from 1.
        lines: where there are many rows, the lines of all, from the first on.
    """

    code: str
    program: str
    line: int
    message: str
    fix: str
    key: str = ""
    amount: float = 0.0
    severity: Severity = "error"
    column: int = 1
    lines: tuple[int, ...] = ()

    @property
    def every_line(self) -> tuple[int, ...]:
        """The lines that it tells of, from the first on."""
        return self.lines or (self.line,)


def findings_of(faults: Iterable[Fault]) -> tuple[Finding, ...]:
    """Make one finding of all the faults alike, placed at the first, told with the numbers of the worst.

    A mistake of the plan repeats on every pass; a list of hundreds hides what else is wrong. In the order
    of the programs and lines.
    """
    alike: dict[tuple[str, str, Severity, str], list[Fault]] = {}
    counts: Counter[tuple[str, str]] = Counter()
    programs: dict[str, int] = {}
    for fault in faults:
        programs.setdefault(fault.program, len(programs))
        key = (fault.program, fault.code, fault.severity, fault.key)
        if key not in alike:
            counts[key[:2]] += 1
            if counts[key[:2]] > _MOST_OF_A_CODE:
                key = (*key[:3], "and all the others")
        alike.setdefault(key, []).append(fault)
    findings = [_one(group) for group in alike.values()]
    return tuple(sorted(findings, key=lambda f: (programs[f.program], f.line, f.column)))


def length_text(length: float, units: str | None) -> str:
    """Return a length in mm as a person reads it in the program's units (mm where they are not known)."""
    if units == "inch":
        return f"{length / MM_PER_INCH:.4f} in"
    return f"{length:.3f} mm"


def rate_text(rate: float, units: str | None) -> str:
    """Return a feed in mm/min as a person reads it in the program's units."""
    if units == "inch":
        return f"{rate / MM_PER_INCH:.2f} in/min"
    return f"{rate:.0f} mm/min"


def _one(alike: list[Fault]) -> Finding:
    first = min(alike, key=lambda fault: (fault.every_line[0], fault.column))
    worst = max(alike, key=lambda fault: fault.amount)
    lines = {line for fault in alike for line in fault.every_line}
    line = first.every_line[0]
    message = worst.message
    if len(lines) > 1:
        place = f", the worst in line {worst.line}" if worst.line != line else ""
        message += f" ({len(lines)} lines like this{place})"
    return Finding(first.code, first.severity, first.program, line, first.column, message, first.fix)
