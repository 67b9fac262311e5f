"""How a dialect writes lengths: with a decimal point, or with one that is only implied.

Lengths come as whole numbers of the smallest steps that are written, so that nothing is rounded twice.
"""

from __future__ import annotations

from typing import Literal, NamedTuple, Protocol

from polypocket.errors import DialectError

__all__ = ["ImpliedPoint", "NumberFormat", "WrittenPoint"]


class NumberFormat(Protocol):
    """How a number is written, in steps of 10 to the power of minus ``places``."""

    @property
    def places(self) -> int:
        """Decimals of the smallest step."""

    def text(self, steps: int) -> str:
        """Return the number's text.

        Raises:
            DialectError: it has too many digits.
        """


class WrittenPoint(NamedTuple):
    """A decimal point stands in the text; a number without a fraction carries it where ``always`` says so."""

    places: int
    always: bool

    def text(self, steps: int) -> str:
        """Return the number's text, without zeros that say nothing."""
        sign, digits = "-" if steps < 0 else "", str(abs(steps)).rjust(self.places + 1, "0")
        fraction = digits[len(digits) - self.places :].rstrip("0")
        point = "." if fraction or self.always else ""
        return f"{sign}{digits[: len(digits) - self.places]}{point}{fraction}"


class ImpliedPoint(NamedTuple):
    """No point stands in the text: where it is, the number of digits tells (EIA RS-274-D, from memory).

    Attributes:
        before, after: digits before and after the point.
        zeros: which zeros are left out; those at the other end are what places the point.
    """

    before: int
    after: int
    zeros: Literal["leading", "trailing", "none"]

    @property
    def places(self) -> int:
        """Decimals of the smallest step."""
        return self.after

    def text(self, steps: int) -> str:
        """Return the number's text.

        Raises:
            DialectError: it has more digits before the point than the control takes.
        """
        digits = str(abs(steps)).rjust(self.before + self.after, "0")
        if len(digits) > self.before + self.after:
            raise DialectError(
                f"a number has more than {self.before} digits before its point; this control takes no more"
            )
        match self.zeros:
            case "leading":
                digits = digits.lstrip("0") or "0"
            case "trailing":
                digits = digits.rstrip("0") or "0"
            case "none":
                pass
        return ("-" if steps < 0 else "") + digits
