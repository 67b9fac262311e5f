"""Where the cutter's centre goes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from polypocket.dryrun.findings import Fault
from polypocket.dryrun.motions import motions_of, paths_of_motions
from polypocket.dryrun.paths import Paths, paths_of
from polypocket.model.mill import Mill
from polypocket.reader.track import Track

__all__ = ["centre_paths"]


def centre_paths(
    track: Track, mill: Mill, longer: Mapping[int, float] = MappingProxyType({})
) -> tuple[Paths, tuple[Fault, ...]]:
    """Return the motions of the cutter's centre on a mill, in columns, and what hinders it.

    ``longer`` as for ``paths_of``.
    """
    paths = paths_of(track, mill.work_offset, mill.work_offsets, mill.reference_points, longer)
    if not track.compensation_side.any():
        return paths, ()
    from polypocket.dryrun.compensation import (
        centre_path,  # late: most programs carry the cutter's size themselves
    )

    found = centre_path(track, motions_of(paths), mill.cutter_registers.radius)
    return paths_of_motions(found.motions), found.faults
