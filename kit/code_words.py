"""A school's own words -> words that may be shared: common ones and short labels stay, all others become numbers."""

from __future__ import annotations

import re
import secrets
from collections.abc import Collection, Iterable, Mapping

from kit.load.people.keys import Crosswalk
from kit.settings import Settings
from kit.study import Study

KNOWN: Mapping[str, tuple[str, ...]] = {
    "occasion": ("pre", "mid", "post", "later"), "measure": ("total", "pitch", "rhythm", "reading", "syllables"),
    "judge": ("panel",), "part": ("concert", "sight reading"),
}  # fmt: skip
"""Words that anybody may use and that say nothing of a school."""

_SHORT = re.compile(r"(?:test )?[A-Za-z]?\d{0,2}")
_BY_CHANCE = ("choir", "school", "approach", "rater", "judge")


def code_words(settings: Settings, found: Mapping[str, Collection[str]], *, named: bool) -> dict[str, dict[str, str]]:
    """Say for every word what stands in its place.

    Parameters
    ----------
    settings : Settings
        Declared occasions and approaches keep their names; the declared rater gets the first number.
    found : mapping of str to collection of str
        Column -> the words in it.
    named : bool
        Whether choirs and schools keep their names.

    Returns
    -------
    dict of str to dict of str to str
        Column -> word -> word or code, such as ``choir 3``. Codes of choirs, schools, approaches, raters and judges
        are dealt out by chance, since the order of the alphabet would tell who is meant.
    """
    known = {**KNOWN, "occasion": (*KNOWN["occasion"], *settings.occasions), "approach": tuple(settings.approaches)}
    # what remains of grades and voice parts is shared by enough students
    whole = ("grade", "voice_part", *(("choir", "school") if named else ()))
    known |= {column: tuple(found[column]) for column in whole if column in found}
    return {
        column: _coded(words, column, known=known.get(column, ()), first=settings.rater)
        for column, words in found.items()
    }


def fresh_ids(study: Study) -> dict[str, str]:
    """Draw a new id for every student, one that nobody has had.

    Parameters
    ----------
    study : Study
        As read.

    Returns
    -------
    dict of str to str
        Study id -> new id; an empty one stays empty. It is kept nowhere.
    """
    taken = {word.upper() for word in study.loaded.personal} | set(study.students["student"])
    ids = {"": ""}
    for student in study.students["student"]:
        fresh = _drawn()
        while fresh in taken:
            fresh = _drawn()
        taken.add(fresh)
        ids[student] = fresh
    return ids


def _drawn() -> str:
    """Draw one id."""
    return Crosswalk().study_id("anybody", "")


def _coded(words: Iterable[str], column: str, *, known: Collection[str], first: str) -> dict[str, str]:
    """Keep known words and short labels, and number the others."""
    by_chance = column in _BY_CHANCE
    kept = {word for word in words if not word or word in known or (not by_chance and _SHORT.fullmatch(word))}
    others = sorted(set(words) - kept)
    if by_chance:
        secrets.SystemRandom().shuffle(others)
    others.sort(key=lambda word: word != first)
    return {word: word for word in kept} | {
        word: f"{column.replace('_', ' ')} {number}" for number, word in enumerate(others, start=1)
    }
