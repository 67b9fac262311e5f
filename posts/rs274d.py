"""EIA RS-274-D: numbers without a decimal point."""

import math

from polypocket.errors import DialectError
from polypocket.post import Post
from polypocket.post.numbers import ImpliedPoint
from polypocket.reader.dialect import Dialect, WordFormat

__all__ = ["Rs274D"]


class Rs274D(Post):
    """Implied decimals, arcs inside quadrants, no cycles. What the standard leaves open, ``[words]`` states."""

    name = "rs274d"
    title = "EIA RS-274-D, numbers without a decimal point"
    traits = (
        "no decimal points: the digits of X012500 are counted to find its point",
        "G70 is inches, G71 millimetres",
        "a circle is four arcs, each inside one quadrant",
        "the mill file's [words] must state digits, zeros and codes, from the control's manual",
    )
    dialect = Dialect(name="rs274d", inch_word=70, millimetre_word=71, quadrant_arcs=True, wants_words=True)
    coded: WordFormat | None = None

    unit_words = {"mm": "G71", "inch": "G70"}  # noqa: RUF012 – a mapping that nobody changes
    safe_words = ("G17", "G40", "G90", "G94")
    cycles = False
    full_circles = False
    quadrant_arcs = True
    length_offsets = False
    size_offsets = False

    def for_words(self, words: WordFormat | None) -> Post:
        """Return the post for a control that codes its words as stated."""
        post = Rs274D()
        if words is None:
            raise DialectError(
                "rs274d: the mill file has no table [words], and nothing is guessed; add it from the "
                "control's manual"
            )
        post.coded, post.signed_centre = words, words.signed_centre
        post.dialect = self.dialect._replace(words=words)
        return post

    @property
    def _words(self) -> WordFormat:
        if self.coded is None:
            raise DialectError("rs274d: nothing is written before a mill file's [words] states how")
        return self.coded

    def number_format(self, units: str, resolution: float = math.inf) -> ImpliedPoint:
        """Return the implied point of the units."""
        before, after = self._words.digits_mm if units == "mm" else self._words.digits_inch
        return ImpliedPoint(before, after, self._words.zeros)

    def feed(self, rate: float, units: str) -> str:
        """Return the feed's digits, rounded down."""
        before, after = self._words.digits_feed
        steps = math.floor(rate * 10**after + 1e-6)
        if not steps:
            raise DialectError(f"rs274d: a feed of {rate:g} a minute is too slow to be written")
        return ImpliedPoint(before, after, self._words.zeros).text(steps)

    def spindle(self, rpm: float) -> str:
        """Return the speed's code, or the speed itself where speeds are not coded."""
        codes = self._words.spindle_codes
        code = next((code for code, speed in codes if math.isclose(speed, rpm)), None)
        if codes and code is None:
            raise DialectError(f"rs274d: no spindle code stands for {rpm:g} a minute in [words]")
        return super().spindle(rpm) if code is None else f"S{code:02d}"
