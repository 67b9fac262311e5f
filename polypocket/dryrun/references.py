"""Whether the mill file says where G28 and G30 go."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.model.mill import Mill
from polypocket.reader.track import Track

__all__ = ["reference_faults"]


def reference_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each place that a program goes to and the mill file does not give."""
    rows = np.flatnonzero(track.reference)
    numbers = track.reference[rows]
    for number in sorted(set(numbers.tolist())):
        row = rows[np.argmax(numbers == number)]
        word = f"G{number}"
        if word not in mill.reference_points:
            yield Fault(
                "unread",
                track.name,
                int(track.line[row]),
                f"the mill file does not say where {word} goes, so nobody can tell what is in the way",
                f"put {word} = [X, Y, Z], in machine coordinates, into the mill file's [reference_points]",
                key=word,
            )
