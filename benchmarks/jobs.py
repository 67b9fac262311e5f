"""The fixed list of jobs that the benchmarks plan. All are invented, for an invented waterworks' repair shop."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

from polypocket.model.files import load_job
from polypocket.model.job import BlockJob

__all__ = ["JOBS", "BenchmarkJob"]


@dataclass(frozen=True, slots=True)
class BenchmarkJob:
    """A job in few words; lengths mm, ``feed`` mm/min.

    Attributes:
        name: for the table.
        stock: lines of ``[stock]`` that give shape and sizes.
        sections: sides, across flats (or "stock"), depth and first flat in degrees of each.
        diameter: of the cutter.
        stepover: radial depth.
        stepdown: axial depth.
        allowance: for the finishing pass.
        feed: while cutting.
        climb: direction of the cut.
    """

    name: str
    stock: str
    sections: tuple[tuple[int, float | str, float, float], ...]
    diameter: float
    stepover: float
    stepdown: float
    allowance: float
    feed: float
    climb: bool = False

    def load(self) -> BlockJob:
        """Return the job as it comes from a file with these words."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, "job.toml")
            path.write_text(self._text(), encoding="utf-8")
            return load_job(path)

    def _text(self) -> str:
        deepest = max(depth for _, _, depth, _ in self.sections)
        sections = "".join(
            f"[[sections]]\nsides = {sides}\nacross_flats = {across_flats!r}\n"
            f"depth = {depth}\nfirst_flat = {first_flat}\n"
            for sides, across_flats, depth, first_flat in self.sections
        )
        return f"""
kind = "block"
name = "{self.name}"
units = "mm"
[stock]
{self.stock}
thickness = {deepest + 14.0}
oversize = 0.8
material = "aluminium-6061"
{sections}
[cutter]
number = 1
diameter = {self.diameter}
flutes = 3
flute_length = {deepest + 2.0}
stick_out = {deepest + 12.0}
material = "carbide"
centre_cutting = true
[cut]
direction = "{"climb" if self.climb else "conventional"}"
stepover = {self.stepover}
stepdown = {self.stepdown}
finish_allowance = {self.allowance}
spindle_rpm = 3000
feed = {self.feed}
[clamping]
grip = "plate"
[tolerance]
angle = 0.1
"""


def _square(width: float) -> str:
    return f'shape = "square"\nwidth = {width}'


def _rectangle(width: float, length: float) -> str:
    return f'shape = "rectangle"\nwidth = {width}\nlength = {length}'


def _round(diameter: float) -> str:
    return f'shape = "round"\ndiameter = {diameter}'


def _polygon(sides: int, across_flats: float, first_flat: float = 0.0) -> str:
    return f'shape = "polygon"\nsides = {sides}\nacross_flats = {across_flats}\nfirst_flat = {first_flat}'


