"""Where the work zero of one program stands, told beside a mill file that sets none, or another."""

from __future__ import annotations

import re
from typing import Final

from polypocket.model.mill import Mill
from polypocket.units import parse_length, shown

__all__ = ["mills_with_zeros"]

_OF_ONE: Final = re.compile(r"\s*([0-9]+)\s*=(.*)", re.DOTALL)


def mills_with_zeros(mill: Mill, told: list[str], programs: int) -> tuple[Mill, ...]:
    """Return the mill once for each program, with the zeros in that were told.

    Args:
        mill: the mill.
        told: such as ``2=381, -152.4, -76.2``: the number of a program, and X, Y and Z of its zero in machine
            coordinates, in the mill file's units where they carry none. Without a number it is that of all programs.
        programs: how many there are.

    Raises:
        ValueError: one cannot be understood, there is no such program, or the mill has no machine coordinates.
    """
    if told and not mill.homed:
        raise ValueError(f"{shown(mill.name)} does not know its machine coordinates (homed = false)")
    mills = [mill] * programs
    for text in told:
        match = _OF_ONE.fullmatch(text)
        numbers = range(1, programs + 1) if match is None else (int(match[1]),)
        zero = _zero(match[2] if match else text, mill)
        for number in numbers:
            if not 1 <= number <= programs:
                raise ValueError(f"there is no program {number}; {programs} are named")
            offsets = {**mill.work_offsets, mill.work_offset: zero}
            mills[number - 1] = mill.model_copy(update={"work_offsets": offsets})
    return tuple(mills)


def _zero(text: str, mill: Mill) -> tuple[float, float, float]:
    parts = [_number_or_text(part.strip()) for part in text.split(",")]
    if len(parts) != 3:
        raise ValueError(
            f"{shown(text.strip())} is no X, Y and Z with commas between, such as 381, -152.4, -76.2"
        )
    x, y, z = (parse_length(part, mill.units) for part in parts)
    return x, y, z


def _number_or_text(value: str) -> float | str:
    try:
        return float(value)
    except ValueError:
        return value
