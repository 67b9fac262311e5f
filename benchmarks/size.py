"""How long `polypocket dryrun` takes over a million blocks, beside one regular expression over the same lines.

The program is of our own invention: strips of short lines and arcs over a plate, with comments, feeds and spindle
words, as a program for free-form work has them. The yardstick only calls a compiled pattern's `findall` on each
line. The two alternate, so that what else the machine does falls on both alike. One run prints all::

    python benchmarks/size.py [ROUNDS [BLOCKS]]
"""

from __future__ import annotations

import math
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

MILL = "knee-mill-3-axis"
ROUNDS, BLOCKS = 5, 1_000_000
WORDS = r"([A-Za-z])\s*([-+]?(?:\d+\.?\d*|\.\d+))"
YARDSTICK = f"""
import re, sys
pattern = re.compile({WORDS!r})
for line in open(sys.argv[1]):
    pattern.findall(line)
"""
#: The goal: seconds as a multiple of the yardstick's, and memory in MiB.
MOST_TIMES, MOST_MEMORY = 2.0, 1024.0


def program(blocks: int) -> Iterator[str]:
    """Yield the lines of a program with as many blocks, over a plate of 120 by 80 mm."""
    yield from ("%", "(A plate of waves for the waterworks, invented)", "G21 G17 G90 G94 G40 G49 G54")
    yield from ("S3000 M3", "G0 Z10.", "G0 X-60. Y-40.", "G1 Z0. F200.")
    x, y, strip = -60.0, -40.0, 0
    for number in range(blocks - 11):
        along = number % 250
        if along == 0:
            strip += 1
            yield f"(PASS {strip} strip {strip})"
        elif along == 125 and strip % 20 == 0:
            yield "M5 (look at the chips)"
        elif along == 126 and strip % 20 == 0:
            yield f"M3 S{2500 + strip % 500}"
        elif along % 25 == 1:
            y = -40.0 + strip * 0.02 % 80.0
            yield f"G1 X{x:.3f} Y{y:.3f} F{300 + strip % 200}."
        elif along % 10 == 5:
            # A half circle whose ends are an even number of microns apart, so that I is exact.
            way = 0.4 if strip % 2 else -0.4
            x = round(x + way, 3)
            yield f"G{2 + number % 2} X{x:.3f} Y{y:.3f} I{way / 2.0:.3f} J0."
        else:
            x = round(x + (0.417 if strip % 2 else -0.417), 3)
            z = -1.5 + math.sin(x / 7.0) * math.cos(strip * 0.02 / 5.0)
            yield f"{'G1 ' if along % 10 == 6 else ''}X{x:.3f} Y{y:.3f} Z{z:.3f}"
    yield from ("G0 Z10.", "M5", "M30", "%")


def run(command: list[str]) -> tuple[float, float]:
    """Run a command; return seconds and the most memory it held, MiB."""
    began = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - began
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        raise SystemExit(f"{command[0]} ended with {process.returncode}")
    return seconds, used.ru_maxrss / (1024.0 if sys.platform.startswith("linux") else 1024.0**2)


def main(rounds: int, blocks: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "waves.nc"
        with path.open("w", encoding="utf-8") as file:
            file.writelines(f"{line}\n" for line in program(blocks))
        runs = {
            "findall on each line": [sys.executable, "-c", YARDSTICK, str(path)],
            "polypocket dryrun": [
                *(sys.executable, "-m", "polypocket", "dryrun", str(path), "--machine", MILL),
            ],
        }
        print(f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors, Python", end=" ")
        print(f"{platform.python_version()}; {blocks} blocks, {path.stat().st_size / 1e6:.1f} MB")
        seconds: dict[str, list[float]] = {name: [] for name in runs}
        memory = dict.fromkeys(runs, 0.0)
        for turn in range(-1, rounds):  # the first fills the caches and does not count
            for name, command in runs.items():
                took, held = run(command)
                memory[name] = max(memory[name], held)
                if turn >= 0:
                    seconds[name].append(took)
    yardstick, ours = seconds.values()
    print(f"{'':22} {'median s':>9} {'least s':>9} {'MiB':>7}")
    for name, times in seconds.items():
        print(f"{name:22} {median(times):9.2f} {min(times):9.2f} {memory[name]:7.0f}")
    ratio = median(one / other for one, other in zip(ours, yardstick, strict=True))
    print(f"{ratio:.2f} times as long (goal ≤ {MOST_TIMES:g}); memory (goal < {MOST_MEMORY:g} MiB)")


if __name__ == "__main__":
    main(*(int(text) for text in sys.argv[1:3]), *(ROUNDS, BLOCKS)[len(sys.argv) - 1 :])
