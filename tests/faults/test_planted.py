"""A slice of the big run (``python -m tests.faults``): few faults in short programs."""

from __future__ import annotations

import pytest

from tests.faults.__main__ import TO_LOOK_AT, told
from tests.faults.planting import FAULTS, NOTHING
from tests.faults.trial import run, trials

#: Trials by the seeds of short programs, of 35 to 80 lines: both dialects, with and without backlash and clamps.
SHORT = {23: 80, 43: 80, 25: 40, 4: 40}

#: Trials whose faults the dry run once let pass, or told wrongly.
ONCE_MISSED: tuple[str, ...] = ()


@pytest.mark.parametrize(("seed", "turns"), SHORT.items())
def test_no_fault_is_missed_and_no_alarm_is_false(seed: int, turns: int) -> None:
    done = list(trials(seed, turns))
    assert len(done) == turns, f"seed {seed} has no good program any more; take another"
    assert {"caught", "silent"} <= {trial.outcome for trial in done}
    bad = [trial for trial in done if trial.outcome in TO_LOOK_AT]
    assert not bad, "\n\n".join(map(told, bad))


@pytest.mark.parametrize("name", ONCE_MISSED)
def test_faults_that_were_once_missed(name: str) -> None:
    seed, turn = map(int, name.split("/"))
    trial = run(seed, turn)
    assert trial.outcome == "caught", told(trial)


def test_faults_and_changes_of_nothing_have_names_of_their_own() -> None:
    assert not FAULTS.keys() & NOTHING.keys()
