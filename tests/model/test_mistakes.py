"""Places of mistakes, and their order."""

from __future__ import annotations

import tomllib

import pytest

from polypocket.errors import Mistake, MistakesError, called, with_numbers
from polypocket.model.mistakes import in_order_of_file, place_of
from polypocket.model.nearest import nearest


@pytest.mark.parametrize(
    ("path", "place"),
    [
        ((), ""),
        (("units",), "units"),
        (("sections", 1, "depth"), "sections[1].depth"),
        (("axes", "x", "travel"), "axes.x.travel"),
        (("work_offsets", "G59.1"), 'work_offsets."G59.1"'),
        (("a key", "\n"), '"a key"."\\n"'),
    ],
)
def test_place(path: tuple[int | str, ...], place: str) -> None:
    assert place_of(path) == place


def test_order_is_that_of_the_file_and_what_is_missing_comes_after_its_table() -> None:
    tables = tomllib.loads(
        """
        zeta = 1
        [stock]
        width = 2
        across = 3
        [[sections]]
        sides = 4
        depth = 5
        [[sections]]
        sides = 6
        [alpha]
        beta = 7
        """
    )
    in_order = [
        "",
        "zeta",
        "stock.width",
        "stock.across",
        "stock.missing",
        "sections[0].sides",
        "sections[0].depth",
        "sections[0].missing",
        "sections[1]",
        "sections[1].sides",
        "alpha",
        "alpha.beta",
        "missing",
    ]
    mistakes = [Mistake(place, "wrong") for place in in_order]
    assert [mistake.place for mistake in in_order_of_file(sorted(mistakes), tables)] == in_order
    assert [mistake.place for mistake in in_order_of_file(mistakes[::-1] * 2, tables)] == in_order


@pytest.mark.parametrize(
    ("name", "end"),
    [
        ("stepovr", '; nearest is "stepover"'),
        ("max_feed", '; nearest is "feed_max"'),
        ("colour", "; known are feed_max, stepover"),
    ],
)
def test_nearest(name: str, end: str) -> None:
    assert nearest(name, ["stepover", "feed_max"]) == end
    assert nearest(name, []) == ""


@pytest.mark.parametrize(
    ("place", "name"),
    [
        ("sections[0].depth", " (section 1)"),
        ("sections[11]", " (section 12)"),
        ("cutters[0].cut.feed", " (1st [[cutters]])"),
        ("cutters[1]", " (2nd [[cutters]])"),
        ("keep_out[2].x", " (3rd [[keep_out]])"),
        ("keep_out[10].x", " (11th [[keep_out]])"),
        ("keep_out[20]", " (21st [[keep_out]])"),
        ("stock.width", ""),
        ("", ""),
    ],
)
def test_what_a_person_calls_a_place_that_counts_from_0(place: str, name: str) -> None:
    assert called(place) == name
    assert with_numbers(f"see {place}, please") == f"see {place}{name}, please"


def test_only_what_is_told_has_it_and_not_the_place_itself() -> None:
    mistake = Mistake("sections[1].depth", "as deep as sections[0]")
    assert str(mistake) == "sections[1].depth (section 2): as deep as sections[0] (section 1)"
    assert str(MistakesError("job.toml", [mistake])) == f"job.toml: {mistake}"
    assert (mistake.place, mistake.message) == ("sections[1].depth", "as deep as sections[0]")
