"""How long a program takes and how far it goes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polypocket.cutting.columns import arc_times, feed_times, rapid_times
from polypocket.cutting.time import Kinematics
from polypocket.dryrun.centres import centre_paths
from polypocket.dryrun.paths import Paths
from polypocket.model.mill import Mill
from polypocket.reader.track import Track

__all__ = ["Lengths", "lengths_of", "moving_seconds", "seconds_of"]

#: So many motions are timed together: their columns fit into a processor's cache, as measured.
_PART = 32_768


class Lengths(NamedTuple):
    """Lengths of path, mm."""

    feed: float
    rapid: float


def lengths_of(every: Iterable[Paths]) -> Lengths:
    """Return how far the motions go; those from or to a place that is not known are left out."""
    feed = rapid = 0.0
    for paths in every:
        feed += float(paths.length[paths.is_known & ~paths.is_rapid].sum())
        rapid += float(paths.length[paths.is_known & paths.is_rapid].sum())
    return Lengths(feed, rapid)


def seconds_of(track: Track, mill: Mill) -> float:
    """Return how many seconds a program takes, waiting (G4) and all, without what a person does meanwhile.

    Moves from or to a place that is not known, and feed moves without a feed, take no time here: nobody
    knows it.
    """
    paths, _ = centre_paths(track, mill)
    return moving_seconds(paths, mill) + float(track.dwell.sum())


def moving_seconds(paths: Paths, mill: Mill) -> float:
    """Return how many seconds motions take, each from rest to rest."""
    kinematics = Kinematics.of(mill)
    is_arc = np.zeros(len(paths), dtype=np.bool_)
    is_arc[paths.arcs.at] = True
    parts = (slice(begin, begin + _PART) for begin in range(0, len(paths), _PART))
    return sum(_seconds(paths, part, is_arc[part], kinematics) for part in parts)


def _seconds(paths: Paths, part: slice, is_arc: NDArray[np.bool_], kinematics: Kinematics) -> float:
    delta = paths.end[:, part] - paths.start[:, part]
    rate, known = paths.rate[part], paths.is_known[part]
    rapid = known & paths.is_rapid[part]
    fed = known & ~rapid & (rate > 0.0) & np.isfinite(rate)
    straight, curved = fed & ~is_arc, fed & is_arc
    rate = np.minimum(rate, kinematics.feed_max)
    return float(
        rapid_times(kinematics, delta[:, rapid]).sum()
        + feed_times(kinematics, delta[:, straight], rate[straight]).sum()
        + arc_times(kinematics, paths.length[part][curved], rate[curved]).sum()
    )
