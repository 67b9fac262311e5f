"""Whether the spindle turns where a program feeds, as far as it can be told without a job."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault, Severity
from polypocket.dryrun.paths import Paths
from polypocket.reader.track import Track

__all__ = ["spindle_faults"]


def spindle_faults(track: Track, paths: Paths) -> Iterator[Fault]:
    """Yield a fault for feed moves while the spindle stands still, or turns at a speed that was never said.

    Where the material is nobody knows here. Below the work zero, which is usually on its top (common practice, no
    source), or at a height that is not known, such a move is an error, above it a warning.
    """
    lowest = np.fmin(paths.start[2], paths.end[2])
    above = ~np.isnan(paths.start[2] + paths.end[2]) & (lowest >= 0.0)
    fed = ~paths.is_rapid
    for state, those in (
        ("stands still", paths.rpm == 0.0),
        ("turns at a speed that the program never says", np.isnan(paths.rpm)),
    ):
        yield from _told(track, paths, fed & those & ~above, state, "below the work zero", "error")
        yield from _told(track, paths, fed & those & above, state, "above the work zero", "warning")


def _told(
    track: Track, paths: Paths, those: np.ndarray, state: str, where: str, severity: Severity
) -> Iterator[Fault]:
    lines = tuple(dict.fromkeys(paths.line[those].tolist()))
    if lines:
        yield Fault(
            "spindle-stopped",
            track.name,
            lines[0],
            f"feeds {where} while the spindle {state}",
            "give S and M3 before this line",
            key=f"{state} {where}",
            severity=severity,
            lines=lines,
        )
