"""Comments about what hands do, in words of their own, and comments that are none. No source: our choice of words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from polypocket.reader.spoken import spoken_of

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop


@pytest.mark.parametrize(
    ("comment", "names"),
    [
        ("NOW SET Z -20", "Z"),
        ("LOWER Z TO -20", "Z"),
        ("lower  z to -20", "Z"),
        ("Z TO BE LOWERED TO -20", "Z"),
        ("NOW, BY HAND, SET Z-20", "Z"),
        ("NOW SET, BY HAND, Z -20", "Z"),
        ("RAISE Z", "Z"),
        ("KNEE UP 5", "Z"),
        ("Z -20", "Z"),
        ("Z = -20 MM", "Z"),
        ("HEIGHT -20", "Z"),
        ("PASS 12 NOW SET Z -20", "Z"),
        ("DO NOT SET Z 5", "Z"),
        ("LOWER THE TOOL 5 MM", "Z"),
        ("SET THE SWIVEL TO 30", "swivel"),
        ("TURN THE VISE 30 DEGREES", "swivel"),
        ("SWIVEL: 30 DEGREES", "swivel"),
        ("MOVE X TO 40", "X"),
        ("CRANK Y BACK", "Y"),
        ("SWITCH THE SPINDLE ON", "spindle"),
        ("NOW STOP THE SPINDLE", "spindle"),
        ("SPINDLE 4000 RPM", "spindle"),
        ("TURN THE HANDLE TO 30", "handle"),
        ("TWO MORE: FEED IN ANOTHER 4 MM", "handle"),
        ("GO IN 12 THOU", "handle"),
        ("CRANK 3 TURNS", "handle"),
        ("TWO MORE: 2 TURNS", "handle"),
        ("Y +5 TURNS 25 DIVISIONS PLUS", "handle"),
        ("5 REVS", "handle"),
        ("OPEN THE VISE", "hold"),
        ("UNCLAMP, FLIP THE BLOCK", "hold"),
        ("REMOVE THE CLAMP AT THE BACK", "hold"),
    ],
)
def test_what_speaks_of_hands(comment: str, names: str) -> None:
    assert spoken_of(comment) == {names}


@pytest.mark.parametrize(
    "comment",
    [
        "SECTION 2 FLAT 3",
        "PASS 12 SECTION 2 FLAT 3 AT Z-9 ROUGH STRIP 1",
        "ZERO: G54, X0 Y0 ON THE BLOCK'S CENTRE, Z0 ON THE STOCK'S TOP",
        "Z0 TOP OF STOCK",
        "LOCK IT, THEN PICK UP X0 Y0 ANEW",
        "RAISE ABOVE EVERYTHING, SPINDLE STANDING STILL",
        "UNLOCK THE HEIGHT, SET IT, LOCK IT. CHIPS AWAY BY BRUSH ONLY",
        "CUT: CONVENTIONAL, SPINDLE 1000 A MINUTE, FEED 250.0 MM A MINUTE",
        "SWIVEL BASE AT 30 DEG ANTICLOCKWISE SEEN FROM ABOVE, SET IT FIRST, THEN PICK UP THE ZERO",
        "STOCK: SQUARE 80 X 80 MM, 30 MM THICK",
        "VALVE STEM, LINES IN LOWER CASE",
        "CHIPS OFF WITH A BRUSH",
        "FEED 150.000 MM A MINUTE",
        "FEED 6 IN/MIN",
        "TAKES 4 MM OFF IN 2 PASSES",
        "THE VISE OPENS TO 80 MM",
        f"Z{'1' * 1900}X",  # at once: not each way of sharing out the digits is tried
        "TURN DIAL " * 10_000,  # nor each way of sharing out the words
        "OPEN TO SAY " * 10_000,
        "",
    ],
)
def test_what_only_tells(comment: str) -> None:
    assert spoken_of(comment) == frozenset()


def found(shop: Shop, comment: str, *, driven: bool = True, stops: bool = False) -> list[tuple[str, int]]:
    """Return what is found where a comment stands behind the second pass, in the air."""
    mill = (
        shop.mill(axes__z={**shop.mill().axes.z.model_dump(), "driven": driven})
        if not driven
        else shop.mill()
    )
    line = f"G0 Z10.\nM5\n({comment})\n{'M0' * stops}\nS3000 M3"
    result = shop.run(shop.lines(l9=line), None, mill)
    return [(each.code, each.line) for each in result.findings if "none of what is followed" in each.message]


@pytest.mark.parametrize("comment", ["NOW SET Z -20", "LOWER Z TO -20"])
def test_a_height_in_words_of_its_own(shop: Shop, comment: str) -> None:
    """A drive for Z goes where its words go; a person goes by what stands there, and a stop is for reading."""
    assert found(shop, comment) == []
    assert found(shop, comment, stops=True) == [("unread", 11)]
    assert found(shop, comment, driven=False) == [("unread", 11)]


def test_a_handwheel_that_is_not_named_and_what_holds_the_work(shop: Shop) -> None:
    """Whoever has one axis in hand turns that one; the vise is opened only where somebody has the time."""
    assert found(shop, "FEED IN ANOTHER 4 MM") == []
    assert found(shop, "FEED IN ANOTHER 4 MM", driven=False) == [("unread", 11)]
    assert found(shop, "OPEN THE VISE") == []
    assert found(shop, "OPEN THE VISE", stops=True) == [("unread", 11)]


@pytest.mark.parametrize("comment", ["SETY -26.7", "5ET Y -26.7", "READOUT -26.7", "4 MM LESS", "OP 2"])
def test_a_number_at_a_stop_may_be_taken_for_one_to_be_set(shop: Shop, comment: str) -> None:
    assert found(shop, comment, stops=True) == []  # everything is driven here
    assert found(shop, comment, driven=False) == []  # nobody stands there
    assert found(shop, comment, driven=False, stops=True) == [("unread", 11)]


def test_what_is_folded_is_read_whole(shop: Shop) -> None:
    folded = "NOW TURN THE HANDWHEEL OF)\n(- Z DOWN BY 4 MM"
    assert found(shop, folded, driven=False) == [("unread", 11)]
    caption = "PASS 3 SECTION 1 FLAT 1 AT Z-4 ROUGH)\n(- STRIP 1"
    assert found(shop, caption, driven=False, stops=True) == []


def test_nobody_drives_the_swivel(shop: Shop) -> None:
    assert (
        found(shop, "SET THE SWIVEL BASE TO 30") == []
    )  # begins like what is asked of a person, and is refused
    assert found(shop, "NOW SET THE SWIVEL TO 30") == [("unread", 11)]


def test_before_anything_moves_the_control_finds_its_axes_by_itself(shop: Shop) -> None:
    text = shop.lines(l2="(BRING Z UP BY HAND)\n(CUTTER 1 DIAMETER 10.000) M0")
    assert shop.run(text, shop.job()).findings == ()


def test_a_name_may_be_anything(shop: Shop) -> None:
    """At the head of a program, where a name is given; a line that begins with a dash goes on."""
    named = "(JOB: SET Z -10.5, OR)\n(- LOWER Z TO -20)\n(CUTTER 1 DIAMETER 10.000) M0"
    mill = shop.mill(axes__z={**shop.mill().axes.z.model_dump(), "driven": False})

    def doubted(text: str) -> list[int]:
        return [each.line for each in shop.run(text, None, mill).findings if "speaks of" in each.message]

    assert doubted(shop.lines(l2=named)) == []
    assert doubted(shop.lines(l2=named.replace("JOB:", "NOTE:"))) == [2]
    assert doubted(shop.lines(l9=f"G0 Z10.\nM5\n{named}\nS3000 M3")) == [11]


def test_what_is_asked_for_is_not_doubted(shop: Shop) -> None:
    text = shop.lines(l9="G0 Z10.\nM5\n(SET Z 12.)\nM0\nS3000 M3")
    assert shop.run(text, shop.job()).findings == ()
