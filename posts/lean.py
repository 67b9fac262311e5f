"""A small subset that plain controls read."""

from polypocket.post import Post
from polypocket.reader.dialect import Dialect

__all__ = ["Lean"]

#: What controls of this kind do without. Common practice, no source.
_UNKNOWN = frozenset(
    (
        "G41",
        "G42",
        "G43",
        "G49",
        "G81",
        "G82",
        "G83",
        "G84",
        "G85",
        "G86",
        "G87",
        "G88",
        "G89",
        "G98",
        "G99",
        "M6",
    )
)


class Lean(Post):
    """No cycles, no length or size of a cutter in the control, no tool change, no line numbers, short lines."""

    name = "lean"
    title = "a small subset for plain controls"
    traits = (
        "no line numbers, and no line longer than 40 characters",
        "no cycles: holes are drilled move by move",
        "no G43 and no H: the zero is touched off with the cutter itself",
        "no T and no M6: the program stops (M0) for another cutter, and ends with M2",
    )
    dialect = Dialect(name="lean", line_length=40, unknown=_UNKNOWN)

    safe_words = ("G17", "G40", "G80", "G90", "G94")
    end_word = "M2"
    line_length = 40
    cycles = False
    full_circles = False
    tool_change = False
    length_offsets = False
    size_offsets = False
