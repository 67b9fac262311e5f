"""What hinders cutter radius compensation, in words."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.dryrun.findings import Fault, length_text

__all__ = ["CompensationFaults"]

_ROOM = "take a smaller cutter, or give the contour room for this one"
_START = "begin the first move further away, on the side of the contour that the cutter is to be on"
_LINES = "begin a contour with a straight G1 to it, and end it with a straight G1 away from it"


class CompensationFaults(NamedTuple):
    """Makes the faults of one program.

    Attributes:
        program: its name.
        units: its units, ``None`` where it never said.
    """

    program: str
    units: str | None

    def no_register(self, line: int, number: int) -> Fault:
        """Return the fault of a register that the mill file does not give."""
        if not number:
            what, fix = "in a register that is not known", "name the register (D) with G41 or G42"
        else:
            what = f"in register {number}, which the mill file does not give"
            fix = (
                f"look at the control what register {number} holds, and put just that into the mill file: "
                f'[cutter_registers] radius = {{ "{number}" = … }}'
            )
        return self._fault(
            line, f"where the cutter goes depends on the radius {what}", fix, f"register {number}"
        )

    def not_left(self, line: int) -> Fault:
        """Return the fault of compensation that is turned on or changed before it has been left."""
        text = "radius compensation is turned on again before a move after G40 has ended it"
        return self._fault(line, text, _LINES, "again")

    def unknown(self, line: int) -> Fault:
        """Return the fault of a contour that begins or goes on where nobody knows where the cutter is."""
        text = "radius compensation where X or Y is not known"
        return self._fault(line, text, "go to a place in X and Y before G41 or G42", "unknown")

    def arc_at_end(self, line: int, which: str) -> Fault:
        """Return the fault of an arc as the first move, or as the move after G40."""
        return self._fault(line, f"the {which} radius compensation is an arc", _LINES, which)

    def nothing_follows(self, line: int) -> Fault:
        """Return the fault of a first move and no other: on which side it is to end is not certain."""
        text = "radius compensation ends after its first move: nothing says where that is to end"
        return self._fault(
            line, text, "take it out (G40 instead of G41 or G42), or cut a contour with it", "alone"
        )

    def arc_too_small(self, line: int, radius: float, distance: float) -> Fault:
        """Return the fault of a concave arc that the cutter does not fit into."""
        missing = max(0.0, abs(distance) - radius)
        message = (
            f"the cutter does not fit into the arc: its radius is {self._text(radius)}, "
            f"{self._text(missing)} less than the register's {self._text(abs(distance))}"
        )
        return self._fault(line, message, _ROOM, "arc", missing)

    def corner(self, line: int, before: int, missing: float | None, distance: float) -> Fault:
        """Return the fault of a concave corner without room for the cutter, or one that turns straight back."""
        if missing is None:
            message = f"turns straight back after line {before}: on which side of the path is not certain"
            return self._fault(line, message, "put a short line or an arc between the two", "back")
        message = (
            f"the cutter does not fit into the corner after line {before}: with the register's radius of "
            f"{self._text(abs(distance))} a length of {self._text(missing)} is missing"
        )
        return self._fault(line, message, _ROOM, "corner", missing)

    def nothing_left(self, line: int, missing: float, distance: float) -> Fault:
        """Return the fault of a move that is shorter than what the corners at its ends cut off."""
        message = (
            f"nothing is left of this move between its corners: with the register's radius of "
            f"{self._text(abs(distance))} it is {self._text(max(0.0, missing))} too short"
        )
        return self._fault(line, message, _ROOM, "nothing left", missing)

    def starts_too_near(self, line: int, away: float, distance: float) -> Fault:
        """Return the fault of a first move that begins where the cutter covers its programmed end."""
        message = (
            f"the first move with radius compensation begins {self._text(away)} from its end, "
            f"not further than the register's radius of {self._text(abs(distance))}"
        )
        return self._fault(line, message, _START, "too near", abs(distance) - away)

    def starts_across(self, line: int, distance: float) -> Fault:
        """Return the fault of a first move that comes in over the line that the contour goes on along."""
        message = (
            "the first move with radius compensation comes from a place where a cutter of the register's radius, "
            f"{self._text(abs(distance))}, stands on the contour"
        )
        return self._fault(line, message, _START, "across")

    def _text(self, length: float) -> str:
        return length_text(length, self.units)

    def _fault(self, line: int, message: str, fix: str, key: str, amount: float = 0.0) -> Fault:
        return Fault("compensation", self.program, line, message, fix, key, amount)
