"""What tests of sheets for a mill worked by hand have in common."""

from __future__ import annotations

import re
from pathlib import Path

from polypocket_posts.handwheel import Handwheel

from polypocket.model.files import job_of_text
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.post import Post
from polypocket.prove import Proof, prove

__all__ = ["JOB", "TO_SET", "block_of", "job_with", "lines_of", "passes_of", "post_of", "proof_of"]

JOB = (Path(__file__).parents[2] / "shared" / "jobs" / "stem_gauge_block.toml").read_text(encoding="utf-8")


TO_SET = "  [ ] spindle stopped  [ ] cutter outside  [ ] unlock  [ ] set  [ ] lock\n"


def post_of(mill: Mill) -> Post:
    """Return the post as it is for a mill, whether its package has been installed anew or not."""
    from polypocket.prove.dialect import scales_of

    return Handwheel().for_scales(scales_of(mill))


def job_with(**changes: object) -> BlockJob:
    """Return the gauge block with some keys of its file changed, and settings from −60 to 60."""
    text = JOB.replace("from = -45, to = 45", "from = -60, to = 60")
    for key, value in changes.items():
        text, count = re.subn(rf"^{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
        assert count == 1, key
    return job_of_text(text, "job.toml")


def proof_of(job: BlockJob, mill: Mill) -> Proof:
    proof = prove(job, mill, post_of(mill), "sheet.txt")
    assert [f"line {each.line}: {each.message}" for each in proof.verdict.findings] == []
    return proof


def lines_of(text: str) -> list[str]:
    """Return what a sheet says, without boxes and without what is for the person alone."""
    lines = [
        re.sub(r"\[ \].*", "", line).strip() for line in text.splitlines() if not line.strip().startswith("|")
    ]
    return [re.sub(r" +", " ", line) for line in lines if line]


def block_of(text: str, flat: str) -> list[str]:
    """Return the lines of one flat."""
    lines = lines_of(text)
    begin = next(i for i, line in enumerate(lines) if line.startswith(flat))
    end = next(i for i in range(begin, len(lines)) if lines[i] == "STOP SPINDLE")
    return lines[begin + 1 : end]


def passes_of(text: str, flat: str) -> list[str]:
    """Return the passes of one flat."""
    return [line for line in block_of(text, flat) if line.startswith("PASS")]
