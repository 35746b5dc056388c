"""Titles, captions and alternative texts of the figures."""
