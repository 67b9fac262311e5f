"""``python -m tests.faults --planted 5000``: plant so many faults and print what the dry run made of them."""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import nullcontext
from itertools import count
from pathlib import Path
from typing import TextIO

from tests.faults.programs import KINDS
from tests.faults.sheets.trial import SHEET, sheet_run, sheet_trials
from tests.faults.trial import Trial, run, trials

#: Programs by the mills that they are for, and sheets for such as are worked by hand.
EVERY = (*KINDS, SHEET)

#: Faults in one program: reading and planning it takes longer than a trial.
TURNS = 60
_OUTCOMES = ("caught", "mislabelled", "missed", "silent", "either", "false alarm", "beyond")
#: Programs that wait for a process, for each.
_AHEAD = 4
TO_LOOK_AT = ("missed", "mislabelled", "false alarm")


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--planted", type=int, default=5000, help="how many faults (default 5000)")
    parser.add_argument("--seed", type=int, default=0, help="of the first program (default 0)")
    parser.add_argument("--workers", type=int, default=2, help="processes (default 2)")
    parser.add_argument(
        "--minutes", type=float, default=math.inf, help="stop after so long, however many there are"
    )
    parser.add_argument(
        "--mills", choices=(*EVERY, "all"), default="all", help="on which mills (default all, in turn)"
    )
    parser.add_argument(
        "--again", metavar="[MILLS/]SEED/TURN", help="run one trial again and tell all about it"
    )
    parser.add_argument(
        "-o", dest="file", type=Path, help="where to write what is to be looked at, as it comes"
    )
    arguments = parser.parse_args()
    if arguments.again:
        *mills, seed, turn = arguments.again.split("/")
        again = sheet_run(int(seed), int(turn)) if mills == [SHEET] else run(int(seed), int(turn), *mills)
        print(told(again))
        return 0
    begin = time.monotonic()
    kinds = EVERY if arguments.mills == "all" else (arguments.mills,)
    until = begin + 60.0 * arguments.minutes
    with open(arguments.file, "w", encoding="utf-8") if arguments.file else nullcontext(sys.stdout) as file:
        done = collect(arguments.planted, arguments.seed, arguments.workers, file, until, kinds)
    print(table(done))
    print(f"\n{len(done)} planted in {time.monotonic() - begin:.0f} s")
    return 1 if any(trial.outcome in TO_LOOK_AT for trial in done) else 0


def collect(
    planted: int,
    first: int,
    workers: int,
    file: TextIO,
    until: float = math.inf,
    kinds: Sequence[str] = EVERY,
) -> list[Trial]:
    """Run trials until there are enough, program by program from a seed on; write down what is to be looked at.

    Each seed has a program for each of some ``kinds`` of mills.
    """
    done: list[Trial] = []
    waiting: list[Future[list[Trial]]] = []
    programs = ((seed, kind) for seed in count(first) for kind in kinds)
    with ProcessPoolExecutor(workers) as pool:
        while len(done) < planted and time.monotonic() < until:
            while len(waiting) < _AHEAD * workers:
                waiting.append(pool.submit(_trials, *next(programs)))
            found = waiting.pop(0).result()
            done += found
            for trial in found:
                if trial.outcome in TO_LOOK_AT:
                    print(told(trial), end="\n\n", file=file, flush=True)
        pool.shutdown(cancel_futures=True)
    return done[:planted]


def _trials(seed: int, mills: str) -> list[Trial]:
    return list(sheet_trials(seed, TURNS) if mills == SHEET else trials(seed, TURNS, mills))


def told(trial: Trial) -> str:
    """Return all about a trial."""
    head = f"{trial.outcome}: {trial.name}, {trial.kind}; sure {trial.harms}, maybe {trial.maybe}, found {trial.found}"
    return "\n".join([head, *(f"    {line}" for line in trial.told)])


def table(done: Iterable[Trial]) -> str:
    """Return how often each outcome came of each kind of fault, and of each kind of harm."""
    kinds: dict[str, Counter[str]] = defaultdict(Counter)
    harms: dict[str, Counter[str]] = defaultdict(Counter)
    mills: dict[str, Counter[str]] = defaultdict(Counter)
    total: Counter[str] = Counter()
    for trial in done:
        kinds[trial.kind][trial.outcome] += 1
        mills[trial.mills][trial.outcome] += 1
        total[trial.outcome] += 1
        for harm in trial.harms:
            harms[harm][trial.outcome] += 1
    lines = [_row("fault", "planted", *_OUTCOMES)]
    lines += [_counted(kind, kinds[kind]) for kind in sorted(kinds)]
    lines += [_counted("all", total), "", _row("mills", "planted", *_OUTCOMES)]
    lines += [_counted(kind, mills[kind]) for kind in EVERY if kind in mills]
    lines += ["", _row("harm, sure", "trials", *_OUTCOMES)]
    lines += [_counted(harm, harms[harm]) for harm in sorted(harms)]
    return "\n".join(lines)


def _counted(name: str, counts: Counter[str]) -> str:
    return _row(name, counts.total(), *(counts[outcome] or "" for outcome in _OUTCOMES))


def _row(name: str, *cells: object) -> str:
    return f"{name:32}" + "".join(f"{cell!s:>12}" for cell in cells)


if __name__ == "__main__":
    sys.exit(main())
