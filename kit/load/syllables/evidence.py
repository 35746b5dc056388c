"""Which system of syllables a file seems to be written in, with the evidence: proposed, never applied."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from kit.load.declared_music import SyllableSystem
from kit.load.syllables.read import Column
from kit.load.syllables.systems import NEUTRAL, TWO_READINGS

_WORD = re.compile(r"[#b♯♭]?\d[#b♯♭]?|[^\W\d_]+[#♯♭]?")
_RUN_OF_LETTERS = re.compile(r"[drmfslt]{2,}")
_LETTER_NAME = re.compile(r"[a-g](?:#|♯|♭|b)?")
_GERMAN_NAME = re.compile(r"h|(?:[cdfgah]es|[cdefgah]is|es|as)")
_BEGINNERS = re.compile(r"begin|elementary|year 1\b|first year", re.IGNORECASE)

_UP_E = ("doh", "ray", "fah", "soh", "lah")
_UP_I = ("di", "ri", "fi", "li")
_DOWN_A = ("ma", "ta", "lo", "szo")
_SARGAM = ("sa", "ga", "pa", "dha", "ni")


@dataclass(frozen=True, slots=True)
class SystemSuggestion:
    """What a file seems to be written in.

    Attributes
    ----------
    system : str
        The system to propose; empty where the evidence does not point to one.
    evidence : tuple of str
        Sentences with counts, for and against.
    conflicts : tuple of str
        Every word of the file that has two readings, with both and the count.
    """

    system: SyllableSystem = ""
    evidence: tuple[str, ...] = ()
    conflicts: tuple[str, ...] = ()


class _Words:
    """In how many texts each word stands."""

    def __init__(self, texts: Iterable[str]) -> None:
        self.texts = 0
        self.count: Counter[str] = Counter()
        self.kinds: Counter[str] = Counter()
        for text in texts:
            words = set(_WORD.findall(text.casefold()))
            for run in [word for word in words if _RUN_OF_LETTERS.fullmatch(word)]:
                words |= set(run)
            if words:
                self.texts += 1
                self.count.update(words)
                self.kinds[_kind(words)] += 1

    def any(self, *words: str) -> bool:
        """Tell whether one of the words occurs."""
        return any(self.count[word] for word in words)

    def all(self, *words: str) -> bool:
        """Tell whether each of the words occurs."""
        return all(self.count[word] for word in words)

    def said(self, *words: str) -> str:
        """List the words that occur, with their counts."""
        return ", ".join(f"{word} in {_texts(self.count[word])}" for word in words if self.count[word])


Votes = dict[SyllableSystem, list[str]]


def suggest_system(texts: Iterable[str], *, column: Column = "pitch", level: str = "") -> SystemSuggestion:
    """Propose a system for a file that declares none.

    Parameters
    ----------
    texts : iterable of str
        The cells of the column, each as often as counts should count it.
    column : str, optional
        A column of beats (``"rhythm"``) gets no proposal.
    level : str, optional
        The level of the choir; te and me speak for the seventh and the third in a beginners' file only.

    Returns
    -------
    SystemSuggestion
        A proposal where all evidence points to one system, and the evidence in any case.
    """
    if column == "rhythm":
        return SystemSuggestion(evidence=("The column holds words for beats, which name no notes.",))
    words = _Words(texts)
    conflicts = tuple(
        f'"{word}" stands in {_texts(words.count[word])}: it can be {first} or {second}.'
        for word, (first, second) in TWO_READINGS.items()
        if words.count[word]
    )
    kind, share = _main_kind(words)
    by_kind: dict[str, Callable[[_Words, str], Votes]] = {"number": _numbers, "letter": _letters}
    votes = by_kind[kind](words, level) if kind in by_kind else _syllables(words, level)
    evidence = [sentence for sentences in votes.values() for sentence in sentences]
    if share < words.texts:
        evidence.append(f"Written in another way: {words.texts - share} of {_texts(words.texts)}.")
    if len(votes) > 1:
        return SystemSuggestion("", (*evidence, "The evidence points to more than one system."), conflicts)
    return SystemSuggestion(next(iter(votes), ""), tuple(evidence), conflicts)


def _texts(count: int) -> str:
    """Say how many texts."""
    return "1 text" if count == 1 else f"{count} texts"


def _kind(words: set[str]) -> str:
    """Say whether a text is of numbers, of letter names, or of syllables."""
    if all(any(sign.isdecimal() for sign in word) for word in words):
        return "number"
    letters = all(_LETTER_NAME.fullmatch(word) or _GERMAN_NAME.fullmatch(word) for word in words)
    return "letter" if letters and not words <= {"d", "f"} else "syllable"


def _main_kind(words: _Words) -> tuple[str, int]:
    """Give the kind that most texts are of, and how many."""
    return words.kinds.most_common(1)[0] if words.kinds else ("syllable", 0)


def _numbers(words: _Words, level: str) -> Votes:
    """Weigh scale numbers."""
    count = words.kinds["number"]
    votes: Votes = {"numbers": [f"Numbers only: {count} of {_texts(words.texts)}."]}
    if words.any("0"):
        votes["numbers"].append(f"0 stands in {_texts(words.count['0'])}: declare whether it is a rest.")
    return votes


def _letters(words: _Words, level: str) -> Votes:
    """Weigh letter names: H and endings in -is and -es are German."""
    german = [word for word in words.count if _GERMAN_NAME.fullmatch(word)]
    if german:
        return {"letters_german": [f"German letter names: {words.said(*sorted(german))}. Declare the key too."]}
    count = words.kinds["letter"]
    return {"letters_english": [f"Letters from A to G only: {count} of {_texts(words.texts)}. Declare the key too."]}


def _syllables(words: _Words, level: str) -> Votes:
    """Weigh syllables by what occurs in one system only."""
    votes: Votes = {}

    def vote(system: SyllableSystem, sentence: str) -> None:
        votes.setdefault(system, []).append(sentence)

    if words.all("sa", "pa") and sum(words.any(word) for word in _SARGAM) > 2:
        vote("sargam", f"Syllables of sargam: {words.said(*_SARGAM)}.")
    if words.any(*_UP_E):
        vote("movable_e_up_a_down", f"Spellings of the system with ray and lah: {words.said(*_UP_E)}.")
    if words.any(*_UP_I):
        hungarian = words.any(*_DOWN_A)
        said = words.said(*_UP_I, *(_DOWN_A if hungarian else ()))
        system: SyllableSystem = "movable_i_up_a_down" if hungarian else "movable_i_up_e_down"
        vote(system, f"Raised notes end in i{', lowered ones in a' if hungarian else ''}: {said}.")
    if words.any("ut"):
        vote("fixed_si", f"First note of fixed do: {words.said('ut')}.")
    _si(words, vote)
    _te_and_me(words, vote, level)
    if not votes and words.texts and sum(words.count[word] for word in NEUTRAL) >= 0.8 * words.texts:
        vote("neutral", f"Melodies sung on a vowel: {words.said(*sorted(NEUTRAL))}.")
    if (
        votes.keys() <= {"movable_e_up_a_down"}
        and words.any("mi", "ti")
        and not words.any("me", "te", "ta", "se", "le", "si")
    ):
        said = words.said("re", "mi", "la", "ti")
        vote("movable_i_up_e_down", f"The third is written mi or the seventh ti, and no altered note occurs: {said}."
             " Whether do is the key note or always C cannot be seen.")  # fmt: skip
    return votes


def _si(words: _Words, vote: Callable[[SyllableSystem, str], None]) -> None:
    """Weigh si: beside ti it is no seventh; beside sol, without ti, it likely is."""
    if words.all("si", "ti"):
        vote("movable_i_up_e_down", f"Both occur, so si is not the seventh: {words.said('si', 'ti')}.")
    elif words.all("si", "sol"):
        vote("fixed_si", f"sol and si occur and ti does not: {words.said('sol', 'si')}. Declare the key too.")


def _te_and_me(words: _Words, vote: Callable[[SyllableSystem, str], None], level: str) -> None:
    """Weigh te and me: beside ti and mi they are lowered notes; in a beginners' file alone they likely are not."""
    for lowered, plain in (("te", "ti"), ("me", "mi")):
        if words.all(lowered, plain):
            vote("movable_i_up_e_down", f"Both occur, so {lowered} is the lowered one: {words.said(lowered, plain)}.")
    if words.any("te", "me") and not words.any("ti", "mi") and _BEGINNERS.search(level):
        vote("movable_e_up_a_down", f"A beginners' file with {words.said('te', 'me')} and without ti and mi.")
