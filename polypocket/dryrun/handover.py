"""Whether a program stops where a person's hands are wanted, and leaves the spindle still at its end."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.reader.track import Asked, Event, Kind, Track

__all__ = ["handover_faults"]


def handover_faults(track: Track) -> Iterator[Fault]:
    """Yield a fault for each thing asked of a person that the program does not wait for.

    A stop (M0) stands on the ask's line or after it, before anything moves, waits or turns; an optional stop (M1) is
    none. The spindle stands while a person moves an axis or turns the work. What is asked at one stop does not
    contradict itself. Changes of the cutter are looked at in ``cutter_change``.
    """
    stops = _Stops(track)
    yield from _contradictions(track, stops)
    for asked in track.asks:
        if asked.kind not in ("cutter", "touch") and stops.of(asked) is None:
            yield _not_waited_for(track, asked)
        elif (
            asked.kind in ("x", "y", "height", "swivel") and track.rpm[asked.row] != 0.0 and not track.by_hand
        ):
            yield Fault(
                "tool", track.name, asked.line, f"({asked.text}): the spindle turns while a person does this",
                "stop the spindle before it, and start it after", key=f"turning {asked.kind}",
            )  # fmt: skip
    if len(track) and track.rpm[-1] != 0.0 and not any(each.code == "end" for each in track.complaints):
        yield Fault(
            "end", track.name, int(track.line[-1]), "the program ends while the spindle turns",
            "stop it (M5), and end the program with M30", key="turning",
        )  # fmt: skip


def _contradictions(track: Track, stops: _Stops) -> Iterator[Fault]:
    """Yield a fault where two things are asked at one stop of which only one can be done.

    To stop the spindle and start it again are two that can be done, in this order.
    """
    last: dict[tuple[int, str], Asked] = {}
    for asked in track.asks:
        stop = stops.of(asked)
        if stop is None:  # which is told
            continue
        before = last.get((stop, asked.kind))
        last[stop, asked.kind] = asked
        if before is None or _are_alike(before, asked) or (asked.kind == "spindle" and before.value == 0.0):
            continue
        yield Fault(
            "unread", track.name, asked.line,
            f"({asked.text}): at the same stop line {before.line} asks for ({before.text}); a person cannot do both",
            "ask for the one that is meant, or put a stop (M0) of its own behind each",
            key=f"contradicts {asked.line}",
        )  # fmt: skip


def _are_alike(one: Asked, other: Asked) -> bool:
    """Whether the same is asked for."""
    values = one.value == other.value or (math.isnan(one.value) and math.isnan(other.value))
    return one.number == other.number and values


class _Stops:
    """Finds the stop that gives a person the time to do what is asked."""

    def __init__(self, track: Track) -> None:
        goes_on = track.kind != Kind.EVENT
        goes_on |= (track.event == Event.SPINDLE) & (track.rpm != 0.0)
        goes_on |= track.event == Event.END
        self._line = track.line
        self._stops = np.flatnonzero(track.event == Event.STOP)
        self._goes_on = np.flatnonzero(goes_on)

    def of(self, asked: Asked) -> int | None:
        """Return the row of the stop, ``None`` where the program goes on before there is one."""
        begins = np.searchsorted(self._line, asked.line)  # a stop may stand before the ask on its line
        at = np.searchsorted(self._stops, begins)
        if at == len(self._stops):
            return None
        stop = int(self._stops[at])
        after = np.searchsorted(self._goes_on, asked.row, side="right")
        gone_on = int(self._goes_on[after]) if after < len(self._goes_on) else len(self._line)
        return stop if stop < gone_on else None


def _not_waited_for(track: Track, asked: Asked) -> Fault:
    return Fault(
        "unread",
        track.name,
        asked.line,
        f"({asked.text}): the program does not stop for a person to do this",
        "put M0 on this line or the next",
        key=f"not waited for {asked.kind}",
    )
