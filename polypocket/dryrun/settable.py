"""Whether what a person is to set can be set: a readout or a dial has steps, and nothing between them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.tolerances import SETTING
from polypocket.model.mill import Mill
from polypocket.model.settable import step_of
from polypocket.reader.track import Asked, Event, Track
from polypocket.units import Units

__all__ = ["setting_faults", "units_read"]


def units_read(track: Track, mill: Mill) -> Units:
    """Return in which units a person reads what a program asks for."""
    return "inch" if (track.units or mill.units) == "inch" else "mm"


def setting_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each place that a person can only set so nearly, and where a dial is told that is not there.

    Heights above the work zero, in the air, may be anything.
    """
    units = units_read(track, mill)
    last: dict[str, Asked] = {}
    untold: list[Asked] = []  # places whose turns and divisions have not been told yet
    for asked in track.asks:
        if asked.kind.startswith("dial "):
            name = asked.kind.removeprefix("dial ")
            yield from _dial(track, mill, asked, last.get(name))
            if name in last:
                untold = [each for each in untold if not _is_asked_again(track, each, last[name])]
        if asked.kind not in ("x", "y", "height") or math.isnan(asked.value):
            continue  # a place that is asked for before the units is complained of
        name = "z" if asked.kind == "height" else asked.kind
        last[name] = asked
        if name != "z" and getattr(mill.axes, name).dial_turn is not None:
            untold.append(asked)
        if name == "z" and not asked.value < 0.0:
            continue
        step = step_of(getattr(mill.axes, name), mill, units)
        nearest = round(asked.value / step) * step
        if abs(nearest - asked.value) > SETTING:
            yield Fault(
                "size", track.name, asked.line,
                f"{name.upper()} {length_text(asked.value, track.units)} cannot be set, where it goes in steps of "
                f"{length_text(step, track.units)}: whoever sets the nearest is out by "
                f"{length_text(abs(nearest - asked.value), track.units)}",
                f"ask for {length_text(nearest, track.units)}, and plan for it",
                key=f"{asked.kind} {asked.line}", amount=abs(nearest - asked.value),
            )  # fmt: skip
    for asked in untold:
        yield Fault(
            "size", track.name, asked.line,
            f"({asked.text}): {asked.kind.upper()} is read on a dial, and no turns and divisions are told for it",
            f"tell them behind it, as ({asked.kind.upper()} 8 TURNS 15 DIVISIONS PLUS)", key=f"untold {asked.line}",
        )  # fmt: skip


def _dial(track: Track, mill: Mill, told: Asked, asked: Asked | None) -> Iterator[Fault]:
    """Yield a fault where turns and divisions are not those of the place that was asked for before."""
    name = told.kind.removeprefix("dial ")
    axis = getattr(mill.axes, name)
    if axis.dial_turn is None or axis.dial_divisions is None:
        message = f"({told.text}): {name.upper()} has no dial on this mill"
    elif asked is None or not _at_one_stop(track, asked, told):
        message = f"({told.text}): no {name.upper()} is asked for right before it"
    elif math.isnan(asked.value):
        return
    else:
        stands = axis.dial_turn * (told.number + abs(told.value) / axis.dial_divisions)
        stands = math.copysign(stands, told.value)
        if abs(told.value) < axis.dial_divisions and abs(stands - asked.value) <= SETTING:
            return
        message = (
            f"({told.text}): that is {length_text(stands, track.units)}, and ({asked.text}) is asked for"
        )
    yield Fault(
        "size", track.name, told.line, message, "write the program for this mill's dial",
        key=f"dial {told.line}",
    )  # fmt: skip


def _is_asked_again(track: Track, asked: Asked, last: Asked) -> bool:
    """Whether a place is the last that was asked for, or the same one earlier at that stop."""
    between = track.event[asked.row : last.row]
    return (asked.kind, asked.value) == (last.kind, last.value) and not (between == Event.STOP).any()


def _at_one_stop(track: Track, asked: Asked, told: Asked) -> bool:
    """Whether a dial is told right behind the place that is asked for, or behind the stop, on its line."""
    between = slice(asked.row + 1, told.row)
    at_stop = (track.event[between] == Event.STOP) & (track.line[between] == told.line)
    return told.row > asked.row and bool(at_stop.all())
