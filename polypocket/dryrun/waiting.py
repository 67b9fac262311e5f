"""Where a program stops while the spindle turns: in the cut, and where nobody knows whether it still turns behind it.

Nor is a cutter started in the cut, where it would take hold of the work at once (common practice, no source).

ISO 6983-1 has M0 cancel spindle and coolant once the block is done; NISTIR 6556 has the spindle go on (both from
memory). So what turns at a stop either rubs in one place for as long as the person is away, or comes to rest in the
cut; and behind the stop a control may feed with the spindle standing. An optional stop (M1) is one where its switch is
on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Material, meets
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.paths import XY_PLANE
from polypocket.dryrun.sweeps import Sweepers
from polypocket.dryrun.tolerances import CONTACT
from polypocket.model.mill import Mill
from polypocket.reader.track import Event, Kind, Track

__all__ = ["Wait", "contact_faults", "restart_faults", "waits_of"]

_STOPS = (Event.STOP, Event.OPTIONAL_STOP)


class Wait(NamedTuple):
    """What happens behind a motion where the cutter must not touch the work.

    Attributes:
        line: from 1.
        starts: whether the spindle is started there; where not, the program stops while it turns.
    """

    line: int
    starts: bool


def waits_of(track: Track, rows: NDArray[np.int64]) -> Mapping[int, Wait]:
    """Return behind which of some motions, by their ``rows``, a program stops with a turning spindle, or starts it."""
    turns = track.rpm != 0.0  # NaN is a speed that nobody has said
    starts = turns.copy()
    starts[1:] &= ~turns[:-1]
    stops = np.isin(track.event, _STOPS) & turns
    # Till a person who is asked to has stopped it, it turns where it is.
    stops[1:] |= (track.event[1:] == Event.ASK) & turns[:-1] & ~turns[1:]
    waits: dict[int, Wait] = {}
    for row in np.flatnonzero(stops | starts).tolist():
        before = int(np.searchsorted(rows, row)) - 1
        if before >= 0:
            waits.setdefault(int(rows[before]), Wait(int(track.line[row]), bool(starts[row])))
    return waits


def contact_faults(
    context: Context, wait: Wait, motion: Motion, material: Material, sweepers: Sweepers
) -> Iterator[Fault]:
    """Yield a fault where the cutter touches material at the end of a motion, where the program waits.

    ``material`` is as it stands then; to rub on a wall is to touch it.
    """
    rests = replace(motion, kind=Kind.FEED, start=motion.end, plane=XY_PLANE)
    wider = sweepers(rests, context.job.cutter(motion.tool).radius + 2.0 * CONTACT)
    if not meets(material, rests, wider, anywhere=True):
        return
    if wait.starts:
        what = "the spindle is started in the cut, where the cutter takes hold of the work at once"
    else:
        what = "the program stops in the cut while the spindle turns: the cutter rubs, or comes to rest in the work"
    yield context.fault(
        "spindle-stopped", wait.line, what,
        "go clear of the work first, then stop (M5 and M0) and start again (M3)",
        key=f"in the cut {wait.starts}",
    )  # fmt: skip


def restart_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each stop with a turning spindle behind which a program feeds without starting it again.

    What a person starts at the stop itself turns behind it, as does all that no control can stop.
    """
    if not mill.spindle.controlled or track.by_hand:
        return
    feeds = np.flatnonzero(~np.isin(track.kind, (Kind.EVENT, Kind.DWELL, Kind.RAPID)))
    goes_on = np.flatnonzero(track.kind != Kind.EVENT)
    by_hand = [each.row for each in track.asks if each.kind == "spindle" and each.value != 0.0]
    by_word = np.flatnonzero((track.event == Event.SPINDLE) & (track.rpm != 0.0)).tolist()
    starts = np.array(sorted([*by_hand, *by_word]), dtype=np.int64)
    asked = np.array(by_hand, dtype=np.int64)
    for stop in np.flatnonzero(np.isin(track.event, _STOPS) & (track.rpm != 0.0)).tolist():
        begins = _last_before(goes_on, stop)
        if _last_before(asked, stop) > begins:  # asked since the last motion: for this stop
            continue
        feed, start = _first_after(feeds, stop), _first_after(starts, stop)
        if feed is not None and (start is None or feed < start):
            yield Fault(
                "spindle-stopped", track.name, int(track.line[stop]),
                "stops while the spindle turns; on many controls it stands from there on, and line "
                f"{track.line[feed]} feeds before it is started again",
                "stop it before the stop (M5), and start it behind it (M3)",
                key="not started again",
            )  # fmt: skip


def _last_before(rows: NDArray[np.int64], row: int) -> int:
    at = int(np.searchsorted(rows, row))
    return int(rows[at - 1]) if at else -1


def _first_after(rows: NDArray[np.int64], row: int) -> int | None:
    at = int(np.searchsorted(rows, row, side="right"))
    return int(rows[at]) if at < len(rows) else None
