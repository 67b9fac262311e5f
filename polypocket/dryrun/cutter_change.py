"""How cutters are changed: with a still spindle, above the work, one at a time, and Z touched off where it must be.

A change is all that is said of cutters while nothing moves: the words that let the mill change (M6) and the comments
that name the cutter, ``(CUTTER 2 DIAMETER 6.000)``. Where the mill has no changer a person puts it in, and M6 has no
business there: what it does differs from control to control. Where the control keeps no lengths another cutter's tip
is at another height, so that a person touches off Z anew at the stop, as ``(TOUCH OFF Z0 WITH CUTTER 2)`` asks.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.paths import Paths
from polypocket.dryrun.tolerances import HEIGHT
from polypocket.model.mill import Mill
from polypocket.reader.track import Asked, Event, Kind, Track

__all__ = ["change_faults", "change_height_faults"]


class _Change(NamedTuple):
    """One change.

    Attributes:
        first, last: rows between which nothing moves: from the first word about a cutter to the next motion, wait or
            turning of the spindle.
        by_mill: rows of M6.
        asked: what comments ask in between.
    """

    first: int
    last: int
    by_mill: tuple[int, ...]
    asked: tuple[Asked, ...]

    def cutters(self, track: Track) -> list[int]:
        """Return the numbers of the cutters that are named, in order, each once."""
        named = {int(track.tool[row]): row for row in self.by_mill}
        named |= {each.number: each.row for each in self.asked if each.kind == "cutter"}
        return sorted(named, key=lambda number: named[number])


def change_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield what is wrong with the changes of the cutter in a program, whatever the job."""
    before: int | None = None
    for change in _changes(track):
        cutters = change.cutters(track)
        line = int(track.line[change.first])
        if change.by_mill and not mill.tool_change.automatic:
            yield _fault(
                track, line, "M6 on a mill whose file has no changer: a control may pass it over, or stop",
                "take it out, and put (CUTTER … DIAMETER …) and M0 there for a person", "no changer",
            )  # fmt: skip
        if len(cutters) > 1:
            named = " and ".join(map(str, cutters))
            yield _fault(
                track, line, f"cutters {named} are named at one change; which of them is in nobody can tell",
                "name the one that is put in, by its number in T and in the comment", "which",
            )  # fmt: skip
        cutter = cutters[-1]
        yield from _hands(track, mill, change, cutter, is_another=before not in (None, cutter))
        before = cutter


def change_height_faults(track: Track, paths: Paths, top: float) -> Iterator[Fault]:
    """Yield a fault for each change of the cutter that is made with the old one lower than ``top``, mm.

    ``top`` is the height of whatever stands highest. The first change is made before the program has moved.
    """
    for change in _changes(track):
        before = int(np.searchsorted(paths.row, change.first)) - 1
        if before < 0:
            continue
        height = float(paths.end[2][before])
        if not height >= top - HEIGHT:
            where = "at a height that is not known" if np.isnan(height) else f"at Z {_text(height, track)}"
            yield _fault(
                track, int(track.line[change.first]), f"the cutter is changed {where}, beside or in the work",
                f"go up first, to Z {_text(top, track)} at least", "height",
            )  # fmt: skip


def _hands(track: Track, mill: Mill, change: _Change, cutter: int, *, is_another: bool) -> Iterator[Fault]:
    """Yield what is wrong where a person has something to do at a change."""
    puts_in = not change.by_mill
    touches_off = is_another and not mill.length_offset
    if not (puts_in or touches_off):
        return
    line = int(track.line[change.first])
    stops = _stops(track, change)
    what = f"put cutter {cutter} in" if puts_in else f"touch off Z with cutter {cutter}"
    if not stops:
        yield _fault(
            track, line, f"the program does not stop for a person to {what}",
            "put M0 on this line or the next", "not waited for",
        )  # fmt: skip
    elif track.rpm[_row_of_hands(change, stops[0])] != 0.0:
        yield _fault(
            track, line, f"the spindle turns while a person is to {what}",
            "stop the spindle (M5) before the stop (M0)", "turning",
        )  # fmt: skip
    # It is asked for before the stop: what stands behind it is read when the program goes on.
    touches = [each for each in change.asked if each.kind == "touch" and each.number == cutter]
    if touches_off and not any(
        stop > each.row or track.line[stop] == each.line for each in touches for stop in stops
    ):
        yield _fault(
            track, line, f"nobody is asked to touch off Z with cutter {cutter}, which is not as long as the one before",
            f"put (TOUCH OFF Z0 WITH CUTTER {cutter}) before the stop (M0)", "not touched off",
        )  # fmt: skip


def _stops(track: Track, change: _Change) -> Sequence[int]:
    """Return the rows of the stops at a change; one may stand before the first word about it, on its line."""
    line = track.line[change.first]
    begin = int(np.searchsorted(track.line, line))
    rows = np.arange(begin, change.last)
    found: list[int] = rows[track.event[begin : change.last] == Event.STOP].tolist()
    return found


def _row_of_hands(change: _Change, stop: int) -> int:
    """Return the row before a person starts the spindle, once the cutter is in, or that of the stop."""
    starts = [each.row for each in change.asked if each.kind == "spindle" and each.value != 0.0]
    return min([stop, *(row - 1 for row in starts)])


def _changes(track: Track) -> Iterator[_Change]:
    rows = np.flatnonzero(track.event == Event.CUTTER).tolist()
    goes_on = track.kind != Kind.EVENT
    goes_on |= (track.event == Event.SPINDLE) & (track.rpm != 0.0)
    ends = np.flatnonzero(goes_on)
    asks = {each.row: each for each in track.asks}
    done = -1
    for row in rows:
        if row < done:
            continue
        at = int(np.searchsorted(ends, row))
        done = int(ends[at]) if at < len(ends) else len(track)
        within = [other for other in rows if row <= other < done]
        yield _Change(
            first=row,
            last=done,
            by_mill=tuple(other for other in within if other not in asks),
            asked=tuple(each for each in track.asks if row <= each.row < done),
        )


def _text(height: float, track: Track) -> str:
    return length_text(height, track.units)


def _fault(track: Track, line: int, message: str, fix: str, key: str) -> Fault:
    return Fault("tool", track.name, line, message, fix, key=key)
