"""Comments that go on in the next line: what is too long for a line is folded, and begins there with a dash."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.reader.track import Comment

__all__ = ["whole_comments"]


def whole_comments(comments: Sequence[Comment]) -> Iterator[tuple[int, Comment]]:
    """Yield each comment with all that it says, in single blanks, and the index at which it begins."""
    first = 0
    while first < len(comments):
        beyond = first + 1
        while beyond < len(comments) and comments[beyond].text.startswith("- "):
            beyond += 1
        rest = (each.text.removeprefix("- ") for each in comments[first + 1 : beyond])
        text = " ".join(" ".join((comments[first].text, *rest)).split())
        yield first, comments[first]._replace(text=text)
        first = beyond
