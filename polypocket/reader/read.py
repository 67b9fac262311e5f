"""The reader's one public function: where a program begins and ends, and what its lines do in between."""

from __future__ import annotations

import re

from polypocket.progress import Progress, silent
from polypocket.reader.asks import hear
from polypocket.reader.block import Block, sort_words
from polypocket.reader.coded import decode
from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.execution import carry_out
from polypocket.reader.groups import Group
from polypocket.reader.state import AXES, State
from polypocket.reader.track import Track
from polypocket.reader.words import Fault, Reading, read_words

__all__ = ["read"]

# ISO 6983-1 puts the program's number there (from memory).
_PROGRAM_NUMBER = re.compile(r"[ \t]*:[ \t]*[0-9][0-9 \t]*")
_BLANKS = " \t"
#: A program of fewer lines is read line by line: in that time what reads many at a time is just loaded, as measured.
LEAST_LINES = 500
#: After so many lines it is told again how far the reading has come. No source.
_LINES_TO_TELL = 16_384

#: Longer lines are refused unread, in characters, unless the dialect takes them: they are no lines. No source.
_LONGEST_LINE = 4096


def read(
    text: str, dialect: Dialect, *, name: str = "program", file: int = 0, progress: Progress = silent
) -> Track:
    """Read a program as the dialect's control would, and give its motions and events.

    Lengths and feeds of the track are mm and mm/min whatever the program's units. Nothing that a program
    says raises: what is refused stands in the track's complaints, and the reading goes on with the next
    line, until there are so many that this is hardly a program. A track with complaints is no account of
    what a mill would do.

    Args:
        text: the program; lines end in LF or CR LF.
        dialect: how the control reads.
        name: the program's name, for the track.
        file: the program's index among several, for the track's column ``file``.
        progress: told how far the reading has come.
    """
    draft, state = Draft(), State()
    lines = text.split("\n")
    if "\r" in text:
        lines = [line.removesuffix("\r") for line in lines]
    opening = _opening(lines)
    ends = False
    number_may_come = dialect.program_number and opening is not None
    bulk = None
    if len(lines) >= LEAST_LINES:
        from polypocket.reader.bulk import bulk_of  # late: it takes its time to load

        bulk = bulk_of(lines, dialect)
    number, tell = 0 if opening is None else opening + 1, 0
    while number < len(lines):
        line, number = lines[number], number + 1
        if number > tell:
            progress(f"reading {name}", number / len(lines))
            tell = number + _LINES_TO_TELL
        if line.strip(_BLANKS) == "%":
            if opening is None:
                draft.complain(number, line.index("%") + 1, "end", "a closing % without an opening one")
            elif dialect.end_word and not state.ended:
                draft.complain(number, line.index("%") + 1, "end", "no M2 or M30 before the closing %")
            ends = True
            break
        if state.ended or not line:
            continue
        if number_may_come and line.strip(_BLANKS):
            number_may_come = False
            line = _without_program_number(line)
        elif bulk is not None and (many := bulk.carry_out(number - 1, state, draft)):
            number += many - 1
            continue
        _read_line(line, number, dialect, state, draft)
        if draft.is_full:
            draft.close(number)
            ends = True  # whether it has an end, nobody looked
            break
        if state.ended and opening is None:
            ends = True
            break
    if not ends:
        _complain_of_the_end(lines, opening, draft)
    return draft.track(name, file, state.first_units)


def _opening(lines: list[str]) -> int | None:
    """Find the index of the opening ``%``: the first line that is not blank, if it is one."""
    for index, line in enumerate(lines):
        if stripped := line.strip(_BLANKS):
            return index if stripped == "%" else None
    return None


def _without_program_number(line: str) -> str:
    """Blank out the program's number where nothing but comments stands behind it; the columns stay."""
    found = _PROGRAM_NUMBER.match(line)
    if found is None:
        return line
    blanked = " " * found.end() + line[found.end() :]
    return line if read_words(blanked).words else blanked


def _read_line(line: str, number: int, dialect: Dialect, state: State, draft: Draft) -> None:
    """Read and carry out a line; comments before the first word act before its block, the others after it."""
    too_long = len(line) > dialect.line_length
    reading = _unread(line) if too_long and len(line) > _LONGEST_LINE else read_words(line)
    if reading.optional and (reading.words or reading.comments):
        draft.switched(number)
    first_word = reading.words[0].column if reading.words else len(line) + 1
    before = [remark for remark in reading.comments if remark.column < first_word]
    for remark in before:
        hear(remark, number, reading.optional, state, draft)
    if reading.words or reading.fault or too_long:
        block = sort_words(reading, number, dialect, draft.complain)
        if too_long and len(line) <= _LONGEST_LINE:
            block.refused = True
            text = f"the line has {len(line)} characters, more than this control's {dialect.line_length}"
            draft.complain(number, dialect.line_length + 1, "unread", text)
        for letter in AXES:
            if letter in block.values:
                draft.axis_word(letter, number)
        if dialect.wants_words:
            _decode(block, state, draft, dialect)
        carry_out(block, state, draft, dialect)
    for remark in reading.comments[len(before) :]:
        if state.ended:
            draft.comment(number, remark.column, remark.text)
        else:
            hear(remark, number, reading.optional, state, draft)


def _decode(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    """Give coded words the values that the control takes them for."""

    def refuse(column: int, text: str) -> None:
        block.refused = True
        draft.complain(block.line, column, "unread", text)

    if dialect.words is None:
        if "uncoded" not in state.told and block.values:
            refuse(block.column, "how words are coded must stand in the mill file's table [words] first")
            state.told.add("uncoded")
        return
    units = state.units
    if Group.UNITS in block.codes:
        units = "inch" if block.codes[Group.UNITS].number == dialect.inch_word * 10 else "mm"
    decode(block, units, dialect.words, refuse)


def _unread(line: str) -> Reading:
    """Make the reading of a line so long that its words are not looked at: it is all fault."""
    text = f"the line has {len(line)} characters and is not read; no control takes so many"
    return Reading(fault=Fault(1, text, line))


def _complain_of_the_end(lines: list[str], opening: int | None, draft: Draft) -> None:
    """Complain, at the last line that is not blank, of an end that is missing."""
    last = next((number for number in range(len(lines), 0, -1) if lines[number - 1].strip(_BLANKS)), 1)
    text = "the program has no end: no M2 or M30" if opening is None else "the opening % wants a closing one"
    draft.complain(last, 1, "end", text)
