"""What every judgement of a motion needs to know."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.dryrun.findings import Fault, Severity, length_text
from polypocket.dryrun.part import Level
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill

__all__ = ["Context"]


class Context(NamedTuple):
    """One program, the mill that runs it, and the job that it is to do.

    Attributes:
        program: the program's name.
        units: the program's, ``None`` where it never said.
        mill: the mill.
        job: the job.
        levels: of the job's part, from the top down, as it stands on the table.
        slack: by how much surfaces may be out since a person can set no finer, mm; 0 for a control.
        beside: what rapids must keep from the material at their side, mm; 0 for a control, whose rapids only must not
            meet it.
        turn: by which the work stands turned, radians anticlockwise seen from above.
    """

    program: str
    units: str | None
    mill: Mill
    job: BlockJob
    levels: tuple[Level, ...]
    turn: float = 0.0
    slack: float = 0.0
    beside: float = 0.0

    def level_at(self, height: float) -> Level:
        """Return the level that a height is in, the upper one on a boundary, the lowest below them all."""
        return next((level for level in self.levels if level.low <= height < level.high), self._end(height))

    def text(self, length: float) -> str:
        """Return a length as a person reads it in the program's units."""
        return length_text(length, self.units)

    def fault(
        self,
        code: str,
        line: int,
        message: str,
        fix: str,
        *,
        key: str = "",
        amount: float = 0.0,
        severity: Severity = "error",
    ) -> Fault:
        """Return a fault of this program."""
        return Fault(code, self.program, line, message, fix, key, amount, severity)

    def _end(self, height: float) -> Level:
        return self.levels[0] if height >= self.levels[0].low else self.levels[-1]
