"""Words whose numbers are coded: lengths and feeds with an implied point, spindle speeds by code.

Source: EIA RS-274-D (from memory): a length has a fixed number of digits before and after a point that is not
written; leading or trailing zeros may be left out, and those at the other end place the point.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from polypocket.reader.block import Block
from polypocket.reader.dialect import WordFormat
from polypocket.reader.words import Word

__all__ = ["decode"]

_LENGTHS = "XYZIJKR"
Refuse = Callable[[int, str], None]


def decode(block: Block, units: str | None, form: WordFormat, refuse: Refuse) -> None:
    """Put the values that a control means in the place of the digits that stand in a block.

    Args:
        block: its words are replaced; one that cannot be decoded is refused and stays without a value.
        units: in force for this block; lengths before they are known are left to be refused for that.
        form: how words are coded.
        refuse: is told the column and what is wrong.
    """
    digits = form.digits_inch if units == "inch" else form.digits_mm
    for letter, word in tuple(block.values.items()):
        if letter in _LENGTHS:
            value = _length(word, digits, form, refuse)
        elif letter == "F":
            value = _length(word, form.digits_feed, form, refuse)
        elif letter == "S" and form.spindle_codes:
            value = _speed(word, form, refuse)
        elif letter == "P":
            refuse(word.column, "how a wait is coded is not stated; none can be read")
            value = math.nan
        else:
            continue
        block.values[letter] = word._replace(value=value)
        if math.isnan(value):
            block.unread |= {letter}


def _length(word: Word, digits: tuple[int, int], form: WordFormat, refuse: Refuse) -> float:
    before, after = digits
    total = before + after
    shown = f"{word.letter}{word.text}"
    figures = word.text.lstrip("+-")
    if "." in figures:
        refuse(word.column, f"{shown} has a decimal point; this control counts digits instead")
        return math.nan
    if word.letter in "IJK" and not form.signed_centre and figures != word.text:
        refuse(word.column, f"{shown} has a sign; this control takes the quadrant's instead")
        return math.nan
    if len(figures) > total or (form.zeros == "none" and len(figures) < total):
        most = "wants" if form.zeros == "none" else "takes at most"
        refuse(word.column, f"{shown} has {len(figures)} digits; this control {most} {total}")
        return math.nan
    if form.zeros == "trailing":
        figures = figures.ljust(total, "0")
    value = int(figures) / float(10**after)
    return -value if word.text.startswith("-") else value


def _speed(word: Word, form: WordFormat, refuse: Refuse) -> float:
    code = int(word.text) if word.text.isdigit() else -1
    speed = dict(form.spindle_codes).get(code)
    if speed is None:
        refuse(word.column, f"S{word.text} is none of the spindle's codes")
        return math.nan
    return speed
