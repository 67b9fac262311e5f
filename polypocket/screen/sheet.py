"""A sheet for a person at the handwheels as JSON: what stands in it, and the motions that were dry-run."""

from __future__ import annotations

from typing import Any

from polypocket.prove import Proof
from polypocket.reader.sheet import read_sheet
from polypocket.reader.sheet_lines import lines_of
from polypocket.reader.track import Kind, Track

__all__ = ["sheet_document"]


def sheet_document(proof: Proof) -> dict[str, Any]:
    """Return the lines of each sheet in their order, each with the motions that it makes; nothing for programs.

    Lengths mm; readings as they stand in the sheet. Motions are those of the tip's centre over the table, from the
    block's centre and the stock's top, as the dry run had them.
    """
    if not proof.is_sheet:
        return {}
    return {"sheets": [_sheet(part.text, part.name) for part in proof.parts]}


def _sheet(text: str, name: str) -> dict[str, Any]:
    track = read_sheet(text, name=name)
    lines, _ = lines_of(text)
    return {
        "name": name,
        "lines": [
            {
                "line": line.number,
                "kind": line.kind,
                "says": list(line.texts),
                "motions": _motions(track, line.number),
            }
            for line in lines
        ],
    }


def _motions(track: Track, line: int) -> list[dict[str, Any]]:
    rows = [row for row in range(len(track)) if track.line[row] == line and track.kind[row] != Kind.EVENT]
    return [
        {
            "to": [float(track.x[row]), float(track.y[row]), float(track.z[row])],
            "cuts": bool(track.kind[row] == Kind.FEED),
        }
        for row in rows
    ]
