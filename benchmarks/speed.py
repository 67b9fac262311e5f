"""How long the commands take to start and to work, beside Python starting with the libraries that they stand on.

Runs alternate, so that what else the machine does falls on all alike. Beside the time that passes stands the
processor's, all cores together: libraries that start threads on a second core seem quicker than they are. One run
prints all::

    python benchmarks/speed.py [ROUNDS]
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

JOB = Path(__file__).resolve().parents[1] / "shared" / "jobs" / "valve_stem_block.toml"
MILL = "knee-mill-3-axis"
ROUNDS = 11
BASE = "libraries"


def commands(folder: Path) -> dict[str, list[str]]:
    """Return what is run, by what the table calls it."""
    command = str(Path(sys.executable).with_name("polypocket"))
    return {
        BASE: [sys.executable, "-c", "import numpy, shapely, pydantic, typer"],
        "polypocket --help": [command, "--help"],
        "polypocket write": [command, "write", str(JOB), "--machine", MILL, "-o", str(folder / "demo.nc")],
    }


def main(rounds: int) -> None:
    # Libraries are installed with their bytecode; the first turn leaves ours beside the modules, as installing does.
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    goals = {"polypocket --help": 1.2, "polypocket write": 3.0}
    seconds: dict[str, list[float]] = {}
    processor: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        runs = commands(Path(folder))
        for turn in range(-1, rounds):  # the first fills the caches and does not count
            for name, command in runs.items():
                began, worked = time.perf_counter(), _processor_seconds()
                subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
                if turn >= 0:
                    seconds.setdefault(name, []).append(time.perf_counter() - began)
                    processor.setdefault(name, []).append(_processor_seconds() - worked)
        if not (Path(folder) / "demo.nc").stat().st_size:
            raise SystemExit("write left an empty file")
    print(
        f"{'command':20} {'median s':>9} {'least s':>9} {'ratio':>7} {'processor s':>12} {'ratio':>7}  goal"
    )
    for name, times in seconds.items():
        goal = f"≤ {goals[name]:g}" if name in goals else ""
        print(
            f"{name:20} {median(times):9.3f} {min(times):9.3f} {median(times) / median(seconds[BASE]):7.2f} "
            f"{median(processor[name]):12.3f} {median(processor[name]) / median(processor[BASE]):7.2f}  {goal}"
        )


def _processor_seconds() -> float:
    """Return what the commands that have ended took of all cores."""
    used = os.times()
    return used.children_user + used.children_system


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS)
