"""Estimates to pages: numbers, sentences, layout, privacy, and the trail back. Nothing is computed here."""
