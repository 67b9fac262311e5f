"""From the description of a polygon block to a mill program that has been dry-run against the table."""
