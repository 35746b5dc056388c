"""Marks of several people for the same performance."""
