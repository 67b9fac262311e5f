"""The physics of a cut and of the machine that makes it."""
