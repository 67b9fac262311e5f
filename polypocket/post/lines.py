"""Blocks and comments brought to the length of a control's lines."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator

from polypocket.errors import DialectError

__all__ = ["comments", "folded"]

#: What stands for signs that no control shows.
_PLAIN = str.maketrans(
    {
        "%": " PERCENT",
        ";": ",",
        "(": "[",
        ")": "]",
        "°": " DEG",
        "µ": "U",
        "–": "-",
        "—": "-",
        "−": "-",
        "×": "X",
        "Ø": "DIA ",
    }
)
#: Words that belong to the motion of a block: they stand on one line.
_OF_MOTION = frozenset("XYZIJKRPQL")


def comments(text: str, room: int) -> Iterator[str]:
    """Fold a text into comments of plain capitals; a line that goes on begins with a dash and asks for nothing."""
    capitals = text.translate(_PLAIN).upper()  # first, since ß is SS
    if capitals.isascii():
        plain = capitals
    else:
        plain = unicodedata.normalize("NFKD", capitals).encode("ascii", "ignore").decode()
    if not plain.isprintable():
        plain = "".join(sign if sign.isprintable() else " " for sign in plain)
    width = room - len("()")
    fits = plain.strip() and len(plain) <= width  # as nearly all do, and folding takes long to find that out
    for line in [plain.rstrip()] if fits else textwrap.wrap(plain, width, subsequent_indent="- "):
        yield f"({line})"


def folded(block: str, room: int, dialect: str) -> Iterator[str]:
    """Yield a block as lines of at most ``room`` characters: modal words go ahead on lines of their own.

    Raises:
        DialectError: what must stand on one line is longer.
    """
    if len(block) <= room:
        yield block
        return
    if block.startswith("("):
        raise DialectError(f"{dialect}: the comment {block} is longer than the control's lines ({room})")
    words = block.split()
    moves = any(word[0] in _OF_MOTION for word in words)
    ahead = [word for word in words if word[0] in "FS"] if moves else words
    line = ""
    for word in ahead:
        if line and len(line) + 1 + len(word) > room:
            yield line
            line = ""
        line = f"{line} {word}".lstrip()
    yield line
    if moves:
        rest = " ".join(word for word in words if word not in ahead)
        if not ahead or len(rest) > room:
            raise DialectError(f"{dialect}: the block {block} is longer than the control's lines ({room})")
        yield rest
