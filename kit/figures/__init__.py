"""Estimates or tables in, one drawing out: nothing is computed, and no text but labels."""
