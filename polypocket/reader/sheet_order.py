"""In which order the lines of a sheet come: each that asks for something when a person can do it."""

from __future__ import annotations

from polypocket.reader.sheet_lines import Line

__all__ = ["Order"]

#: What must have been told before the first flat, each by its line.
_WANTED = ("units", "cutter", "outside", "raised", "depth", "swivel")
#: What is told once.
_ONCE = ("units", "cutter", "outside", "raised")
#: Lines of a flat, in their order; there may be several passes, with a check before the last.
_OF_FLAT = ("flat", "touch", "touch", "clear", "start", "cut", "back", "pass", "stop")


class Order:
    """Which lines have come, and so which may come next.

    Attributes:
        told: kinds of the lines that have come.
    """

    def __init__(self) -> None:
        self.told: set[str] = set()
        self._axes: set[str] = set()  # of which it is told how they are read
        self._anew: set[str] = set()  # set since the last flat
        self._place = 0  # how many of the lines of a flat have come
        self._is_checked = self._is_last = False

    def take(self, line: Line) -> str | None:
        """Return what is wrong with a line that comes where it should not; where nothing is, go on behind it."""
        fault = self._in_flat(line.kind) if line.kind in (*_OF_FLAT, "check") else self._between_flats(line)
        if not fault:
            self._go_on(line)
        return fault

    def _in_flat(self, kind: str) -> str | None:
        if missing := [each for each in _WANTED if each not in self.told]:
            return f"{', '.join(missing).upper()} must have been told before the first flat"
        wanted = _OF_FLAT[self._place]
        if kind == "check":
            early = wanted not in ("pass", "stop") or self._is_checked
            return "CHECK comes once, before the last pass of a flat" if early else None
        if kind != wanted and not (kind == "pass" and wanted == "stop"):
            return f"{wanted.upper()} is wanted here, not {kind.upper()}"
        if kind == "pass" and self._is_last:
            return "behind the check there is one pass only"
        if kind == "stop" and not self._is_last:
            return "CHECK is wanted before the last pass"
        return None

    def _between_flats(self, line: Line) -> str | None:
        kind = line.kind
        if self._place:
            return f"{_OF_FLAT[self._place].upper()} is wanted here, not {kind.upper()}"
        if kind not in ("units", "end") and "units" not in self.told:
            return "the units come first"
        if kind in ("readout", "dial") and line.texts[0] in self._axes:
            return "how an axis is read is told once"
        if kind in _ONCE and kind in self.told:
            return f"{kind.upper()} is told once"
        if kind in self._anew:
            return f"{kind.upper()} is set once before the next flat"
        return None

    def _go_on(self, line: Line) -> None:
        self.told.add(line.kind)
        match line.kind:
            case "readout" | "dial":
                self._axes.add(line.texts[0])
            case "depth" | "swivel":
                self._anew.add(line.kind)
            case "check":
                self._is_checked = True
            case "flat":
                self._anew.clear()
                self._is_checked = self._is_last = False
                self._place = 1
            case "pass":
                self._is_last = self._is_checked
                self._place = _OF_FLAT.index("stop")
            case "stop":
                self._place = 0
            case kind if kind in _OF_FLAT:
                self._place += 1
