"""What a text that is no ask seems to tell a person to do by hand: a choice of words, common practice, no source.

(NOW SET Z -20), (LOWER Z TO -20), (TURN THE VISE 30 DEGREES), (FEED IN 4 MM) and (OPEN THE VISE) do; (Z0 ON THE STOCK'S
TOP) and (SECTION 2 FLAT 3) do not.
"""

from __future__ import annotations

import re

__all__ = ["is_caption", "spoken_of"]

_FLAGS = re.IGNORECASE | re.ASCII
_VERBS = (
    "SET|RESET|RAISE|LOWER|LIFT|DROP|MOVE|BRING|TURN|CRANK|WIND|ROTATE|SWING|TILT|GO|JOG|PUT|TAKE|SHIFT|ADJUST|FEED|DIAL"
)  # fmt: skip
_DONE = (
    "RAISED|LOWERED|LIFTED|DROPPED|MOVED|BROUGHT|TURNED|ROTATED|SWUNG|TILTED|PUT|SHIFTED|ADJUSTED|DOWN|(?<!PICK )UP"
)  # fmt: skip
_VERB = re.compile(rf"\b(?:{_VERBS})\b", _FLAGS)
_ANY_VERB = re.compile(rf"\b(?:{_VERBS}|{_DONE})\b", _FLAGS)
_VALUE = r"[-+]?+(?:\d++\.?+\d*+|\.\d++)"  # taken whole, so that no text of many digits is tried in every way
_NUMBER = re.compile(rf"(?<![\w.]){_VALUE}", _FLAGS)
#: What loosens the work, and what is then loose.
_LOOSENS = "OPEN|LOOSEN|SLACKEN|UNCLAMP|RECLAMP|RELEASE|FLIP|REMOVE"
_LOOSENING = re.compile(rf"\b(?:{_LOOSENS})\b", _FLAGS)
_HELD = re.compile(r"\b(?:VI[SC]E|JAWS?|CLAMPS?|WORK|WORKPIECE|BLOCK|PART|STOCK)\b", _FLAGS)
#: What is done to an axis that is not named; so far, or so much of its handwheel. Feeds a minute are no ways.
_GOING = re.compile(
    r"\b(?:MOVE|TURN|CRANK|WIND|FEED|GO|JOG|BRING|SHIFT|RAISE|LOWER|LIFT|DROP|DIAL)\b", _FLAGS
)
_SO_FAR = re.compile(
    rf"(?<![\w.]){_VALUE} ?(?:MM|IN|INCH(?:ES)?|THOU|TURNS?|DIV(?:ISION)?S?)\b(?! ?(?:A|PER|/))", _FLAGS
)
_TURNS = re.compile(rf"(?<![\w.]){_VALUE} ?(?:TURNS?|REVS?|DIVISIONS?|DIVS?)\b", _FLAGS)
_HANDLE = re.compile(r"\b(?:HANDLE|HANDWHEEL|CRANK|DIAL)\b", _FLAGS)
#: What every such comment has, to be looked for first: there are programs of many comments.
_HINT = re.compile(
    rf"\b(?:{_VERBS}|{_DONE}|{_LOOSENS}|SPINDLE|TURNS|REVS?|DIVISIONS?|DIVS?)\b|^(?:[XYZ]\b|[XYZ][-+=\d.]|HEIGHT|KNEE|QUILL|SWIVEL)",
    _FLAGS,
)
#: How passes are announced, which tells nothing: most comments of a long program are such.
_CAPTION = re.compile(
    r"PASS \d+ SECTION \d+ FLATS? \d+(?: TO \d+)? AT Z-?[\d.]+ (?:ROUGH STRIP \d+|FINISH)", re.ASCII
)
#: Where one thing that is said ends and the next begins.
_CLAUSE = re.compile(r"[,;!?]|\.(?!\d)")
#: Of a comment so many characters are read: more than anybody reads at a mill.
_MOST_READ = 2000
#: So many words may stand between what is done and to what, whatever signs are between them.
_NEAR = 3


def _axis(letter: str) -> str:
    return rf"(?:\b{letter}\b|\b{letter}[-+=]? ?{_VALUE})(?!')"


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
        rf"(?:{strong}) ?(?:AXIS)? ?(?:TO|AT|=|:)? ?(?:{_VALUE})? ?(?:MM|IN|INCH|DEG(?:REES)?)?", _FLAGS
    )
    for name, (strong, _) in _NAMES.items()
}  # fmt: skip
_SPINDLE = re.compile(
    r"\b(?:START|STOP|RUN|REVERSE|SWITCH|TURN|SET)(?: (?:ON|OFF|UP))?(?: THE)? SPINDLE\b"
    rf"|\bSPINDLE (?:ON|OFF|START|STOP|TO|CW|CCW|(?:ANTI|COUNTER)?CLOCKWISE)\b|^SPINDLE (?:AT )?{_VALUE}(?: RPM)?$",
    _FLAGS,
)


def spoken_of(comment: str) -> frozenset[str]:
    """Return with what a comment seems to tell a person to do something.

    X, Y, Z, ``swivel``, ``spindle``, ``handle`` for some axis that is not named, or ``hold`` for what holds the work.
    """
    if is_caption(comment):
        return frozenset()
    text = " ".join(comment[:_MOST_READ].split())
    if not _HINT.search(text):
        return frozenset()
    found = {name for name in _NAMES if _is_told(name, text)}
    if _SPINDLE.search(text):
        found.add("spindle")
    if _in_turn(text, _LOOSENING, _HELD):
        found.add("hold")
    if not found and any(
        _TURNS.search(clause)
        or _in_turn(clause, _GOING, _SO_FAR)
        or _in_turn(clause, _VERB, _HANDLE, _NUMBER)
        for clause in _CLAUSE.split(text)
    ):
        found.add("handle")
    return frozenset(found)


def is_caption(comment: str) -> bool:
    """Whether a comment only announces a pass, as our programs do."""
    return _CAPTION.fullmatch(comment) is not None


def _in_turn(text: str, *patterns: re.Pattern[str]) -> bool:
    """Whether a text has something of each pattern, one behind the other."""
    at = 0
    for pattern in patterns:
        if (match := pattern.search(text, at)) is None:
            return False
        at = match.end()
    return True


def _is_told(name: str, text: str) -> bool:
    """Whether something is to be done with what has this name."""
    strong, weak = _STRONG[name], _WEAK[name]
    if _BARE[name].fullmatch(text) and _NUMBER.search(re.sub(r"[XYZxyz=:]", " ", text)):
        return True
    for verb in _VERB.finditer(text):  # near it, whatever signs are in between
        near = " ".join(text[verb.end() :].split(maxsplit=_NEAR + 1)[: _NEAR + 1])
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
