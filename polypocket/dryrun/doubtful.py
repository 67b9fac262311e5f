"""Comments that speak of what hands do, in no form that is followed: a person may do it, and nobody knows what it did.

``(SET Z -10.500)`` and its like are read (``reader.asks``); what merely begins like one is refused there. Here are
those that say it in words of their own, such as (NOW SET Z -20), (LOWER Z TO -20) or (TURN THE VISE 30 DEGREES). They
are doubted where a person has that thing in hand: an axis without a drive, a spindle without a switch, a swivel base;
and at every stop, once the program has moved, since there somebody stands and reads. What is only told is let be:
(Z0 ON THE STOCK'S TOP), (SECTION 2 FLAT 3). The words are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.findings import Fault
from polypocket.model.mill import Mill
from polypocket.reader.asks import asks_a_person
from polypocket.reader.track import Event, Kind, Track

__all__ = ["doubtful_faults", "spoken_of"]

_FLAGS = re.IGNORECASE | re.ASCII
_VERBS = (
    "SET|RESET|RAISE|LOWER|LIFT|DROP|MOVE|BRING|TURN|CRANK|WIND|ROTATE|SWING|TILT|GO|JOG|PUT|TAKE|SHIFT|ADJUST|FEED|DIAL"
)  # fmt: skip
_DONE = (
    "RAISED|LOWERED|LIFTED|DROPPED|MOVED|BROUGHT|TURNED|ROTATED|SWUNG|TILTED|PUT|SHIFTED|ADJUSTED|DOWN|(?<!PICK )UP"
)  # fmt: skip
_VERB = re.compile(rf"\b(?:{_VERBS})\b", _FLAGS)
_ANY_VERB = re.compile(rf"\b(?:{_VERBS}|{_DONE})\b", _FLAGS)
_VALUE = r"[-+]?(?:\d+\.?\d*|\.\d+)"
_NUMBER = re.compile(rf"(?<![\w.]){_VALUE}", _FLAGS)
#: What every such comment has, to be looked for first: there are programs of many comments.
_HINT = re.compile(
    rf"\b(?:{_VERBS}|{_DONE}|SPINDLE)\b|^(?:[XYZ]\b|[XYZ][-+=\d.]|HEIGHT|KNEE|QUILL|SWIVEL)", _FLAGS
)
#: What is but a name.
_NAME = re.compile(r"(?:JOB|MILL|MATERIAL): ", _FLAGS)
#: Where one thing that is said ends and the next begins.
_CLAUSE = re.compile(r"[,;!?]|\.(?!\d)")
#: So many words may stand between what is done and to what, whatever signs are between them.
_NEAR = 3


def _axis(letter: str) -> str:
    return rf"(?:\b{letter}\b|\b{letter}[-+=]?\s*{_VALUE})(?!')"


#: What is spoken of by each name: those for which a verb is enough, and those that want a value too.
_NAMES = {
    "Z": (rf"{_axis('Z')}|\b(?:HEIGHT|KNEE|QUILL)\b", r"\b(?:DEPTH|HEAD|TABLE|CUTTER|TOOL)\b"),
    "X": (_axis("X"), r"\bTABLE\b"),
    "Y": (_axis("Y"), r"\b(?:TABLE|SADDLE)\b"),
    "swivel": (r"\bSWIVEL\b", r"\b(?:VISE|VICE|BASE|WORK|BLOCK|PART|JAWS?)\b"),
}
_STRONG = {name: re.compile(strong, _FLAGS) for name, (strong, _) in _NAMES.items()}
_WEAK = {name: re.compile(weak, _FLAGS) for name, (_, weak) in _NAMES.items()}
_BARE = {
    name: re.compile(
        rf"(?:{strong})\s*(?:AXIS)?\s*(?:TO|AT|=|:)?\s*(?:{_VALUE})?\s*(?:MM|IN|INCH|DEG(?:REES)?)?", _FLAGS
    )
    for name, (strong, _) in _NAMES.items()
}  # fmt: skip
_SPINDLE = re.compile(
    r"\b(?:START|STOP|RUN|REVERSE|SWITCH|TURN|SET)(?: (?:ON|OFF|UP))?(?: THE)? SPINDLE\b"
    rf"|\bSPINDLE (?:ON|OFF|START|STOP|TO|CW|CCW|(?:ANTI|COUNTER)?CLOCKWISE)\b|^SPINDLE (?:AT )?{_VALUE}(?: RPM)?$",
    _FLAGS,
)


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
    in_hand |= {"swivel"}
    in_hand |= {"Z"} if "height" in kinds else set()
    in_hand |= {"spindle"} if not mill.spindle.controlled or "spindle" in kinds else set()
    read_at_stops: list[range] | None = None
    of_names = _of_names(track)
    for number, comment in enumerate(track.comments):
        if number in of_names or asks_a_person(comment.text) or not (names := spoken_of(comment.text)):
            continue
        if read_at_stops is None:
            read_at_stops = _lines_at_stops(track)
        if names & in_hand or any(comment.line in lines for lines in read_at_stops):
            yield Fault(
                "unread", track.name, comment.line,
                f"the comment '{' '.join(comment.text.split())[:40]}' speaks of what a person may do by hand, and is "
                "none of what is followed here",
                "ask for it as (SET Z -10.5), (SET SWIVEL 30), (START SPINDLE 4000 CLOCKWISE) or (STOP SPINDLE), with "
                "M0; or say it in other words",
                key=f"doubtful {comment.line} {comment.column}", column=comment.column,
            )  # fmt: skip


def spoken_of(comment: str) -> frozenset[str]:
    """Return with what a comment seems to tell a person to do something: X, Y, Z, ``swivel`` or ``spindle``."""
    text = " ".join(comment.split())
    if not _HINT.search(text):
        return frozenset()
    found = {name for name in _NAMES if _is_told(name, text)}
    if _SPINDLE.search(text):
        found.add("spindle")
    return frozenset(found)


def _is_told(name: str, text: str) -> bool:
    """Whether something is to be done with what has this name."""
    strong, weak = _STRONG[name], _WEAK[name]
    if _BARE[name].fullmatch(text) and _NUMBER.search(re.sub(r"[XYZxyz=:]", " ", text)):
        return True
    for verb in _VERB.finditer(text):  # near it, whatever signs are in between
        near = " ".join(text[verb.end() :].split()[: _NEAR + 1])
        if strong.search(near):
            return True
    for clause in _CLAUSE.split(text):
        if (verb_before := _VERB.search(clause)) and strong.search(clause, verb_before.end()):
            return True
        has_value = _NUMBER.search(re.sub(r"\b([XYZ])(?=[-+=]?[\d.])", " ", clause, flags=_FLAGS))
        if has_value and _ANY_VERB.search(clause) and strong.search(clause):
            return True
        if has_value and verb_before and weak.search(clause, verb_before.end()):
            return True
    return False


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
