"""RS274/NGC, as NISTIR 6556 describes it."""

from polypocket.post import Post
from polypocket.reader.dialect import Dialect

__all__ = ["Rs274Ngc"]


class Rs274Ngc(Post):
    """The dialect of NISTIR 6556."""

    name = "rs274ngc"
    title = "RS274/NGC after NISTIR 6556"
    traits = (
        "lines need no numbers; a program may begin and end with a line of %",
        "G20 is inches, G21 millimetres",
        "whole numbers need no decimal point: X10 is ten",
        "G61 or G64 chooses how exactly corners are followed",
    )
    dialect = Dialect(
        name="rs274ngc",
        inch_word=20,
        millimetre_word=21,
        reference_all_axes=True,
        register_of_cutter=True,
    )

    safe_words = (*Post.safe_words, "G61")  # exact path: corners are not rounded off
    finer_decimals = True