JOBS = (
    BenchmarkJob("3 in square", _square(70.0), ((3, 34.0, 12.0, 90.0),), 12.0, 3.0, 6.0, 0.2, 400.0),
    BenchmarkJob("3 in round", _round(90.0), ((3, 42.0, 10.0, 0.0),), 16.0, 4.0, 5.0, 0.25, 350.0, True),
    BenchmarkJob("4 in round", _round(80.0), ((4, 54.0, 16.0, 0.0),), 12.0, 2.5, 8.0, 0.2, 450.0),
    BenchmarkJob("4 in square, turned", _square(75.0), ((4, 50.0, 10.0, 45.0),), 12.0, 3.0, 10.0, 0.2, 400.0),
    BenchmarkJob(
        "4 in rectangle", _rectangle(100.0, 70.0), ((4, 60.0, 15.0, 0.0),), 16.0, 4.0, 5.0, 0.2, 350.0
    ),
    BenchmarkJob("5 in square", _square(80.0), ((5, 64.0, 12.0, 90.0),), 10.0, 2.0, 6.0, 0.2, 500.0),
    BenchmarkJob("5 in pentagon", _polygon(5, 90.0), ((5, 76.0, 9.0, 0.0),), 12.0, 2.5, 4.5, 0.2, 400.0),
    BenchmarkJob("6 in round", _round(65.0), ((6, 50.0, 20.0, 0.0),), 12.0, 2.0, 10.0, 0.2, 480.0),
    BenchmarkJob("6 in square", _square(60.0), ((6, 50.0, 15.0, 0.0),), 12.0, 3.0, 7.5, 0.2, 400.0, True),
    BenchmarkJob(
        "6 in rectangle", _rectangle(120.0, 80.0), ((6, 68.0, 12.0, 0.0),), 16.0, 5.0, 6.0, 0.3, 350.0
    ),
    BenchmarkJob("8 from the square", _square(75.0), ((8, "stock", 18.0, 0.0),), 12.0, 2.5, 9.0, 0.2, 450.0),
    BenchmarkJob("8 in round", _round(100.0), ((8, 86.0, 14.0, 22.5),), 12.0, 2.0, 7.0, 0.2, 480.0),
    BenchmarkJob("8 in square", _square(100.0), ((8, 88.0, 10.0, 0.0),), 20.0, 4.0, 5.0, 0.3, 300.0, True),
    BenchmarkJob("10 in square", _square(110.0), ((10, 96.0, 12.0, 0.0),), 12.0, 1.8, 6.0, 0.2, 480.0),
    BenchmarkJob("10 in round", _round(80.0), ((10, 70.0, 12.0, 0.0),), 10.0, 1.5, 4.0, 0.2, 520.0, True),
    BenchmarkJob("12 in square", _square(130.0), ((12, 124.0, 16.0, 0.0),), 12.0, 1.8, 8.0, 0.2, 480.0),
    BenchmarkJob(
        "12 in rectangle", _rectangle(120.0, 100.0), ((12, 90.0, 8.0, 0.0),), 16.0, 3.0, 8.0, 0.2, 380.0
    ),
    BenchmarkJob("16 in round", _round(120.0), ((16, 110.0, 15.0, 0.0),), 12.0, 2.0, 5.0, 0.2, 480.0),
    BenchmarkJob("16 in square", _square(90.0), ((16, 80.0, 9.0, 0.0),), 10.0, 2.0, 4.5, 0.16, 500.0, True),
    BenchmarkJob(
        "6 on 8 in round",
        _round(90.0),
        ((6, 60.0, 8.0, 0.0), (8, 76.0, 18.0, 0.0)),
        12.0,
        2.5,
        6.0,
        0.2,
        420.0,
    ),
    BenchmarkJob(
        "10 on 12 in square",
        _square(130.0),
        ((12, 124.0, 21.0, 0.0), (10, 112.0, 9.0, 0.0)),
        12.0,
        1.8,
        10.5,
        0.2,
        480.0,
    ),
    BenchmarkJob(
        "4 on 6 in hexagon",
        _polygon(6, 80.0),
        ((4, 44.0, 8.0, 0.0), (6, 72.0, 16.0, 0.0)),
        16.0,
        4.0,
        8.0,
        0.25,
        350.0,
    ),
    BenchmarkJob(
        "5 on 6 on 8 in round",
        _round(110.0),
        ((5, 56.0, 6.0, 90.0), (6, 78.0, 12.0, 0.0), (8, 98.0, 20.0, 0.0)),
        12.0,
        3.0,
        6.0,
        0.2,
        420.0,
        True,
    ),
    BenchmarkJob(
        "3 on 5 on 12 on 16 in square",
        _square(120.0),
        ((3, 30.0, 5.0, 0.0), (5, 74.0, 10.0, 0.0), (12, 96.0, 15.0, 0.0), (16, 112.0, 20.0, 0.0)),
        12.0,
        3.0,
        5.0,
        0.2,
        420.0,
    ),
)
