"""Whether a program asks the control for what only a person can do on this mill."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.findings import Fault
from polypocket.dryrun.paths import Paths
from polypocket.model.mill import Mill
from polypocket.reader.track import Event, Kind, Track

__all__ = ["undriven_faults"]

#: Turns of a handwheel that differ by less are one, mm: the text tells thousandths.
_SAME_TURN = 1e-3


def undriven_faults(track: Track, paths: Paths, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each axis that a program moves without a drive, and where it switches a spindle without one.

    Likewise where a person is asked to move X or Y though the control drives it.

    Whatever such a word does on a control, the cutter is then not where the program takes it to be, nor does it turn
    as the program says. Of a sheet for a mill worked by hand nothing is asked of a control.
    """
    if track.by_hand:
        yield from _dials(track, mill)
        return
    by_program = track.kind[paths.row] != Kind.EVENT
    for asked in track.asks:
        if asked.kind in ("x", "y") and getattr(mill.axes, asked.kind).driven:
            name = asked.kind.upper()
            yield Fault(
                "travel", track.name, asked.line,
                f"({asked.text}): {name} is driven on this mill, and the control takes it to be where it sent it",
                f"move it by the program: G0 {name}… or G1 {name}…", key=f"driven {name}",
            )  # fmt: skip
    for number, (name, axis) in enumerate(zip("XYZ", (mill.axes.x, mill.axes.y, mill.axes.z), strict=True)):
        if axis.driven:
            continue
        start, end = paths.start[number], paths.end[number]
        moves = by_program & (start != end) & ~(np.isnan(start) & np.isnan(end))
        if lines := _lines(paths.line[moves]):
            example = "Z -10.500" if name == "Z" else f"{name} 42.310"
            ask = f"ask for it at a stop: (SET {example}) and M0"
            yield Fault(
                "travel", track.name, lines[0], f"moves {name}, which has no drive on this mill", ask,
                key=f"undriven {name}", lines=lines,
            )  # fmt: skip
        elif name in track.axis_words:
            # Were it only to where the axis stands: a control without it knows no such word.
            yield Fault(
                "travel", track.name, track.axis_words[name], f"has a word {name}, which has no drive on this mill",
                f"take it out: a control without {name} stops there", key=f"undriven {name}",
            )  # fmt: skip
    if mill.spindle.controlled:
        return
    if lines := _lines(track.line[track.event == Event.SPINDLE]):
        yield Fault(
            "spindle-stopped", track.name, lines[0],
            "switches the spindle, which a person starts and stops on this mill",
            "ask for it at a stop: (START SPINDLE 1000 CLOCKWISE) or (STOP SPINDLE), and M0",
            key="by hand", lines=lines,
        )  # fmt: skip
    ends = np.flatnonzero(track.event == Event.END)
    if len(ends) and ends[0] > 0 and track.rpm[ends[0] - 1] != 0.0:
        yield Fault(
            "end", track.name, int(track.line[ends[0]]), "the program ends while the spindle turns",
            "ask for it to be stopped: (STOP SPINDLE) and M0", key="turning by hand",
        )  # fmt: skip


def _dials(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each axis whose handwheel is another than the one that a sheet is told in."""
    for name, axis in zip("XYZ", (mill.axes.x, mill.axes.y, mill.axes.z), strict=True):
        told = track.dials.get(name)
        on_mill = (
            None
            if axis.dial_turn is None or axis.dial_divisions is None
            else (axis.dial_turn, axis.dial_divisions)
        )
        alike = (
            told == on_mill
            if told is None or on_mill is None
            else abs(told[0] - on_mill[0]) < _SAME_TURN and told[1] == on_mill[1]
        )
        if name in track.dials and not alike:
            yield Fault(
                "units", track.name, 1, f"{name} is told for another dial, or for a readout, than the mill file has",
                "write the sheet for this mill", key=f"dial {name}",
            )  # fmt: skip


def _lines(lines: NDArray[np.int64]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(lines.tolist()))
