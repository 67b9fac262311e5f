"""The checksum by which a printed sheet and a program on the control are known to belong together."""

from __future__ import annotations

import hashlib

from polypocket.prove.proof import Proof

__all__ = ["checksum_of", "checksums_of", "short_form"]


def checksum_of(text: str) -> str:
    """Return the SHA-256 (FIPS 180-4) of a program's bytes as they are written: UTF-8, lines as they are."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def short_form(checksum: str) -> str:
    """Return the first twelve digits in fours: enough to tell a shop's programs apart, and to compare by eye."""
    return " ".join(checksum[start : start + 4] for start in (0, 4, 8))


def checksums_of(proof: Proof) -> dict[str, str]:
    """Return the checksum of each program of a job by its name; of none where the dry run found an error."""
    return {part.name: checksum_of(part.text) for part in proof.parts} if proof.verdict.ok else {}
