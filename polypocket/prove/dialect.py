"""The dialect of a mill's own control."""

from __future__ import annotations

from polypocket.model.mill import Mill
from polypocket.post import Post, post_named
from polypocket.program import Scale
from polypocket.reader.dialect import WordFormat

__all__ = ["post_for", "scales_of"]


def post_for(mill: Mill, name: str | None = None) -> Post:
    """Return the post that writes for a mill's control, or another by its name or file.

    Raises:
        InputError: there is no such post.
        DialectError: the dialect leaves open what the mill file does not state.
    """
    return post_named(name or mill.post).for_words(_format_of(mill)).for_scales(scales_of(mill))


def scales_of(mill: Mill) -> dict[str, Scale]:
    """Return on what a person reads each axis."""
    axes = (("X", mill.axes.x), ("Y", mill.axes.y), ("Z", mill.axes.z))
    return {name: Scale(axis.step(mill.readout), axis.dial_turn, axis.dial_divisions) for name, axis in axes}


def _format_of(mill: Mill) -> WordFormat | None:
    words = mill.words
    if words is None:
        return None
    return WordFormat(
        digits_mm=words.digits_mm,
        digits_inch=words.digits_inch,
        zeros=words.zeros,
        signed_centre=words.signed_ij,
        digits_feed=words.digits_feed,
        spindle_codes=words.spindle_codes or (),
    )
