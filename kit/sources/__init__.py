"""Every text that a formula, a check or a sentence rests on, by key; a module for each field."""

from __future__ import annotations

from kit.sources import agreement, change, clusters, effects, equating, models, pooling, power, practice, privacy
from kit.sources.source import Source, Status

__all__ = ["SOURCES", "Source", "Status"]

_PARTS = (agreement, change, clusters, effects, equating, models, pooling, power, practice, privacy)

SOURCES: dict[str, Source] = {source.key: source for part in _PARTS for source in part.SOURCES}
"""Key -> text."""
