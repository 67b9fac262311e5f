"""What the commands print, for a person: plain text in columns."""
