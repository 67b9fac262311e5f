"""A numbered program after ISO 6983-1."""

from polypocket.post import Post
from polypocket.reader.dialect import Dialect

__all__ = ["Iso6983"]


class Iso6983(Post):
    """Every block numbered, every coordinate with its decimal point. G70 and G71: ISO 6983-1, from memory."""

    name = "iso6983"
    title = "numbered program after ISO 6983-1"
    traits = (
        "every block begins with a number: N10, N20 …",
        "after the % a line such as :1 gives the program's number",
        "G70 is inches, G71 millimetres",
        "coordinates always carry a decimal point: X10. is ten",
    )
    dialect = Dialect(
        name="iso6983",
        inch_word=70,
        millimetre_word=71,
        line_numbers=True,
        decimal_point=True,
        program_number=True,
        cycles=False,  # ISO 6983-1 names them, but does not say which words they take (from memory)
        end_word=True,  # a % is only where the transfer ends: ISO 6983-1, from memory
    )

    unit_words = {"mm": "G71", "inch": "G70"}  # noqa: RUF012 – a mapping that nobody changes
    numbered = True
    always_point = True
    program_number = True
    cycles = False
