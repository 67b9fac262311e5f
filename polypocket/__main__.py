"""``python -m polypocket`` is the command ``polypocket``."""

from polypocket.cli import main

main()
