"""Columns of notes in a drill log -> the notes in their written form, each different cell read once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from kit.load.codes import Codes, listed, taken
from kit.load.declared_music import DateOrder, Syllables
from kit.load.drills.sung import is_remark, plain_notes
from kit.load.drills.tokens import Read, read_words
from kit.load.drills.values import Fault, Meaning, as_texts
from kit.load.formats.cells import Value
from kit.load.notes import read_notes, write_notes
from kit.load.responses import read_response
from kit.load.syllables.degrees import from_tonic
from kit.load.syllables.read import LONG_ENOUGH, MOST_OF_IT, neutral_notes, read_unique

Cells = Sequence[Value] | pa.Array

_SYLLABLES_DO = {
    "syllable_unclear": "Declare the syllables of the class in study.toml: syllables = { system = ... }.",
    "syllable_unknown": "Correct it; or declare another system of syllables in study.toml.",
    "syllable_minority": "Write it in the system of the rest of the file.",
    "octave_unclear": "Write it without the octave mark, or declare what the mark means in study.toml.",
    "rhythm_or_pitch": "Write beats in a log of their own.",
}
_KEPT_AS_REMARK = ("remark in place of notes left out", "(a remark)", "")
ON_A_VOWEL = "melody on one syllable read without its degrees"


def read_notes_of(
    column: Codes, choirs: np.ndarray, systems: Sequence[Syllables], order: DateOrder, *, words: bool
) -> tuple[np.ndarray, Meaning, Meaning]:
    """Read a column of notes, each different cell once for each system of syllables that occurs beside it.

    Parameters
    ----------
    column : Codes
        The cells.
    choirs : ndarray of int, shape (n,)
        Place of each line's choir in ``systems``.
    systems : sequence of Syllables
        What is declared for each choir.
    order : str
        In which order dates are read, where the study file declares it.
    words : bool
        Whether words such as flat or shy may stand in place of notes.

    Returns
    -------
    codes : ndarray of int, shape (n,)
        For each line its place in the two meanings.
    notes : Meaning
        The notes in their written form.
    responses : Meaning
        What was noted instead of notes.
    """
    different = list(dict.fromkeys(systems))
    if len(different) == 1:
        return column.codes, *_read_in(column.cells, different[0], order, words)
    group = np.array([different.index(system) for system in systems])[choirs]
    pairs, codes = np.unique(group * len(column.cells) + column.codes, return_inverse=True)
    parts = [pairs[pairs // len(column.cells) == at] % len(column.cells) for at in range(len(different))]
    read = [
        _read_in(taken(column.cells, part), system, order, words) for part, system in zip(parts, different, strict=True)
    ]
    return codes, _joined([notes for notes, _ in read]), _joined([responses for _, responses in read])


def on_a_vowel(
    codes: np.ndarray, notes: Meaning, sung: tuple[np.ndarray, Sequence[str]], asked: tuple[np.ndarray, Sequence[str]]
) -> tuple[tuple[np.ndarray, Sequence[str]], np.ndarray]:
    """Take the degrees away from melodies that were sung on one syllable, such as la, where others were asked for.

    Parameters
    ----------
    codes : ndarray of int, shape (n,)
        For each line its cell in ``notes``.
    notes : Meaning
        What was sung, as `read_notes_of` gives it.
    sung, asked : (ndarray, sequence of str)
        For each line the place of its text, and the different texts.

    Returns
    -------
    sung : (ndarray, sequence of str)
        The same, with neutral notes where a vowel was sung.
    lines : ndarray of int
        Lines that were changed.
    """
    cells = np.flatnonzero(notes.one_word)
    one_word = np.zeros(len(notes.table), bool)
    one_word[cells] = [_is_mostly_one(cell.split()) for cell in listed(taken(notes.before, cells))]
    lines = np.flatnonzero(one_word[codes]) if one_word.any() else cells[:0]
    pairs, of_line = np.unique(np.stack([codes[lines], asked[0][lines]]).astype(np.int64), axis=1, return_inverse=True)
    told = [write_notes(neutral_notes(str(notes.before[cell]), read_notes(str(asked[1][target]))))
            for cell, target in pairs.T.tolist()]  # fmt: skip
    changed = np.array([text != "" for text in told], bool)[of_line] if told else np.zeros(0, bool)
    if not changed.any():
        return sung, lines[:0]
    vowels = as_texts(told)
    texts, places = _with_texts(sung[1], vowels.texts)
    table = sung[0].astype(np.int32)
    table[lines[changed]] = places[vowels.table[of_line[changed]]]
    return (table, texts), lines[changed]


def _with_texts(texts: Sequence[str], others: list[str]) -> tuple[pa.Array, np.ndarray]:
    """Add a few texts to many different ones, each once, and say where they are."""
    many = texts if isinstance(texts, pa.Array) else pa.array(texts, pa.string())
    places = [pc.index(many, text).as_py() for text in others]
    new = [text for text, at in zip(others, places, strict=True) if at < 0]
    found = [at if at >= 0 else len(many) + new.index(text) for text, at in zip(others, places, strict=True)]
    return pa.concat_arrays([many, pa.array(new, pa.string())]), np.array(found, np.int32)


def _read_in(cells: Cells, system: Syllables, order: DateOrder, words: bool) -> tuple[Meaning, Meaning]:
    """Read different cells in one system of syllables: plain words in one go, all others cell by cell."""
    plain = read_words(cells, system) if isinstance(cells, pa.Array) else None
    if plain is None:
        notes, noted = _read_each(listed(cells), system, order, words)
    else:
        others = np.flatnonzero(~plain.done)
        notes, noted = _merged(cells, plain, others, *_read_each(listed(taken(cells, others)), system, order, words))
    if system.mode == "minor" and system.minor_base == "la":
        counted = as_texts(from_tonic(text, system) for text in listed(notes.texts))
        notes.table, notes.texts = counted.table[notes.table], counted.texts
    return notes, noted


def _merged(
    cells: pa.Array, plain: Read, others: np.ndarray, notes: Meaning, noted: Meaning
) -> tuple[Meaning, Meaning]:
    """Let the few cells that were read one by one join the many that were read by their words."""
    whole = Meaning(plain.table, plain.texts, before=cells, one_word=plain.one_word, alike=dict(plain.rules))
    whole.faults = {at: Fault(why, found, _SYLLABLES_DO[why]) for at, (why, found) in plain.faults.items()}
    responses = Meaning(np.zeros(len(cells), np.int64), list(dict.fromkeys(["", *noted.texts])))
    if len(others):
        joint = pa.chunked_array([plain.texts, pa.array(notes.texts, pa.string())]).dictionary_encode().chunks
        whole.table, whole.texts = plain.table.copy(), joint[1].dictionary
        whole.table[others] = joint[1].indices.to_numpy()[notes.table]
        whole.one_word[others] = notes.one_word
        places = np.array([responses.texts.index(text) for text in noted.texts], np.int64)
        responses.table[others] = places[noted.table]
    whole.faults |= {int(others[at]): fault for at, fault in notes.faults.items()}
    whole.changes = {int(others[at]): change for at, change in notes.changes.items()}
    for remark, such in notes.alike.items():
        whole.alike[remark] = np.zeros(len(cells), bool)
        whole.alike[remark][others] = such
    return whole, responses


def _read_each(values: Sequence[Value], system: Syllables, order: DateOrder, words: bool) -> tuple[Meaning, Meaning]:
    """Read cells one by one."""
    texts, faults, changes, responses = [], {}, {}, [""] * len(values)
    for at, value in enumerate(values):
        text, fault, rule = plain_notes(value, system.system, order)
        if fault:
            faults[at] = fault
        elif rule:
            changes[at] = (rule, str(value), text)
        elif words and (response := read_response(text)):
            changes[at], responses[at], text = ("word in place of notes", text, response), response, ""
        texts.append(text)
    sung = read_unique(texts, system)
    notes, noted = as_texts(sung[text].text for text in texts), as_texts(responses)
    for at, text in enumerate(texts):
        read = sung[text]
        if read.fault and words and is_remark(text, system):
            changes[at] = _KEPT_AS_REMARK
        elif read.fault:
            faults[at] = Fault(read.fault, read.found, _SYLLABLES_DO[read.fault])
        elif read.rule and at not in changes:
            changes[at] = (read.rule, text, read.text)
        if read.note:
            notes.alike.setdefault(read.note, np.zeros(len(texts), bool))[at] = True
    notes.faults, notes.changes, notes.before = faults, changes, texts
    notes.one_word = np.array([_is_mostly_one(text.split()) for text in texts], bool)
    return notes, noted


def _is_mostly_one(words: list[str]) -> bool:
    """Say whether one word fills most of a text, so that it may be a vowel."""
    return len(words) >= LONG_ENOUGH and max(Counter(words).values()) > MOST_OF_IT * len(words)


def _joined(parts: list[Meaning]) -> Meaning:
    """Put meanings one behind the other."""
    texts = as_texts(text for part in parts for text in listed(taken(part.texts, part.table)))
    joined = Meaning(
        texts.table,
        texts.texts,
        before=[cell for part in parts for cell in listed([] if part.before is None else part.before)],
    )
    joined.one_word, start = np.zeros(len(joined.table), bool), 0
    for part in parts:
        end = start + len(part.table)
        joined.faults |= {start + at: fault for at, fault in part.faults.items()}
        joined.changes |= {start + at: change for at, change in part.changes.items()}
        if part.one_word is not None:
            joined.one_word[start:end] = part.one_word
        for rule, cells in part.alike.items():
            joined.alike.setdefault(rule, np.zeros(len(joined.table), bool))[start:end] = cells
        start = end
    return joined
