"""How much is read of what is hardly a program: figures of our own, no source."""

from __future__ import annotations

from polypocket.reader import Dialect, read

PLAIN = Dialect("plain")


def test_reading_ends_at_a_thousand_complaints() -> None:
    track = read("%\n" + "$\n" * 5000 + "M30\n%\n", PLAIN)
    assert len(track.complaints) == 1000
    assert track.complaints[998].line == 1000
    last = track.complaints[-1]
    assert (last.line, last.code) == (1001, "unread")
    assert last.text == "more than 999 complaints; nothing from here on is read"


def test_one_complaint_fewer_and_all_is_read() -> None:
    track = read("%\n" + "$\n" * 999 + "M30\n", PLAIN)
    assert len(track.complaints) == 1000
    assert (
        track.complaints[-1].code == "end"
    )  # the closing % is missing, which is told although it is the thousandth


def test_a_line_of_many_faults_counts_them_all() -> None:
    track = read("%\n" + "A1 " * 80 + "\n" + ("B1 " * 80 + "\n") * 50 + "M30\n%\n", PLAIN)
    assert len(track.complaints) == 1000
    assert track.complaints[-1].text.startswith("more than 999 complaints")


def test_a_line_that_is_none_is_not_read() -> None:
    text = "G21 G90\nG0 X0 Y0 Z5\n" + "X1 " * 2000 + "\nG91\nX1\nM30\n"
    track = read(text, PLAIN)
    assert [(c.line, c.column) for c in track.complaints] == [(3, 1), (5, 1)]
    assert (
        track.complaints[0].text == "the line has 6000 characters and is not read; no control takes so many"
    )
    # Where X stands after it nobody knows.
    assert track.complaints[1].text == "an incremental move in X from a position that is not known"


def test_a_long_line_is_read_where_the_dialect_takes_it() -> None:
    line = "(" + "x" * 6000 + ")"
    assert read(f"{line}\nM30\n", Dialect("long", line_length=9000)).complaints == ()
