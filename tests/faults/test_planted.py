"""A slice of the big run (``python -m tests.faults``): few faults in short programs."""

from __future__ import annotations

import pytest

from tests.faults.__main__ import TO_LOOK_AT, told
from tests.faults.nothing import NOTHING
from tests.faults.planting import FAULTS
from tests.faults.trial import trials

#: Trials by the seeds of short programs, of 35 to 80 lines: both dialects, with and without backlash and clamps.
SHORT = {23: 80, 43: 80, 25: 40, 4: 40}


@pytest.mark.parametrize(("seed", "turns"), SHORT.items())
def test_no_fault_is_missed_and_no_alarm_is_false(seed: int, turns: int) -> None:
    done = list(trials(seed, turns))
    assert len(done) == turns, f"seed {seed} has no good program any more; take another"
    assert {"caught", "silent"} <= {trial.outcome for trial in done}
    bad = [trial for trial in done if trial.outcome in TO_LOOK_AT]
    assert not bad, "\n\n".join(map(told, bad))


def test_faults_and_changes_of_nothing_have_names_of_their_own() -> None:
    assert not FAULTS.keys() & NOTHING.keys()
