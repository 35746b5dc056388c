"""Shares of students, their changes and differences."""
