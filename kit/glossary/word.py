"""One statistic in words for a teacher or a principal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """One statistic in plain words.

    Attributes
    ----------
    name : str
        Name of the function in ``kit.stats``.
    words : str
        Short noun phrase, the label of a row.
    meaning : str
        One or two plain sentences.
    unit : str
        Unit, in words.
    direction : str
        What a higher number means; empty where neither is better.
    source : str
        Key in ``kit.sources``.
    """

    name: str
    words: str
    meaning: str
    unit: str
    direction: str
    source: str
