"""A slice of the big run (``python -m tests.faults``): few faults in short programs."""

from __future__ import annotations

import pytest

from tests.faults.__main__ import TO_LOOK_AT, told
from tests.faults.ask_faults import ASK_FAULTS, NOTHING_ASKED
from tests.faults.nothing import NOTHING
from tests.faults.planting import FAULTS
from tests.faults.sheets import planting as on_sheets
from tests.faults.sheets.trial import sheet_trials
from tests.faults.trial import Trial, trials

#: Trials by the seeds of short programs, of 35 to 80 lines: both dialects, with and without backlash and clamps.
SHORT = {23: 80, 43: 80, 25: 40, 4: 40}
#: Likewise of mills on which a person does some of it: with and without a drive of Z and a switch of the spindle, X and
#: Y set by hand, dials, and the last of two to four clampings.
SHORT_BY_HAND = (
    ("height", 23, 50),
    ("height", 14, 50),
    ("axis", 4, 50),
    ("axis", 61, 50),
    ("axis", 33, 40),
    ("clampings", 25, 50),
    ("clampings", 41, 40),
)
#: Likewise of sheets: with readouts and dials, in both units, at one depth and two, of stock round and square.
SHORT_SHEETS = {3: 50, 5: 40, 13: 40, 41: 50, 48: 40}


@pytest.mark.parametrize(("seed", "turns"), SHORT.items())
def test_no_fault_is_missed_and_no_alarm_is_false(seed: int, turns: int) -> None:
    look_at(list(trials(seed, turns)), turns)


@pytest.mark.parametrize(("mills", "seed", "turns"), SHORT_BY_HAND)
def test_nor_where_a_person_does_some_of_it(mills: str, seed: int, turns: int) -> None:
    look_at(list(trials(seed, turns, mills)), turns)


@pytest.mark.parametrize(("seed", "turns"), SHORT_SHEETS.items())
def test_nor_in_a_sheet_for_a_mill_worked_by_hand(seed: int, turns: int) -> None:
    look_at(list(sheet_trials(seed, turns)), turns)


def look_at(done: list[Trial], turns: int) -> None:
    assert len(done) == turns, "the seed has no good program any more; take another"
    assert {"caught", "silent"} <= {trial.outcome for trial in done}
    bad = [trial for trial in done if trial.outcome in TO_LOOK_AT]
    assert not bad, "\n\n".join(map(told, bad))


def test_faults_and_changes_of_nothing_have_names_of_their_own() -> None:
    kinds = (FAULTS, ASK_FAULTS, NOTHING, NOTHING_ASKED)
    assert len(set().union(*kinds)) == sum(map(len, kinds))
    assert not on_sheets.FAULTS.keys() & on_sheets.NOTHING.keys()
