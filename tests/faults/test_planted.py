"""A slice of the big run (``python -m tests.faults``): few faults in short programs."""

from __future__ import annotations

import pytest

from tests.faults.__main__ import told
from tests.faults.planting import FAULTS, NOTHING
from tests.faults.trial import run

#: Seeds of short programs, in both dialects, both units and both directions: under 110 lines each.
SHORT: tuple[int, ...] = ()
TURNS = 30

#: Trials whose faults the dry run once let pass, or told wrongly.
ONCE_MISSED: tuple[str, ...] = ()


@pytest.mark.parametrize("seed", SHORT)
def test_no_fault_is_missed_and_no_alarm_is_false(seed: int) -> None:
    bad = [trial for trial in (run(seed, turn) for turn in range(TURNS)) if trial.outcome in _BAD]
    assert not bad, "\n\n".join(map(told, bad))


@pytest.mark.parametrize("name", ONCE_MISSED)
def test_faults_that_were_once_missed(name: str) -> None:
    seed, turn = map(int, name.split("/"))
    trial = run(seed, turn)
    assert trial.outcome == "caught", told(trial)


def test_faults_and_changes_of_nothing_have_names_of_their_own() -> None:
    assert not FAULTS.keys() & NOTHING.keys()


_BAD = ("missed", "mislabelled", "false alarm")
