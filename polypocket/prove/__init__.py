"""The line as a whole: job and mill → plan → text → reading → dry run. Posts are handed in."""

from polypocket.prove.line import Proof, dry_run_of_text, prove, require_fit

__all__ = ["Proof", "dry_run_of_text", "prove", "require_fit"]
