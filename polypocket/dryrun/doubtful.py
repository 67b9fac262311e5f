"""Comments that speak of what hands do, in no form that is followed: a person may do it, and nobody knows what it did.

``(SET Z -10.500)`` and its like are read (``reader.asks``); what merely begins like one is refused there. Here are
those that say it in words of their own (``reader.spoken``). They are doubted where a person has that thing in hand: an
axis without a drive, a spindle without a switch, a swivel base; and at every stop, once the program has moved, since
there somebody stands and reads: what holds the work is loosened there, too. Where a person sets an axis, even a number
in a comment that is read at a stop may be taken for one to be set.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.model.mill import Mill
from polypocket.reader.asks import asks_a_person
from polypocket.reader.folded import whole_comments
from polypocket.reader.spoken import is_caption, spoken_of
from polypocket.reader.track import Event, Kind, Track

__all__ = ["doubtful_faults"]

_NUMBER = re.compile(r"\d")
#: What is but a name.
_NAME = re.compile(r"(?:JOB|MILL|MATERIAL): ", re.IGNORECASE | re.ASCII)


def doubtful_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each comment that speaks of something done by hand and is none of what is asked of a person."""
    if track.by_hand:  # a sheet has no comments but what is behind a bar
        return
    kinds = {each.kind for each in track.asks}
    in_hand = {
        name
        for name, axis in zip("XYZ", (mill.axes.x, mill.axes.y, mill.axes.z), strict=True)
        if not axis.driven
    }
    sets_an_axis = bool(in_hand)
    in_hand |= {"swivel", "handle"} if sets_an_axis else {"swivel"}
    in_hand |= {"Z"} if "height" in kinds else set()
    in_hand |= {"spindle"} if not mill.spindle.controlled or "spindle" in kinds else set()
    read_at_stops: list[range] | None = None
    of_names = _of_names(track)
    for number, comment in whole_comments(track.comments):
        text = comment.text
        names = spoken_of(text)
        has_number = sets_an_axis and not names and _NUMBER.search(text) and not is_caption(text)
        if not (names or has_number) or number in of_names or asks_a_person(comment.text):
            continue
        if read_at_stops is None:
            read_at_stops = _lines_at_stops(track)
        if names & in_hand or any(comment.line in lines for lines in read_at_stops):
            yield Fault(
                "unread", track.name, comment.line,
                f"the comment '{text[:60]}' "
                + (
                    "speaks of what a person may do by hand, and is none of what is followed here"
                    if names
                    else "has a number where a person stands who sets an axis, and is none of what is followed here"
                ),
                "ask for it as (SET Z -10.5), (SET SWIVEL 30), (START SPINDLE 4000 CLOCKWISE) or (STOP SPINDLE), with "
                "M0; or say it in other words" + ("" if names else ", without a number"),
                key=f"doubtful {comment.line} {comment.column}", column=comment.column,
            )  # fmt: skip


def _of_names(track: Track) -> frozenset[int]:
    """Return which comments, by their index, give the job, mill or material its name, at the head of the program.

    A name may be anything; a line that begins with a dash goes on from the one before.
    """
    moves = np.flatnonzero(track.kind != Kind.EVENT)
    first = int(track.line[moves[0]]) if len(moves) else 0
    found: set[int] = set()
    for number, comment in enumerate(track.comments):
        if comment.line >= first:
            break
        goes_on = comment.text.startswith("- ") and number - 1 in found
        if _NAME.match(comment.text) or goes_on:
            found.add(number)
    return frozenset(found)


def _lines_at_stops(track: Track) -> list[range]:
    """Return the lines that are read at each stop: behind the last motion before it, up to its own."""
    moves = np.flatnonzero(track.kind != Kind.EVENT)
    lines: list[range] = []
    for stop in np.flatnonzero(np.isin(track.event, (Event.STOP, Event.OPTIONAL_STOP))).tolist():
        before = int(np.searchsorted(moves, stop)) - 1
        if before >= 0:
            last, at = int(track.line[moves[before]]), int(track.line[stop])
            lines.append(range(min(last + 1, at), at + 1))
    return lines
