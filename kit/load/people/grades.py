"""School grades and voice parts as rosters write them -> one spelling each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from kit.load.columns import plain
from kit.load.formats.cells import Value
from kit.load.people.keys import id_text

_GRADE = re.compile(r"(?:grade|gr|g|year|yr|y|class)?\s*0?(\d{1,2})(?:st|nd|rd|th)?(?:\s*(?:grade|gr|graders?))?")
_SPLIT = re.compile(r".*\d+\D{0,12}(?:/|-|–|&|\+|\band\b|\bor\b|\bto\b)\D{0,12}\d+.*")
_GRADE_WORDS = {
    "fr": "9", "fresh": "9", "freshman": "9", "freshmen": "9", "so": "10", "soph": "10", "sophomore": "10",
    "jr": "11", "junior": "11", "sr": "12", "senior": "12", "k": "K", "kg": "K", "kindergarten": "K",
}  # fmt: skip
"""Names of grades (common practice in schools of the United States, no source)."""

_VOICES = {
    "soprano": ("s", "sop", "sopr", "soprano"),
    "mezzo-soprano": ("ms", "mz", "mezzo", "mezzo soprano", "mezzosoprano"),
    "alto": ("a", "alt", "alto"),
    "contralto": ("contralto",),
    "countertenor": ("ct", "countertenor"),
    "tenor": ("t", "ten", "tenor"),
    "baritone": ("bar", "bari", "barit", "baritone"),
    "bass": ("b", "bs", "bass"),
    "treble": ("tr", "treb", "treble", "unchanged"),
    "cambiata": ("camb", "cambiata"),
    "changing": ("changing", "change", "cv"),
    "part": ("part",),
}
"""Voice part -> how rosters write it (common practice, no source)."""
_VOICE_OF = {word: voice for voice, words in _VOICES.items() for word in words}
_NUMBERS = {"1": "1", "2": "2", "3": "3", "i": "1", "ii": "2", "iii": "3", "1st": "1", "2nd": "2", "3rd": "3",
            "first": "1", "second": "2"}  # fmt: skip
_HIGHEST_GRADE = 13
_MOST_LETTERS = 80
"""Letters of a cell beyond which it is no grade but a note (our own bound)."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word of a roster as read; ``fault`` says why it is left out, ``rule`` how it was rewritten."""

    text: str = ""
    fault: str = ""
    rule: str = ""


def read_grade(value: Value) -> Word:
    """Read a school grade.

    Parameters
    ----------
    value : str, number, date or None
        ``9``, ``9th``, ``Yr 9``, ``Fr``...

    Returns
    -------
    Word
        The grade as a number, ``K``, or a word that is no number as it stands; ``grade_split`` for ``9/10``,
        also where a spreadsheet program has made a date of it.
    """
    if value is None:
        return Word()
    text = "" if isinstance(value, date) else id_text(value)
    word = plain(text)
    if len(word) > _MOST_LETTERS:
        return Word(text)
    if isinstance(value, date) or _SPLIT.fullmatch(word):
        return Word(fault="grade_split")
    match = _GRADE.fullmatch(word)
    grade = (match[1] if match and int(match[1]) <= _HIGHEST_GRADE else "") or _GRADE_WORDS.get(word, "")
    if not grade or grade == text:
        return Word(text)
    return Word(grade, rule="grade written as a number")


def read_voice_part(value: Value) -> Word:
    """Read a voice part.

    Parameters
    ----------
    value : str, number or None
        ``S1``, ``Sop``, ``A/T``, ``cambiata``, ``changing``...

    Returns
    -------
    Word
        The part in full, ``Soprano 1`` or ``Alto or tenor``; ``unknown_code`` for a word that is
        no voice part.
    """
    text = id_text(value)
    if not text:
        return Word()
    parts = [_voice(part) for part in re.split(r"\s*(?:/|,|&|\+|\bor\b|\band\b)\s*", plain(text)) if part]
    if not parts or not all(parts):
        return Word(fault="unknown_code")
    voice = " or ".join(dict.fromkeys(parts)).capitalize()
    return Word(voice, rule="" if voice == text else "voice part written in full")


def _voice(text: str) -> str:
    """Read one voice part with its number, if it has one; empty for any other word."""
    words = [word for word in re.findall(r"[a-z]+|\d(?:st|nd|rd)?", text) if word not in ("voice", "voices")]
    numbers = [_NUMBERS[word] for word in words if word in _NUMBERS]
    rest = " ".join(word for word in words if word not in _NUMBERS)
    voice = _VOICE_OF.get(rest) or _VOICE_OF.get(rest.removesuffix("s") if len(rest) > 2 else "", "")
    return " ".join((voice, *numbers)) if voice and len(numbers) <= 1 else ""
