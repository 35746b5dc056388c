"""What every statistic is called and means, in plain words; a module for each field."""

from __future__ import annotations

from kit.glossary import agreement, change, clusters, effects, equating, models, pooling, power, practice
from kit.glossary.word import Word

__all__ = ["GLOSSARY", "Word"]

_PARTS = (agreement, change, clusters, effects, equating, models, pooling, power, practice)

GLOSSARY: dict[str, Word] = {word.name: word for part in _PARTS for word in part.WORDS}
"""Name of the statistic -> word."""
