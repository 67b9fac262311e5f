"""Sheets for a mill worked by hand that somebody has changed: what the dry run makes of them. Our own promises."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from random import Random

import pytest

from polypocket.model.files import job_of_text
from polypocket.model.mill import Mill
from polypocket.prove import dry_run_of_text
from tests.prove.sheets import JOB, TO_SET, job_with, post_of, proof_of


def test_beginning_too_near(sheet: str, mill: Mill) -> None:
    """From Y 0 of flat 1, in to X −4: 4 mm beside the corner and 8 before it, √(4² + 8²) − 8 = 0.944 off it."""
    near = sheet.replace("Y -1.400", "Y 0.000")
    wrong = dry_run_of_text([("sheet.txt", near)], mill, job_with(), post_of(mill))
    assert {each.code for each in wrong.findings} == {"rapid-contact"}
    assert "than the job's clearance, 1.000 mm" in wrong.findings[0].message


@pytest.mark.parametrize(
    ("old", "new", "lines"),
    [
        (r"SECTION (\d)", lambda found: f"SECTION {3 - int(found[1])}", {"section 1", "section 2"}),
        (r"SECTION (\d)", lambda found: f"SECTION {2 + int(found[1])}", {"section 3", "section 4"}),
        (r"OF SECTION 1 FACES -X", lambda found: "OF SECTION 2 FACES -X", set()),
    ],
)
def test_each_flat_is_called_as_the_job_does(
    old: str, new: Callable[[re.Match[str]], str], lines: set[str], mill: Mill
) -> None:
    """Sections of twelve and ten sides, each called as the other: neither directions nor distances are those."""
    text = JOB.replace("from = -45, to = 45", "from = -60, to = 60")
    text = text.replace("[cutter]", "[[sections]]\nsides = 10\nacross_flats = 64.0\ndepth = 4.0\n\n[cutter]")
    job = job_of_text(text, "job.toml")
    sheet = proof_of(job, mill).parts[0].text
    said = re.sub(old, new, sheet)
    assert said != sheet
    found = dry_run_of_text([("sheet.txt", said)], mill, job, post_of(mill)).findings
    assert {each.code for each in found if each.severity == "error"} >= {"unread"}
    assert {
        f"section {found[1]}" for each in found if (found := re.search(r"of section (\d),", each.message))
    } >= lines


def test_a_corner_is_no_edge(mill: Mill) -> None:
    """Flat 3 of three faces -Y at +30, where the stock ends in a corner: beside it the zero would be too deep."""
    job = job_with(sides=3, across_flats=24.0, width=50.0)
    sheet = proof_of(job, mill).parts[0].text
    assert "TOUCH -Y CORNER, 34.151" in sheet
    wrong = dry_run_of_text(
        [("sheet.txt", sheet.replace("TOUCH -Y CORNER", "TOUCH -Y EDGE", 1))], mill, job, post_of(mill)
    )
    assert [each.code for each in wrong.findings] == ["size"]
    assert "there is a corner or a curve and no edge" in wrong.findings[0].message


def test_a_flat_is_cut_once_at_each_depth(sheet: str, mill: Mill) -> None:
    """Flat 1 again where flat 4 begins: its passes cut air."""
    block = sheet[sheet.index("FLAT 1 OF") : sheet.index("FLAT 4 OF")]
    again = block.replace("EDGE, 40.000 FROM THE CENTRE: X", "EDGE, 36.000 FROM THE CENTRE: X")
    again = re.sub(r"X -(\d)\.", lambda found: f"X -{max(0, int(found[1]) - 4)}.", again)
    again = again.replace("0.300 OUTSIDE", "-0.700 OUTSIDE")  # of X -0.700, where the line is at 0
    text = sheet.replace(block, block + again)
    number = iter(range(1, 1000))
    text = re.sub(r"^  PASS \d+ ", lambda _: f"  PASS {next(number)} ", text, flags=re.MULTILINE)
    found = dry_run_of_text([("sheet.txt", text)], mill, job_with(), post_of(mill)).findings
    assert any("cut at this depth already" in each.message for each in found), found


@pytest.mark.parametrize(
    ("old", "new", "codes"),
    [
        ("X -4.000", "X -4.100", {"gouge"}),
        ("X -4.000", "X -3.900", {"left-standing"}),
        ("X -3.700", "X -4.700", {"gouge", "engagement", "unread"}),
        ("PASS 1    rough   X -0.700", "PASS 1    rough   X -1.700", set()),  # 1.7 and 2.0 wide: as good
        ("SWIVEL -30", "SWIVEL -31", {"gouge", "angle"}),
        ("SWIVEL 30", "SWIVEL 33", {"size"}),  # what is touched then stands elsewhere
        ("SWIVEL -30", "SWIVEL -70", {"swivel"}),
        ("DEPTH Z -4 t 0", "DEPTH Z -4 t 20", {"gouge"}),
        ("DEPTH Z -4 t 0", "DEPTH Z -3 t 124", {"left-standing"}),
        ("TOUCH +X EDGE, 40.000", "TOUCH +X EDGE, 41.000", {"size"}),
        ("TOUCH -Y EDGE, 40.000", "TOUCH -Y EDGE, 39.000", {"size"}),
        ("OUTSIDE 70.000", "OUTSIDE 45.000", {"rapid-contact"}),
        ("TOUCH +X EDGE", "TOUCH +X CORNER", set()),  # who looks for where it stands furthest out finds the edge
        ("START SPINDLE 1750", "START SPINDLE 2720", {"over-speed"}),
        ("FEED 250.000", "FEED 300.000", {"feed-limit"}),
        ("X 1.300", "X -1.300", {"rapid-contact"}),
        ("X 1.300", "X 0.000", {"rapid-contact"}),  # along the edge that is there
        ("X 1.300", "X -0.700", {"rapid-contact"}),  # along what the first pass has just cut
        ("X 1.300", "X 0.280", {"rapid-contact"}),  # with the 0.7 of pass 1 that is 0.98, and 1 is wanted
        ("X 1.300", "X 0.300", set()),
        ("BACK X 1.300", "BACK X 1.800", {"unread"}),  # it begins elsewhere
        ("CLEAR Y -1.400, THEN X 1.300", "CLEAR X 1.300, THEN Y -1.400", {"unread"}),  # along the edge it touches
        ("CLEAR Y -1.400, THEN X 1.300  [ ] clear of the work\n", "", {"unread"}),
        ("0.300 OUTSIDE", "0.000 OUTSIDE", {"unread"}),
        ("CHECK AT X -3.700", "CHECK AT X -3.800", {"unread"}),
        ("CHECK AT X -3.700", "CHECK AT Y -3.700", {"unread"}),
        ("SWIVEL -30 DEGREES, CLOCKWISE", "SWIVEL -30 DEGREES, ANTICLOCKWISE", {"unread"}),
        ("SWIVEL 30 DEGREES, ANTICLOCKWISE", "SWIVEL -30 DEGREES, ANTICLOCKWISE", {"unread"}),
        ("CUT Y -1.400", "CUT Y -0.400", {"unread"}),  # it goes back to where it began
        ("THEN Y -1.400", "THEN X -1.400", {"unread"}),  # and there along the axis that cuts
        ("UNITS mm\nX READOUT", "X READOUT\nUNITS mm", {"unread"}),
        ("Y 89.050", "Y 87.950", set()),  # what is left behind there is 0.05 mm inside the cutter
        ("CUT Y -1.400 TO Y 89.050", "CUT Y -1.400 TO Y 59.050", {"rapid-contact", "engagement"}),
        ("table towards you, Y rises", "table away from you, Y falls", {"unread"}),
        ("CUT Y -1.400 TO Y 89.050", "CUT Y 89.050 TO Y -1.400", {"unread"}),
        ("FACES +X", "FACES -X", {"unread"}),
        ("TOUCH +X EDGE, 40.000 FROM THE CENTRE: X 0", "TOUCH +X EDGE, 40.000 FROM THE CENTRE: Y 0", {"unread"}),
        ("DEPTH Z -4 t 0", "DEPTH Z -10.000", {"unread"}),  # not as its dial tells it
        ("DEPTH Z -4 t 0", "DEPTH Z -4 t 130", {"unread"}),  # a dial of 125 divisions
        ("START SPINDLE 1750, FEED 250.000 A MINUTE", "", {"unread"}),
        ("STOP SPINDLE", "", {"unread"}),
        ("UNITS mm", "UNITS inch", {"size"}),
        ("UNITS mm", "", {"unread"}),
        ("CUTTER 1 DIAMETER 16.000", "CUTTER 1 DIAMETER 12.000", {"tool"}),
        ("CUTTER 1", "CUTTER 2", {"tool"}),
        ("PASS 2 ", "PASS two ", {"unread"}),
        ("PASS 1 ", "then look at it. PASS 1 ", {"unread"}),
        ("PASS 1 ", "PASS 2 ", {"unread"}),
        ("PASS 2 ", "PASS 3 ", {"unread"}),
        ("PASS 3 ", "PASS 2 ", {"unread"}),
        ("PASS 4 ", "PASS 1 ", {"unread"}),
        ("FLAT 1 OF", "FLAT 7 OF", {"unread"}),
        ("FLAT 1 OF", "FLAT 2 OF", {"unread"}),
        ("FLAT 1 OF", "FLAT 13 OF", {"unread"}),
        ("FLAT 1 OF SECTION 1", "FLAT 1 OF SECTION 2", {"unread"}),
        ("FOR SECTION 1", "FOR SECTION 2", {"unread"}),
        ("OUTSIDE 70.000", "OUTSIDE 64.000", {"rapid-contact"}),
        ("OUTSIDE 70.000", "OUTSIDE 0.000", {"unread"}),
        ("RAISED Z 10 t 0", "RAISED Z -1 t 0", {"unread"}),
        ("Z DIAL 2.5 A TURN, 125", "Z DIAL 1.25 A TURN, 125", {"units"}),
        ("Z DIAL 2.5 A TURN, 125", "Z DIAL 2.5 A TURN, 100", {"units"}),
        ("SHEET FOR", "LEAF FOR", {"unread"}),
        ("END: raise", "FIN: raise", {"unread"}),
    ],
)  # fmt: skip
def test_the_dry_run_goes_by_the_sheet(old: str, new: str, codes: set[str], sheet: str, mill: Mill) -> None:
    assert old in sheet, "the test is about another sheet"
    # Where the cutter goes back to, and what is checked, is told twice: of flat 1, which comes first, change both.
    said = {"X 1.300": 2, "X -3.700": 2}.get(old, 1)
    wrong = dry_run_of_text([("sheet.txt", sheet.replace(old, new, said))], mill, job_with(), post_of(mill))
    assert codes <= {each.code for each in wrong.findings if each.severity == "error"}, wrong.findings
    assert wrong.ok == (not codes), wrong.findings


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (TO_SET, ""),
        ("[ ] set  [ ] lock\n", "[ ] set\n"),
        ("[ ] spindle stopped  [ ] cutter outside", "[ ] cutter outside"),
        ("[ ] unlock  [ ] set", "[ ] set  [ ] unlock"),
        ("  [ ] in the spindle, tight", ""),
        ("  [ ] above everything", ""),
        ("  [ ] zero", ""),
        ("[ ] zero", "[ ] zero, then 5 further in"),
        ("A MINUTE  [ ]", "A MINUTE"),
        ("[ ] set [ ] lock [ ] cut [ ] back", "[ ] set [ ] cut [ ] back"),
        ("[ ] set [ ] lock [ ] cut [ ] back", ""),
        ("[ ] cut [ ] back", "[ ] cut [ ] back [ ] measure"),
        ("  [ ] clear of the work", ""),
        ("LINE  [ ] spindle stopped", "LINE"),
        ("  [ ] as told  [ ] hands away, spindle started\n", ""),
        ("  [ ] chips off with a brush", ""),
        ("[ ] chips off with a brush", "[ ] chips off"),
        ("UNITS mm", "UNITS mm [ ] sure"),
        ("TOUCH +X EDGE, 40.000 FROM THE CENTRE: X 0  [ ] spindle stopped  [ ] zero\n", ""),
        ("START SPINDLE 1750, FEED 250.000 A MINUTE  [ ]\n", ""),
        (
            "\nDEPTH Z -4 t 0 FOR SECTION 1\n",
            f"\nDEPTH Z -2 t 0 FOR SECTION 1\n{TO_SET}DEPTH Z -4 t 0 FOR SECTION 1\n",
        ),
        ("\nSWIVEL 0 DEGREES", f"\nSWIVEL 30 DEGREES, ANTICLOCKWISE FROM ABOVE\n{TO_SET}SWIVEL 0 DEGREES"),
        ("then unclamp", "then set Z -4"),
        ("| X in from outside, lock", "| lower Z to -5 t 0. X in from outside, lock"),
        ("THE TABLE\n", "THE TABLE\n| jaws square: now turn the\n| swivel to 30\n"),
    ],
)
def test_what_a_person_is_to_tick_is_there_and_no_more(old: str, new: str, sheet: str, mill: Mill) -> None:
    assert old in sheet
    wrong = dry_run_of_text([("sheet.txt", sheet.replace(old, new, 1))], mill, job_with(), post_of(mill))
    assert "unread" in {each.code for each in wrong.findings if each.severity == "error"}, wrong.findings


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("[ ] set  [ ] lock\n", "[x]  set [X] lock\n"),
        ("THE TABLE\n", "THE TABLE\n| mind the burr\n"),
        ("| Scribe every flat", "| Lower Z is further away. Scribe every flat"),  # in the head
        ("Job: stem-gauge block", "Job: set Z -20"),
    ],
)
def test_what_a_person_may_scribble(old: str, new: str, sheet: str, mill: Mill) -> None:
    assert old in sheet
    same = dry_run_of_text([("sheet.txt", sheet.replace(old, new, 1))], mill, job_with(), post_of(mill))
    assert same.findings == ()


def test_nothing_of_the_program_but_the_text_is_read(sheet: str, mill: Mill) -> None:
    """The sheet with its boxes ticked, all that is for the person crossed out, reads the same."""
    bare = "\n".join(
        line.replace("[ ]", "[x]") for line in sheet.split("\n") if not line.strip("\f").startswith("|")
    )
    result = dry_run_of_text([("sheet.txt", bare)], mill, job_with(), post_of(mill))
    assert result.findings == ()
    assert math.isclose(
        result.feed_length, dry_run_of_text([("s", sheet)], mill, job_with(), post_of(mill)).feed_length
    )


def test_random_damage_is_never_an_exception(sheet: str, mill: Mill) -> None:
    random = Random(1)
    job = job_with()
    words: list[Callable[[str], str]] = [
        lambda line: "",
        lambda line: line[: random.randrange(len(line) + 1)],
        lambda line: f"{line}\n{line}",
        lambda line: line.replace("-", "", 1),
        lambda line: re.sub(r"\d", "9", line, count=1),
    ]
    for _ in range(25):
        lines = sheet.split("\n")
        at = random.randrange(len(lines))
        lines[at] = random.choice(words)(lines[at])
        dry_run_of_text([("sheet.txt", "\n".join(lines))], mill, job, post_of(mill))
