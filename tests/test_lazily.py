"""What is kept once it is worked out, beside ``functools.cached_property``, which it stands in for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import pytest

from polypocket.lazily import kept_property


@dataclass(frozen=True)
class Side:
    length: float

    @kept_property
    def square(self) -> list[float]:
        """Return its square."""
        if self.length < 0.0:
            raise ValueError("too short")
        return [self.length**2]

    @cached_property
    def other(self) -> list[float]:
        """Return its square."""
        return [self.length**2]


def test_worked_out_once_for_each() -> None:
    one, two = Side(3.0), Side(4.0)
    assert one.square == one.other == [9.0]
    assert one.square is one.square
    assert two.square == [16.0]
    assert "square" in vars(one)


def test_what_fails_is_not_kept() -> None:
    short = Side(-1.0)
    for _ in range(2):
        with pytest.raises(ValueError, match="too short"):
            _ = short.square
    assert "square" not in vars(short)


def test_of_the_class_it_is_itself() -> None:
    assert isinstance(Side.square, kept_property)
    assert Side.square.__doc__ == Side.other.__doc__
