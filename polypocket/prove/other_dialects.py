"""Which dialects read a program with less complaint than the one that it was read in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from polypocket.dryrun import DryRun
from polypocket.errors import DialectError
from polypocket.model.mill import Mill
from polypocket.post import Post, posts
from polypocket.prove.dialect import post_for
from polypocket.reader import read
from polypocket.reader.sheet import read_sheet

__all__ = ["complaints_elsewhere"]

#: Lines of each program that are read again, at most; what a dialect looks like shows in far fewer. No source.
_LINES = 20_000

#: Fewer complaints than this are slips, unless another dialect has none at all. No source.
_MANY = 20

#: The share of the complaints that another dialect may have to be worth a look. No source.
_FEWER = 0.1


def complaints_elsewhere(
    verdict: DryRun, texts: Sequence[tuple[str, str]], mill: Mill, post: Post
) -> Mapping[str, int]:
    """Return how often each dialect complains that reads the programs with none or far fewer complaints, fewest first.

    Looked for only where the dialect that they were read in has complaints of more than one line; how a program ends
    is left out, since only its first lines are read again.

    Args:
        verdict: of the dry run in the dialect of ``post``.
        texts: the programs, each as name and text.
        mill: its ``[words]`` and scales; a dialect that wants what it does not state is passed over.
        post: what they were read in.
    """
    if len({(each.program, each.line) for each in verdict.findings if each.code == "unread"}) < 2:
        return {}
    own = _complaints(texts, post)
    most = int(own * _FEWER) if own >= _MANY else 0
    counted = {other.name: _complaints(texts, other) for other in _others(mill, post)}
    return dict(sorted((each for each in counted.items() if each[1] <= most), key=lambda each: each[1]))


def _others(mill: Mill, post: Post) -> Iterator[Post]:
    for name in posts():
        if name != post.name:
            try:
                yield post_for(mill, name)
            except DialectError:
                continue


def _complaints(texts: Sequence[tuple[str, str]], post: Post) -> int:
    """Return of how many lines a dialect complains in the first lines of programs."""
    lines: set[tuple[str, int]] = set()
    for name, text in texts:
        start = "\n".join(text.split("\n", _LINES)[:_LINES])
        track = (
            read_sheet(start, name=name) if post.dialect.is_sheet else read(start, post.dialect, name=name)
        )
        lines |= {(name, each.line) for each in track.complaints if each.code != "end"}
    return len(lines)
