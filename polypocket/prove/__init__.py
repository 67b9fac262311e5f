"""The line as a whole: job and mill → plan → text → reading → dry run. Posts are handed in."""

from polypocket.prove.dialect import post_for
from polypocket.prove.line import prove
from polypocket.prove.proof import Proof, Written, dry_run_of_text, part_name, require_fit

__all__ = ["Proof", "Written", "dry_run_of_text", "part_name", "post_for", "prove", "require_fit"]
