"""Whether a control may round the corners of the path off: what it then does is not what is judged here.

In continuous mode (G64) it may leave the path near a corner to keep its feed up, by as much as its maker has it do:
NISTIR 6556 2.1.2.16 (from memory). Round the outside of a block that is inwards, nearer to the part.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.reader.track import Kind, Track

__all__ = ["corner_faults"]

_FED = (Kind.FEED, Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE)


def corner_faults(track: Track) -> Iterator[Fault]:
    """Yield a warning where a program feeds while corners may be rounded off."""
    ends = [*(mode.row for mode in track.path_modes[1:]), len(track)]
    lines = tuple(
        mode.line
        for mode, end in zip(track.path_modes, ends, strict=False)  # without a mode there is nothing to end
        if mode.rounds and np.isin(track.kind[mode.row : end], _FED).any()
    )
    if lines:
        yield Fault(
            "corner-rounding",
            track.name,
            lines[0],
            "lets the control round corners off (G64) to keep its feed up; by how much is not known here, where the "
            "path is followed exactly",
            "write G61 in its place if the control knows it; else learn from its manual how far it leaves the path",
            severity="warning",
            lines=lines,
        )
