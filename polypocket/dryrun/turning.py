"""At which setting of the vise's swivel base the work stands, as the programs themselves ask for it.

The setting turns stock, jaws and the vise's body about the upright axis through the work zero, positive anticlockwise
seen from above; the zero is picked up after turning, so that it stays where the mill file says it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.dryrun.paths import Paths
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.reader.track import Asked, Kind, Track

__all__ = ["Turning", "turning_of"]

#: Settings nearer than this are one, radians: the text tells millionths of a degree.
_SAME = math.radians(1e-5)


class Turning(NamedTuple):
    """How the programs have the work turned, and what is wrong with it.

    Attributes:
        settings: for each track, from which row on and to what the swivel base is set, radians; the first from row 0.
        faults: what is wrong.
    """

    settings: tuple[tuple[tuple[int, float], ...], ...]
    faults: tuple[Fault, ...]

    def angles(self, number: int) -> tuple[float, ...]:
        """Return the settings that occur in a track, each once."""
        return tuple(dict.fromkeys(angle for _, angle in self.settings[number]))

    def parts(self, number: int, paths: Paths) -> Iterator[tuple[float, Paths]]:
        """Yield each setting of a track in order, with the motions that are made at it."""
        settings = self.settings[number]
        if len(settings) == 1:
            yield settings[0][1], paths
            return
        ends = [row for row, _ in settings[1:]]
        for (row, angle), end in zip(settings, [*ends, None], strict=True):
            at_it = (paths.row >= row) & (True if end is None else paths.row < end)
            yield angle, paths.some(at_it)


def turning_of(tracks: Sequence[Track], mill: Mill, job: BlockJob | None) -> Turning:
    """Return at which settings the programs have the work, 0 where none of them says.

    A program asks for its setting before anything moves, since the zero is picked up after turning; the next program on
    the same block may ask for another, and where there is a choice it must say so: whoever runs it after another one
    than was thought of would have the work at the wrong setting. Only a sheet for a mill worked by hand turns the work
    on its way: there a person touches off anew after each turn. With a job, a setting must be one that the job allows
    and, where it allows several, be said.
    """
    angle: float | None = None
    settings: list[tuple[tuple[int, float], ...]] = []
    faults: list[Fault] = []
    for track in tracks:
        motions = np.flatnonzero((track.kind != Kind.EVENT) & (track.kind != Kind.DWELL))
        first = int(motions[0]) if len(motions) else len(track)
        said_before, said_here = angle is not None, False
        told = [(0, 0.0 if angle is None else angle)]
        for asked in track.asks:
            if asked.kind != "swivel" or math.isnan(asked.value):
                continue
            stands = told[-1][1]
            if not track.by_hand and asked.row > first:
                # What is said again of work that stands so turns nothing.
                if abs(asked.value - stands) > _SAME:
                    faults.append(_too_late(track, asked.line, asked.text, stands))
                continue
            if not track.by_hand and not mill.axes.z.driven and not _is_raised(track, asked):
                faults.append(_too_low(track, asked))
            angle, said_here = asked.value, True
            told.append((asked.row if asked.row > first else 0, angle))
            faults += _not_allowed(track, asked.line, f"({asked.text})", angle, mill, job)
        settings.append(tuple(dict(told).items()))
        if not said_here:
            faults += _unsaid(track, job, said_before=said_before)
    return Turning(tuple(settings), tuple(faults))


def _is_raised(track: Track, swivel: Asked) -> bool:
    """Whether a person has been asked to set a height above the stock before the work is turned."""
    heights = [asked for asked in track.asks if asked.kind == "height" and asked.row < swivel.row]
    return bool(heights) and heights[-1].value > 0.0


def _too_low(track: Track, swivel: Asked) -> Fault:
    return Fault(
        "rapid-contact",
        track.name,
        swivel.line,
        f"({swivel.text}): the work is turned before the height has been set, past a cutter that may stand low",
        "ask for a height above everything first, such as (SET Z 25.000)",
        key="turned too low",
    )


def _too_late(track: Track, line: int, text: str, stands: float) -> Fault:
    return Fault(
        "unread",
        track.name,
        line,
        f"({text}): work that is turned after the program has moved is not followed here; "
        f"it stands at {degrees_text(stands)}°",
        "set the swivel once, in the first lines, and write a program of its own for each setting",
        key="turned late",
    )


def _not_allowed(
    track: Track, line: int, what: str, angle: float, mill: Mill, job: BlockJob | None
) -> list[Fault]:
    fix = "plan the program for a setting that the job and the mill have"
    if abs(angle) > _SAME and mill.vise is not None and not mill.vise.swivel_base:
        message = f"{what}: the vise has no swivel base"
        return [Fault("swivel", track.name, line, message, fix, key="no base")]
    if job is None or any(abs(angle - each) <= _SAME for each in job.clamping.swivel_settings):
        return []
    message = f"{what}: the job does not allow the swivel at {degrees_text(angle)}°"
    return [Fault("swivel", track.name, line, message, fix, key="not allowed")]


def _unsaid(track: Track, job: BlockJob | None, *, said_before: bool) -> list[Fault]:
    if not said_before and (job is None or job.clamping.swivel_settings == (0.0,)):
        return []
    why = "a program before it asks for one" if said_before else "the job allows others than 0"
    return [
        Fault(
            "swivel",
            track.name,
            1,
            f"the program does not say, before it moves, at which setting of the swivel it runs, and {why}",
            "put (SET SWIVEL 0), or the setting that it was made for, and M0 into its first lines",
        )
    ]
