"""A school's words for kinds of drill, for who sang and for the stage -> ours."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import numpy as np

from kit.load.columns import plain
from kit.load.drills.values import Meaning, as_texts
from kit.load.formats.cells import Value
from kit.load.layout import is_blank
from kit.load.people.keys import id_text
from kit.tables import ACTIVITIES, STAGES, UNITS

_ACTIVITY_WORDS = {
    "echo": ("echo", "echoing", "echo sung patterns", "pattern echo", "call and response", "copy me",
             "my turn your turn"),
    "hand signs": ("hand signs", "handsigns", "hand sign", "hand signals", "signs"),
    "pointing at a chart": ("pointing at a chart", "syllable chart", "chart", "ladder", "syllable ladder", "pointer",
                            "tone ladder", "pointing"),
    "pattern cards": ("pattern cards", "cards", "flash cards", "flashcards", "pattern drill", "patterns"),
    "scale or arpeggio": ("scale or arpeggio", "scale", "scales", "arpeggio", "arpeggios", "scale warm up",
                          "interval drill",
                          "intervals"),
    "round": ("round", "rounds", "canon", "canons"),
    "rhythm echo": ("rhythm echo", "echo clap", "echo clapping", "clap back", "rhythm echo clap"),
    "rhythm reading": ("rhythm reading", "rhythm drill", "rhythm cards", "counting", "rhythm"),
    "silent singing": ("silent singing", "inner singing", "inner hearing", "audiation", "silent"),
    "names spoken": ("names spoken", "spoken names", "speak the names", "syllables spoken", "speaking syllables",
                     "say syllables", "note names spoken"),
    "dictation": ("dictation", "melodic dictation", "rhythmic dictation"),
    "reading in unison": ("reading in unison", "unison reading", "sight reading", "sightreading", "sight singing",
                          "sightsinging", "read unison", "unison"),
    "reading in parts": ("reading in parts", "part reading", "parts", "reading parts", "in parts", "four part reading"),
    "probe": ("probe", "individual probe", "individual", "individual check", "one by one", "solo", "individual test"),
}  # fmt: skip
_UNIT_WORDS = {
    "class": ("class", "all", "whole class", "everybody", "everyone", "tutti", "choir", "whole choir", "full"),
    "section": ("section", "sections", "sectional", "voice part", "sopranos", "altos", "tenors", "basses", "treble"),
    "group": ("group", "small group", "quartet", "trio", "duet", "pairs", "row"),
    "one": ("one", "individual", "solo", "alone", "single", "one student"),
}
_STAGE_WORDS = {
    "before_notation": ("before_notation", "before notation", "without notation", "no notation",
                        "by ear", "ear", "sound", "aural"),
    "with_notation": ("with_notation", "with notation", "notation", "reading", "on the page", "page", "sight",
                      "notated", "after notation"),
}  # fmt: skip
_WORDS: Mapping[str, tuple[Mapping[str, Sequence[str]], Sequence[str]]] = {
    "activity": (_ACTIVITY_WORDS, ACTIVITIES), "unit": (_UNIT_WORDS, UNITS), "stage": (_STAGE_WORDS, STAGES),
}  # fmt: skip
"""Field -> our words with the words of schools for them (common practice, no source)."""


def read_words(values: Sequence[Value], name: str, declared: Mapping[str, str]) -> Meaning:
    """Read words for an activity, a unit or a stage; unknown ones are left empty and counted.

    Parameters
    ----------
    values : sequence of str or None
        The different cells.
    name : str
        ``"activity"``, ``"unit"`` or ``"stage"``.
    declared : mapping of str to str
        The school's own words -> ours.

    Returns
    -------
    Meaning
        Our words.
    """
    listed, _ = _WORDS[name]
    known = {_squeezed(word): our for our, words in listed.items() for word in (our, *words)}
    known |= {_squeezed(word): our for word, our in declared.items()}
    read, changes = [], {}
    for at, value in enumerate(values):
        word = "" if is_blank(value) else known.get(_squeezed(value), "")
        if not is_blank(value) and not word:
            changes[at] = (f"unknown {name} left empty", id_text(value), "")
        elif word and _squeezed(word) != _squeezed(value):  # "with notation" is with_notation all the same
            changes[at] = (f"{name} renamed", id_text(value), word)
        read.append(word)
    meaning = as_texts(read)
    meaning.changes = changes
    return meaning


def are_of_groups(values: Sequence[Value]) -> np.ndarray:
    """Say which of different cells tell that a class, a section or a group sang."""
    units = read_words(values, "unit", {})
    return np.array([unit in ("class", "section", "group") for unit in units.texts], bool)[units.table]


def _squeezed(word: object) -> str:
    """Write a word the way words are compared: hyphens and underlines are spaces."""
    return " ".join(re.sub(r"[-_/]+", " ", plain(word)).split())
