"""A sound file with a few changes is read or refused; the same that the fuzzing runs for hours."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.hostile.fuzz import Trial
from tests.hostile.mutation import SEEDS, mutated
from tests.hostile.targets import TARGETS


@pytest.mark.parametrize("target", sorted(TARGETS))
@settings(max_examples=80)
@given(data=st.data())
def test_spoiled(target: str, data: st.DataObject) -> None:
    seed = data.draw(st.sampled_from(SEEDS[target]))
    chance = data.draw(st.randoms(use_true_random=False))
    TARGETS[target](mutated(seed, chance, target))


@pytest.mark.parametrize("target", sorted(TARGETS))
@settings(max_examples=40)
@given(content=st.binary(max_size=400))
def test_any_bytes(target: str, content: bytes) -> None:
    TARGETS[target](content)


def test_changes_change(target: str = "job") -> None:
    seed = SEEDS[target][0]
    assert len({mutated(seed, random.Random(number), target) for number in range(20)}) > 15


def test_a_trial_keeps_what_breaks_once_a_place(tmp_path: Path) -> None:
    def fragile(data: bytes) -> None:
        assert b"\0" not in data
        data.decode()

    trial = Trial(fragile, 60.0, tmp_path / "found")
    for data in (b"sound", b"a\0", b"b\0", b"\xff"):
        trial.once(data)
    assert trial.executions == 4
    assert sorted(path.read_bytes() for path in (tmp_path / "found").iterdir()) == [b"a\0", b"\xff"]
