"""The dry run as a JSON document: lengths mm, angles degrees, null where not known."""

from __future__ import annotations

import math
from typing import Any

from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.run import DryRun

__all__ = ["as_json"]


def as_json(dry_run: DryRun) -> dict[str, Any]:
    """Return a dry run as what ``json.dumps`` takes."""
    return {
        "programs": list(dry_run.programs),
        "ok": dry_run.ok,
        "findings": [finding._asdict() for finding in dry_run.findings],
        "travel": {axis: travel._asdict() for axis, travel in dry_run.travel.items()},
        "seconds": dry_run.seconds,
        "feed_length": dry_run.feed_length,
        "rapid_length": dry_run.rapid_length,
        "as_cut": [_as_cut(as_cut) for as_cut in dry_run.as_cut],
    }


def _as_cut(as_cut: AsCut) -> dict[str, Any]:
    return {
        "feature": as_cut.feature,
        "sides": as_cut.sides,
        "across_flats": list(as_cut.across_flats),
        "normals": [None if normal is None else math.degrees(normal) for normal in as_cut.normals],
        "not_cut": list(as_cut.not_cut),
        "worst_angle_error": None
        if as_cut.worst_angle_error is None
        else math.degrees(as_cut.worst_angle_error),
    }
