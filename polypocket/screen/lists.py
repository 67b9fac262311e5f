"""Dialects and mills on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from polypocket.model.mill import Mill
from polypocket.post import Post
from polypocket.screen.columns import columns
from polypocket.screen.lengths import Lengths

__all__ = ["machines_document", "machines_lines", "posts_lines"]


def posts_lines(posts: Sequence[Post]) -> Iterator[str]:
    """Yield each dialect and its traits."""
    yield "Look at a program that runs on your control:"
    for post in posts:
        yield ""
        yield f"  {post.name}: {post.title}"
        for trait in post.traits:
            yield f"    - {trait}"
    yield ""
    yield "In doubt ask the control's manual. A program that fits none of these must not be guessed at."


def machines_lines(mills: Mapping[str, Mill]) -> Iterator[str]:
    """Yield each mill that ships."""
    yield "Mills that ship; their numbers are invented. Copy one and put in the figures of your own."
    for name, mill in mills.items():
        lengths = Lengths(mill.units)
        yield ""
        yield f"  {name}: {mill.name}, dialect {mill.post}"
        head = ["axis", f"travel from, {lengths.unit}", "to", "backlash"]
        axes = (("X", mill.axes.x), ("Y", mill.axes.y), ("Z", mill.axes.z))
        rows = [[n, lengths.text(a.low), lengths.text(a.high), lengths.text(a.backlash)] for n, a in axes]
        yield from columns([head, *rows], indent="    ")


def machines_document(mills: Mapping[str, Mill]) -> dict[str, Any]:
    """Return the same as what ``json.dumps`` takes; lengths mm."""
    return {
        "machines": [
            {
                "name": name,
                "title": mill.name,
                "post": mill.post,
                "travel": {
                    axis: {"low": values.low, "high": values.high}
                    for axis, values in (("x", mill.axes.x), ("y", mill.axes.y), ("z", mill.axes.z))
                },
            }
            for name, mill in mills.items()
        ]
    }
