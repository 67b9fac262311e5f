"""What a block does, in the order in which a control does it.

Source of the order: NISTIR 6556, table 8 (in part from memory): feed mode, F, S, T, tool change, spindle,
coolant, overrides, dwell, plane, units, radius compensation, length compensation, offset, path mode,
distance mode, return mode, motion, stop. Overrides change nothing that is kept here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from polypocket.reader.block import Block, Code
from polypocket.reader.columns import Draft
from polypocket.reader.compensation import has_moved, refuse_beside_compensation, turn_compensation
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import CYCLES, Group, g_text
from polypocket.reader.motion import move
from polypocket.reader.state import State
from polypocket.reader.track import Event, Kind

__all__ = ["carry_out"]

#: The largest number of a cutter or a register. No source: controls hold a few hundred.
_MOST = 99_999

_DWELL, _MACHINE, _WITH_LENGTH = 40, 530, 430
_INVERSE_TIME = 93
_DIRECTIONS = {3: 1, 4: -1, 5: 0}
_ROUNDING_CORNERS = 640
_STOPS = {0: Event.STOP, 1: Event.OPTIONAL_STOP}


def carry_out(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    """Carry out one block: change ``state``, and leave rows and complaints in ``draft``."""
    if not block.refused:
        _refuse_words_without_use(block, state, draft)
    refuse_beside_compensation(block, state, draft)
    _feed(block, state, draft)
    _speed(block, state, draft)
    _cutter(block, state, draft)
    if block.codes:  # most lines carry none
        _spindle(block, state, draft)
        _coolant(block, state, draft)
        _dwell(block, state, draft)
        _modes(block, state, draft, dialect)
    move(block, state, draft, dialect)
    if state.feed_mode == _INVERSE_TIME:
        # There every feed move has its own: NISTIR 6556 3.5.19 (from memory).
        state.feed = math.nan
        state.told.discard("no-feed")
    has_moved(block, state)
    _stop(block, state, draft)


def _refuse_words_without_use(block: Block, state: State, draft: Draft) -> None:
    """Refuse words that nothing on the line takes: a control might take them for something else."""
    if block.values.keys() <= _ALWAYS_OF_USE:
        return
    codes = block.codes
    special = codes[Group.NOT_MODAL].number if Group.NOT_MODAL in codes else None
    of_use: set[str] = set()
    if special in (None, _DWELL, _MACHINE):
        motion = codes[Group.MOTION].number if Group.MOTION in codes else state.motion
        of_use |= _WORDS_OF_MOTION.get(motion, frozenset())
    if special == _DWELL:
        of_use.add("P")
    if Group.LENGTH in codes and codes[Group.LENGTH].number == _WITH_LENGTH:
        of_use.add("H")
    if Group.COMPENSATION in codes and codes[Group.COMPENSATION].number != 400:
        of_use.add("D")
    for letter, word in block.values.items():
        if letter not in _ALWAYS_OF_USE and letter not in of_use:
            block.refused = True
            draft.complain(block.line, word.column, "unread", f"nothing on this line takes a word {letter}")


_ALWAYS_OF_USE = frozenset("FSTXYZ")
_WORDS_OF_MOTION: Mapping[int | None, frozenset[str]] = {
    **dict.fromkeys((20, 30), frozenset("IJKR")),
    **dict.fromkeys(CYCLES, frozenset("IJKLPQR")),  # those that are refused, with whatever they take
    810: frozenset("LR"),
    820: frozenset("LPR"),
    830: frozenset("LQR"),
}


def _feed(block: Block, state: State, draft: Draft) -> None:
    if (mode := block.codes.get(Group.FEED_MODE)) is not None and mode.number // 10 != state.feed_mode:
        state.feed_mode, state.feed = mode.number // 10, math.nan
    if (word := block.values.get("F")) is None:
        return
    if word.value < 0.0:
        draft.complain(block.line, word.column, "unread", f"F{word.text} is negative")
        return
    if state.units is None and state.feed_mode != _INVERSE_TIME and "units" not in state.told:
        state.told.add("units")
        text = "F is carried out before the units are set; set them on a line before it"
        draft.complain(block.line, word.column, "units", text)
    state.feed = word.value
    state.told.discard("no-feed")


def _speed(block: Block, state: State, draft: Draft) -> None:
    if (word := block.values.get("S")) is None:
        return
    if word.value < 0.0:
        draft.complain(block.line, word.column, "unread", f"S{word.text} is negative")
    else:
        state.speed = word.value


def _cutter(block: Block, state: State, draft: Draft) -> None:
    if (word := block.values.get("T")) is not None:
        if word.value.is_integer() and 0.0 <= word.value <= _MOST:
            state.selected = int(word.value)
        else:
            draft.complain(
                block.line, word.column, "tool", f"T{word.text} is no cutter's number (0 to {_MOST})"
            )
    if (change := block.codes.get(Group.TOOL)) is None:
        return
    if state.selected is None:
        draft.complain(block.line, change.column, "tool", "M6 without a T word: which cutter is not known")
    else:
        state.tool = state.selected
        state.by_changer = True
    state.direction = 0  # the spindle is stopped when the change is complete: NISTIR 6556 3.6.3 (from memory)
    draft.add(state, block.line, block.optional, Kind.EVENT, Event.CUTTER)


def _spindle(block: Block, state: State, draft: Draft) -> None:
    if (code := block.codes.get(Group.SPINDLE)) is not None:
        state.direction = _DIRECTIONS[code.number]
        draft.add(state, block.line, block.optional, Kind.EVENT, Event.SPINDLE)


def _coolant(block: Block, state: State, draft: Draft) -> None:
    mist, flood = block.codes.get(Group.MIST), block.codes.get(Group.FLOOD)
    if mist is not None:
        state.mist = mist.number == 7
    if flood is not None:
        state.flood = flood.number == 8
    if mist is not None or flood is not None:
        draft.add(state, block.line, block.optional, Kind.EVENT, Event.COOLANT)


def _dwell(block: Block, state: State, draft: Draft) -> None:
    code = block.codes.get(Group.NOT_MODAL)
    if code is None or code.number != _DWELL or block.refused:
        return
    motion = block.codes.get(Group.MOTION)
    word = block.values.get("P")
    axes = [block.values[axis] for axis in "XYZ" if axis in block.values]
    if word is None:
        draft.complain(block.line, code.column, "unread", "G4 without P: how long to wait is not known")
    elif word.value < 0.0:
        draft.complain(block.line, word.column, "unread", f"G4 with a negative time, P{word.text}")
    elif motion is not None and motion.number in CYCLES:
        block.refused = True
        text = f"G4 and {g_text(motion.number)} on one line: which of them waits is not certain"
        draft.complain(block.line, code.column, "unread", text)
    elif axes and motion is None:
        # The standard moves by the motion mode in force; on other controls X after G4 is a time.
        block.refused = True
        draft.complain(
            block.line, axes[0].column, "unread", "axis words with G4 may be read as a time of waiting"
        )
    else:
        draft.add(state, block.line, block.optional, Kind.DWELL, dwell=word.value)


def _modes(block: Block, state: State, draft: Draft, dialect: Dialect) -> None:
    codes = block.codes
    if (code := codes.get(Group.PLANE)) is not None:
        state.plane = code.number
    if (code := codes.get(Group.UNITS)) is not None:
        _units(
            "inch" if code.number == dialect.inch_word * 10 else "mm", code.column, block.line, state, draft
        )
    if (code := codes.get(Group.COMPENSATION)) is not None:
        turn_compensation(block, code, state, draft, dialect)
    if (code := codes.get(Group.LENGTH)) is not None:
        _length(block, code, state, draft)
    if (code := codes.get(Group.OFFSET)) is not None:
        state.use_offset(code.number / 10.0)
    if (code := codes.get(Group.PATH)) is not None:
        draft.path_mode(block.line, rounds=code.number == _ROUNDING_CORNERS)
    if (code := codes.get(Group.DISTANCE)) is not None:
        state.distance = code.number
    if (code := codes.get(Group.RETURN)) is not None:
        state.return_mode = code.number


def _length(block: Block, code: Code, state: State, draft: Draft) -> None:
    """Take the length of G43's register into account, or none; H0 is none: NISTIR 6556 3.5.11 (from memory)."""
    if code.number != _WITH_LENGTH:
        state.use_length(0)
    elif (word := block.values.get("H")) is None:
        draft.complain(block.line, code.column, "tool", "G43 without H: whose length to use is not known")
        state.work[2] = math.nan
    elif not (word.value.is_integer() and 0.0 <= word.value <= _MOST):
        text = f"H{word.text} is no register's number (0 to {_MOST})"
        draft.complain(block.line, word.column, "tool", text)
        state.work[2] = math.nan
    else:
        state.use_length(int(word.value))


def _units(units: str, column: int, line: int, state: State, draft: Draft) -> None:
    if state.units is None:
        state.first_units = units
    elif units != state.units:
        # Whether F goes over with the units differs from control to control.
        state.feed = math.nan
        draft.complain(line, column, "units", f"the units change from {state.units} to {units}; keep to one")
    state.units = units


def _register(block: Block, letter: str) -> int:
    """Give the register that a refused compensation names, 0 where it names none."""
    word = block.values.get(letter)
    return int(word.value) if word is not None and 0.0 <= word.value <= _MOST else 0


def _stop(block: Block, state: State, draft: Draft) -> None:
    if (code := block.codes.get(Group.STOP)) is None or code.number == 60:
        return
    if code.number in _STOPS:
        draft.add(state, block.line, block.optional, Kind.EVENT, _STOPS[code.number])
    else:
        if block.optional:
            text = "a switch at the control decides whether the program ends here; take the / away"
            draft.complain(block.line, code.column, "end", text)
        state.reset()
        draft.add(state, block.line, block.optional, Kind.EVENT, Event.END)
