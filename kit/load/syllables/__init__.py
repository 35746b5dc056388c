"""Syllables of every system to scale degrees."""
