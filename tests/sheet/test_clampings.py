"""Sheets of several clampings: a page for each, on the block as those before it leave it. Our own promises."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from polypocket.cli import app
from polypocket.commands.sheet import proven_pages
from polypocket.model.files import load_job

ROOT = Path(__file__).parents[2]
JOB = ROOT / "fixtures" / "jobs" / "penstock_key.toml"
MILL = "knee-mill-table-drive"


@pytest.fixture(scope="module")
def pages() -> tuple[str, ...]:
    return proven_pages(load_job(JOB), "job.toml", MILL, None, "key.nc")[1]


def book_of(page: str) -> dict[str, list[dict[str, list[int]]]]:
    found = re.search(r'<script type="application/json" id="book">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    book: dict[str, list[dict[str, list[int]]]] = json.loads(found[1])
    return book


def test_each_has_its_own_program_and_passes(pages: tuple[str, ...]) -> None:
    assert len(pages) == 3
    numbers = []
    for number, page in enumerate(pages, start=1):
        assert f"<title>penstock key, clamping {number} of 3</title>" in page
        assert f"key-{number}.nc" in page
        assert not any(f"key-{other}.nc" in page for other in {1, 2, 3} - {number})
        assert "DO NOT RUN" not in page
        assert ("the block stays in the jaws" in page) == (number > 1)
        numbers += [each["number"] for each in book_of(page)["passes"]]
    assert numbers == list(range(1, 39))


def test_measured_after_the_last(pages: tuple[str, ...]) -> None:
    for number, page in enumerate(pages, start=1):
        assert ("signature" in page.split("</style>")[1]) == (number == 3)
        assert ("it is measured after the last" in page) == (number < 3)


def test_the_block_stands_turned_and_cut_as_the_ones_before_leave_it(pages: tuple[str, ...]) -> None:
    """A square of 50 mm: its corners are 35.36 mm from the middle, at 45° and by the swivel's setting from there.

    At the top, what clamping 1 has cut off is missing in clamping 2: flats 1 and 4 are 20.5 mm from the middle.
    """
    for page, swivel in zip(pages, (0.0, -60.0, 60.0), strict=True):
        book = book_of(page)
        (ring,) = book["stock"]
        points = list(zip(ring[::2], ring[1::2], strict=True))
        at = [points[0]]
        for dx, dy in points[1:]:
            at.append((at[-1][0] + dx, at[-1][1] + dy))
        for x, y in at:
            assert math.hypot(x, y) == pytest.approx(3535.5, abs=3.0)
            assert (math.degrees(math.atan2(y, x)) - swivel - 45.0) % 90.0 == pytest.approx(0.0, abs=0.1) or (
                math.degrees(math.atan2(y, x)) - swivel - 45.0
            ) % 90.0 == pytest.approx(90.0, abs=0.1)
    second = book_of(pages[1])
    outlines = second["outlines"][second["start"][0]]
    (ring,) = outlines
    points = list(zip(ring[::2], ring[1::2], strict=True))
    at = [points[0]]
    for dx, dy in points[1:]:
        at.append((at[-1][0] + dx, at[-1][1] + dy))
    c, s = math.cos(math.radians(30.0)), math.sin(math.radians(30.0))  # flat 1 faces 90° − 60°
    assert max(x * c + y * s for x, y in at) == pytest.approx(2050.0, abs=2.0)


def test_what_is_set_by_hand_is_told(pages: tuple[str, ...]) -> None:
    for page in pages:
        times = re.search(r"<dt>Y by hand</dt><dd>set (\d+) times", page)
        assert times is not None
        assert int(times[1]) == len(book_of(page)["passes"])


def test_the_command_leaves_one_page_each(tmp_path: Path) -> None:
    command = ["sheet", str(JOB), "--machine", MILL, "-o", str(tmp_path / "key.html"), "--json"]
    result = CliRunner().invoke(app, command)
    assert result.exit_code == 0, result.output
    document = json.loads(result.stdout)
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"key-{i}.html" for i in (1, 2, 3)]
    assert document["written"] == [str(tmp_path / f"key-{i}.html") for i in (1, 2, 3)]
    assert len(document["checksums"]) == 3
