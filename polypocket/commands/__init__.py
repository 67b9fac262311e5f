"""Commands in files of their own, and the arguments that commands have in common."""
