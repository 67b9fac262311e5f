"""Faults of a person at a keypad, planted one at a time in a program's text.

Each takes the good program and a source of chance and returns what becomes of it, or ``None`` where the program has
nothing of the kind. No source: the ways in which typing and editing go wrong are common knowledge.
"""

from __future__ import annotations

from random import Random

from tests.faults import lines, words, work
from tests.faults.ask_faults import ASK_FAULTS, NOTHING_ASKED
from tests.faults.nothing import NOTHING
from tests.faults.places import Plant, Planted
from tests.faults.programs import Good

__all__ = ["FAULTS", "planted"]

#: What goes wrong, by name.
FAULTS: dict[str, Plant] = {
    "sign flipped": words.word("XYZIJ", words.sign),
    "digit dropped": words.word("XYZIJ", words.digit_dropped),
    "digit changed": words.word("XYZIJ", words.digit_changed),
    "digit twice": words.word("XYZIJ", words.digit_doubled),
    "digits exchanged": words.word("XYZIJ", words.digits_exchanged),
    "point lost": words.word("XYZIJ", words.point_lost),
    "point moved": words.word("XYZIJ", words.point_moved),
    "comma for point": words.word("XYZIJ", words.point_for_comma),
    "two points": words.word("XYZIJ", words.two_points),
    "length nudged by 0.1": words.word("XYZ", words.nudged(0.1)),
    "length nudged by 0.02": words.word("XYZ", words.nudged(0.02)),
    "length nudged by 1": words.word("XYZ", words.nudged(1.0)),
    "X and Y exchanged": lines.axes_exchanged,
    "I and J exchanged": lines.centre_exchanged,
    "axis word missing": words.word_missing("XYZ"),
    "centre word missing": words.word_missing("IJ"),
    "centre moved": words.word("IJ", words.nudged(0.5)),
    "centre's sign flipped": words.word("IJ", words.sign),
    "number missing": words.word("GMFSXYZIJ", words.bare_letter),
    "letter missing": words.word("GMFSXYZIJ", words.bare_number),
    "other letter": words.word("GMFSXYZIJ", words.other_letter),
    "o for 0": words.word("GMFSXYZIJ", words.letter_o),
    "l for 1": words.word("GMFSXYZIJ", words.letter_l),
    "digit of a code changed": words.word("GM", words.digit_changed),
    "digit of a code dropped": words.word("GM", words.digit_dropped),
    "arc the other way": words.code("G0?[23]", "G2", "G3"),
    "arc made straight": words.code("G0?[23]", "G1"),
    "arc made rapid": words.code("G0?[23]", "G0"),
    "line made an arc": words.code("G0?1", "G2", "G3"),
    "rapid for feed": words.code("G0?1", "G0"),
    "feed for rapid": words.code("G0?0", "G1"),
    "G word missing": words.word_missing("G"),
    "G91 for G90": words.code("G90", "G91"),
    "G90 missing": words.word_missing("G", "G90"),
    "other units": words.code("G(20|21|70|71)", "G20", "G21", "G70", "G71"),
    "units missing": words.word_missing("G", "G(20|21|70|71)"),
    "other plane": words.code("G17", "G18", "G19"),
    "other work offset": words.code(r"G5[4-9](\.\d)?", "G54", "G55", "G56", "G59", "G59.1"),
    "compensation on": lines.into_line(r"G[0-3](?!\d)", "G41 D1", "G42 D1", "G41", before=True),
    "compensation in the first line": words.code("G40", "G41", "G42"),
    "incremental from here": lines.into_line(r"G[0-3](?!\d)", "G91", before=True),
    "exact path left": words.code("G61", "G64"),
    "feed missing": words.word_missing("F"),
    "feed ten times too high": words.word("F", words.times(10.0)),
    "feed ten times too low": words.word("F", words.times(0.1)),
    "feed's digit changed": words.word("F", words.digit_changed),
    "feed's digit dropped": words.word("F", words.digit_dropped),
    "feed zero": words.word("F", lambda letter, number, random: "F0."),
    "feed negative": words.word("F", words.sign),
    "speed missing": words.word_missing("S"),
    "speed's digit changed": words.word("S", words.digit_changed),
    "speed's digit dropped": words.word("S", words.digit_dropped),
    "speed's digit twice": words.word("S", words.digit_doubled),
    "speed negative": words.word("S", words.sign),
    "spindle not started": words.word_missing("M", "M3"),
    "spindle the other way": words.code("M3", "M4"),
    "spindle stopped on the way": lines.into_line(r"G1(?!\d)", "M5"),
    "spindle line missing": lines.matching(r"S\d+ M3"),
    "spindle stop missing": lines.matching("M5"),
    "stop missing": lines.matching("M0"),
    "stop made optional": words.code("M0", "M1"),
    "end missing": lines.matching("M30"),
    "end early": lines.into_line(r"G1(?!\d)", "M30"),
    "percent lost": lines.percent_lost,
    "line missing": lines.line_missing,
    "line twice": lines.line_twice,
    "lines exchanged": lines.lines_exchanged,
    "line moved": lines.line_moved,
    "line copied elsewhere": lines.line_copied,
    "lines joined": lines.lines_joined,
    "line cut short": lines.line_cut,
    "rest lost": lines.tail_lost,
    "line made a comment": lines.commented_out,
    "comment left open": lines.comment_open,
    "comment not begun": lines.comment_unbegun,
    "pass missing": work.pass_missing,
    "passes exchanged": work.passes_exchanged,
    "stroke reversed": work.pass_reversed,
    "retract missing": work.retract_missing,
    "depth doubled": work.depth(2.0, everywhere=True),
    "depth halved": work.depth(0.5, everywhere=True),
    "one depth doubled": work.depth(2.0, everywhere=False),
    "one depth halved": work.depth(0.5, everywhere=False),
    "other cutter": work.other_cutter,
    "other cutter asked for": work.cutter_said,
    "cutter not asked for": lines.matching(r"\(CUTTER .*\)|T\d+ M6"),
    "stray character": lines.stray,
    "character lost": lines.character_lost,
    "switched line": lines.into_line(r"G[01](?!\d)", "/", before=True),
}


def planted(kind: str, good: Good, random: Random) -> Planted | None:
    """Plant a fault, or a change of nothing; ``None`` where the program has no place for it or stays as it is."""
    made = (FAULTS | ASK_FAULTS | NOTHING | NOTHING_ASKED)[kind](good, random)
    if made is None:
        return None
    done = Planted(made, good.job) if isinstance(made, str) else made
    return None if done == Planted(good.text, good.job) else done
