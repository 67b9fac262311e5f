"""Faults in one word: signs, digits, points and letters."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from tests.faults.places import Plant, number_text, put, words_in
from tests.faults.programs import Good

__all__ = [
    "bare_letter",
    "bare_number",
    "code",
    "digit_changed",
    "digit_doubled",
    "digit_dropped",
    "digits_exchanged",
    "letter_l",
    "letter_o",
    "nudged",
    "other_letter",
    "point_for_comma",
    "point_lost",
    "point_moved",
    "sign",
    "times",
    "two_points",
    "word",
    "word_missing",
]


def word(letters: str, change: Callable[[str, str, Random], str | None], pattern: str = "") -> Plant:
    """Return a fault that changes one word, given its letter and number."""

    def plant(good: Good, random: Random) -> str | None:
        places = words_in(good.text, letters, pattern)
        if not places:
            return None
        place = random.choice(places)
        new = change(place.letter, place.number, random)
        return None if new is None else put(good.text, place, new)

    return plant


def code(old: str, *new: str) -> Plant:
    """Return a fault that puts another code in the place of one; ``old`` is a pattern."""
    return word("GM", lambda letter, number, random: random.choice(new), old)


def sign(letter: str, number: str, random: Random) -> str:
    return letter + (number[1:] if number[0] == "-" else f"-{number}")


def _digits(number: str) -> list[int]:
    return [i for i, sign in enumerate(number) if sign.isdigit()]


def digit_dropped(letter: str, number: str, random: Random) -> str | None:
    digits = _digits(number)
    at = random.choice(digits)
    return letter + number[:at] + number[at + 1 :]


def digit_changed(letter: str, number: str, random: Random) -> str:
    at = random.choice(_digits(number))
    return (
        letter + number[:at] + random.choice([d for d in "0123456789" if d != number[at]]) + number[at + 1 :]
    )


def digit_doubled(letter: str, number: str, random: Random) -> str:
    at = random.choice(_digits(number))
    return letter + number[:at] + number[at] + number[at:]


def digits_exchanged(letter: str, number: str, random: Random) -> str | None:
    pairs = [i for i in range(len(number) - 1) if number[i : i + 2].isdigit() and number[i] != number[i + 1]]
    if not pairs:
        return None
    at = random.choice(pairs)
    return letter + number[:at] + number[at + 1] + number[at] + number[at + 2 :]


def point_lost(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", "") if "." in number else None


def point_moved(letter: str, number: str, random: Random) -> str:
    sign, digits = ("-", number[1:]) if number[0] == "-" else ("", number)
    at = digits.index(".") if "." in digits else len(digits)
    bare = digits.replace(".", "")
    to = max(0, min(len(bare), at + random.choice((-1, 1))))
    if to == at:
        to = at - 1
    return f"{letter}{sign}{bare[:to]}.{bare[to:]}" if bare[:to] or bare[to:] else f"{letter}{number}"


def point_for_comma(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", ",") if "." in number else None


def two_points(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace(".", "..") if "." in number else None


def letter_o(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace("0", random.choice("oO"), 1) if "0" in number else None


def letter_l(letter: str, number: str, random: Random) -> str | None:
    return letter + number.replace("1", "l", 1) if "1" in number else None


def other_letter(letter: str, number: str, random: Random) -> str:
    return random.choice([each for each in "XYZIJFSGM" if each != letter]) + number


def times(factor: float) -> Callable[[str, str, Random], str]:
    def change(letter: str, number: str, random: Random) -> str:
        return letter + number_text(float(number) * factor)

    return change


def nudged(by: float) -> Callable[[str, str, Random], str]:
    def change(letter: str, number: str, random: Random) -> str:
        return letter + number_text(float(number) + random.choice((-by, by)))

    return change


def word_missing(letters: str, pattern: str = "") -> Plant:
    return word(letters, lambda letter, number, random: "", pattern)


def bare_letter(letter: str, number: str, random: Random) -> str:
    return letter


def bare_number(letter: str, number: str, random: Random) -> str:
    return number
