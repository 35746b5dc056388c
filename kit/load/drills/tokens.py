"""Texts of plain syllables, hundreds of thousands of them, read by their words: each word is read once."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from kit.load.declared_music import Syllables
from kit.load.notes import read_notes
from kit.load.syllables.read import Sung, read_unique

MOST_WORDS = 200
"""Different words of a column that are looked at; a column of plain syllables has a few dozen."""

_SHORT_WORD = re.compile(r"[A-Za-z]{1,3}")
_PLAIN_WORD = re.compile(r"[A-Za-zäöüÄÖÜ]{2,6}['’′]{0,2}|[#b]?[1-8]['’′]{0,2}")


@dataclass(slots=True)
class Read:
    """Texts that could be read by their words.

    Attributes
    ----------
    done : ndarray of bool, shape (n,)
        Which texts; the others are to be read as a whole.
    table : ndarray of int, shape (n,)
        Place of what was sung in ``texts``; 0 for the others, and for those with a fault.
    texts : pyarrow array of str
        The different sequences of notes in their written form; the first is empty.
    rules : dict of str to ndarray of bool, shape (n,)
        Rule of a normalisation -> the texts it was applied to.
    one_word : ndarray of bool, shape (n,)
        Texts in which one word may fill more than four fifths of the places.
    faults : dict of int to (str, str)
        Text -> the reason code and the sentence of the one word in it that names no note.
    """

    done: np.ndarray
    table: np.ndarray
    texts: pa.Array
    rules: dict[str, np.ndarray]
    one_word: np.ndarray
    faults: dict[int, tuple[str, str]]


@dataclass(slots=True)
class _Words:
    """The words of all texts: the different ones, and for each place the number of its word."""

    different: list[str]
    codes: np.ndarray
    lists: pa.ListArray

    def counts(self, *such: np.ndarray) -> list[np.ndarray]:
        """Count in each text the words that are such, and last those that stand behind the same word.

        A text has at least one word, if only an empty one, and by the bound on cells fewer than 2 ** 16: three counts
        are added up as one number.
        """
        offsets = self.lists.offsets.to_numpy()
        packed = sum(kind.astype(np.int64) << 16 * at for at, kind in enumerate(such))[self.codes]
        again = self.codes[1:] == self.codes[:-1]
        packed[1:] += again.astype(np.int64) << 16 * len(such)
        first = offsets[1:-1]
        packed[first] -= again[first - 1].astype(np.int64) << 16 * len(such)
        sums = np.add.reduceat(packed, offsets[:-1])
        return [sums >> 16 * at & 0xFFFF for at in range(len(such) + 1)]


def read_words(texts: pa.Array, system: Syllables) -> Read | None:
    """Read texts whose words name notes each by itself, in whatever company.

    Parameters
    ----------
    texts : pyarrow array of str, shape (n,)
        As written in the cells.
    system : Syllables
        What the study file declares.

    Returns
    -------
    Read or None
        None where nothing can be won: no system is declared, or no word is a plain one.
    """
    if not system.system or not len(texts):
        return None
    lists = pc.split_pattern(texts, " ")  # other white space makes a word that is not plain
    coded = lists.flatten().dictionary_encode()
    words = _Words(coded.dictionary.to_pylist(), coded.indices.to_numpy(), lists)
    known = _plain_words(words, system)
    if not known:
        return None
    rule = next((rule for _, rule in known.values() if rule), "")
    changed = np.array([known.get(word, ("", ""))[1] != "" for word in words.different])
    others, changes, again = words.counts(np.array([word not in known for word in words.different]), changed)
    written = pa.array([known.get(word, ("",))[0] for word in words.different], pa.string())
    joined = pc.binary_join(pa.ListArray.from_arrays(lists.offsets, written.take(coded.indices)), " ")
    done = others == 0
    joined = pc.if_else(pa.array(done), joined, "")
    different = pa.chunked_array([pa.array([""], pa.string()), joined]).dictionary_encode().chunks[-1]
    rules = {rule: done & (changes > 0)} if rule else {}
    faults = _faults(words, others, known, system)
    done[list(faults)] = True
    steps = np.diff(lists.offsets.to_numpy()) - 1
    # each other word, one in five at most, parts two pairs of the same
    one_word = (steps >= 3) & (again >= steps - 2 * (steps // 5))
    return Read(done, different.indices.to_numpy(), different.dictionary, rules, one_word, faults)


def _plain_words(words: _Words, system: Syllables) -> dict[str, tuple[str, str]]:
    """Read each word by itself: what it names, and the rule; words that change in company are left out."""
    times = np.bincount(words.codes, minlength=len(words.different))
    order = [words.different[at] for at in np.argsort(-times, kind="stable").tolist()]
    often = [word for word in order if _PLAIN_WORD.fullmatch(word)][:MOST_WORDS]
    known = {word: (read.text, read.rule) for word, read in read_unique(often, system).items()
             if not read.fault and not read.note and _names_one_note(read.text)}  # fmt: skip
    pairs = read_unique([f"{first} {second}" for first in known for second in known], system)
    rule = next((rule for _, rule in known.values() if rule), "")
    known = {word: read for word, read in known.items() if read[1] in ("", rule)}  # one rule; in practice there is one
    kept: dict[str, tuple[str, str]] = {}
    # of two words that do not bear each other's company the rarer goes
    for word, reading in known.items():
        both = [pair for other in (word, *kept) for pair in ((word, other), (other, word))]
        if all(_agree(known, pairs, *pair) for pair in both):
            kept[word] = reading
    return kept


def _names_one_note(text: str) -> bool:
    """Say whether a word names one note and nothing else."""
    notes = read_notes(text)
    return len(notes) == 1 and notes[0].kind == "note"


def _agree(known: dict[str, tuple[str, str]], pairs: dict[str, Sung], first: str, second: str) -> bool:
    """Say whether two words side by side are read as each is by itself."""
    read = pairs[f"{first} {second}"]
    return not read.fault and not read.note and read.text == f"{known[first][0]} {known[second][0]}"


def _faults(
    words: _Words, others: np.ndarray, known: dict[str, tuple[str, str]], system: Syllables
) -> dict[int, tuple[str, str]]:
    """Find the texts in which one short word names no note, and all others do."""
    short = [word for word in words.different if _SHORT_WORD.fullmatch(word) and word not in known][:MOST_WORDS]
    beside, places = next(iter(known)), {word: at for at, word in enumerate(words.different)}
    spoilt = {}
    for word in short:
        reads = read_unique([word, f"{word} {beside}", f"{beside} {word}"], system).values()
        told = {(read.fault, read.found) for read in reads}
        if len(told) == 1 and next(iter(told))[0] == "syllable_unknown":
            spoilt[places[word]] = told.pop()
    if not spoilt:
        return {}
    such = np.zeros(len(words.different), bool)
    such[list(spoilt)] = True
    texts = np.flatnonzero(others == 1)
    offsets = words.lists.offsets.to_numpy()
    found = {}
    for text in texts.tolist():
        codes = words.codes[offsets[text] : offsets[text + 1]]
        wrong = codes[such[codes]].tolist()
        if len(codes) > 1 and wrong:
            found[text] = spoilt[wrong[0]]
    return found
