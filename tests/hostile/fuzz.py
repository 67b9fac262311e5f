"""Try spoiled input for as long as one likes: ``python -m tests.hostile.fuzz reader|job|mill --seconds N``.

With atheris (``pip install '.[fuzz]'``) the trying is led by the lines that an input reaches; without it, inputs are
spoiled at random, which finds less. What breaks is kept in ``--found``, one file for each place in the code, to be
made smaller by hand and put into ``tests/hostile/inputs.py``, which the tests run again.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import random
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

__all__ = ["main"]

#: What is looked at, line by line; atheris knows whole packages only.
_PACKAGES = ["polypocket", "tomllib"]


class Trial:
    """Tries inputs, counts them, and keeps those that break something."""

    def __init__(self, target: Callable[[bytes], None], seconds: float, found: Path) -> None:
        self.target, self.found = target, found
        self.executions, self.slowest = 0, 0.0
        self.places: set[str] = set()
        self.until = time.monotonic() + seconds

    def once(self, data: bytes) -> None:
        if time.monotonic() > self.until:
            self.end()
        self.executions += 1
        began = time.process_time()
        try:
            self.target(data)
        except Exception as error:  # whatever it is, it is what is looked for
            frames = traceback.extract_tb(error.__traceback__)
            self.keep(data, f"{type(error).__name__} in {frames[-1].filename}:{frames[-1].lineno}: {error}")
        self.slowest = max(self.slowest, time.process_time() - began)

    def keep(self, data: bytes, what: str) -> None:
        place = what.split(": ")[0]
        if place in self.places:
            return
        self.places.add(place)
        self.found.mkdir(parents=True, exist_ok=True)
        path = self.found / hashlib.sha256(data).hexdigest()[:12]
        path.write_bytes(data)
        print(f"{path}: {what[:300]}", flush=True)

    def end(self) -> NoReturn:
        print(
            f"{self.executions} executions, {len(self.places)} findings, the slowest took {self.slowest:.2f} s",
            flush=True,
        )
        os._exit(1 if self.places else 0)  # the loop of atheris does not let an exception out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, prog="python -m tests.hostile.fuzz")
    parser.add_argument("target", choices=("reader", "job", "mill"))
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--found", type=Path, default=Path("found"))
    chosen = parser.parse_args()
    try:
        import atheris
    except ImportError:
        print("atheris is not installed: spoiling at random, without looking which lines are reached")
        _at_random(chosen)
    with atheris.instrument_imports(include=_PACKAGES):
        from tests.hostile.mutation import SEEDS, mutated
        from tests.hostile.targets import TARGETS
    trial = Trial(TARGETS[chosen.target], chosen.seconds, chosen.found)

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        chance = random.Random(seed)
        changed = (
            mutated(data, chance, chosen.target) if chance.random() < 0.6 else atheris.Mutate(data, most)
        )
        return changed[:most]

    with tempfile.TemporaryDirectory() as folder:
        for number, seed in enumerate(SEEDS[chosen.target]):
            (Path(folder) / str(number)).write_bytes(seed)
        options = [sys.argv[0], f"-seed={chosen.seed + 1}", "-max_len=20000", "-verbosity=0"]
        options += ["-report_slow_units=3600", f"-artifact_prefix={folder}/", folder]
        atheris.Setup(options, trial.once, custom_mutator=mutate)
        atheris.Fuzz()


def _at_random(chosen: argparse.Namespace) -> NoReturn:
    from tests.hostile.mutation import SEEDS, mutated
    from tests.hostile.targets import TARGETS

    trial, chance = Trial(TARGETS[chosen.target], chosen.seconds, chosen.found), random.Random(chosen.seed)
    while True:
        trial.once(mutated(chance.choice(SEEDS[chosen.target]), chance, chosen.target))


if __name__ == "__main__":
    main()
