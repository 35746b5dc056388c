"""Drill logs: lines of a practice diary to one table of tries."""
