"""Pairing many sung melodies with their targets at once: one machine word holds a column of the alignment table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

LONGEST = 64
"""Most notes of a target or of a sung melody: the bits of a machine word. Longer ones are not judged."""

_BLOCK = 1 << 14
_CELLS = 1 << 21

Integers = NDArray[np.integer]


@dataclass(frozen=True, slots=True)
class Ragged:
    """Melodies of any length, one after another: melody k has the symbols ``start[k]`` to ``start[k + 1]``."""

    symbol: Integers
    start: Integers

    @property
    def length(self) -> Integers:
        """Number of notes of each melody."""
        return np.diff(self.start)


@dataclass(frozen=True, slots=True)
class Mates:
    """What each note of the targets was paired with.

    Attributes
    ----------
    symbol : ndarray of int, shape (notes,)
        What was sung in its place; -1 where nothing was.
    before : ndarray of int, shape (notes,)
        Notes added between the note before (or the beginning) and this one.
    added : ndarray of int, shape (pairs,)
        Notes added anywhere, those after the last note included.
    """

    symbol: Integers
    before: Integers
    added: Integers


def pair_up(asked: Ragged, sung: Ragged, pairs: tuple[Integers, Integers], *, same: NDArray[np.bool_]) -> Mates:
    """Align sung melodies with their targets: fewest substitutions, omissions and additions, each counting one.

    Parameters
    ----------
    asked, sung : Ragged
        Targets and sung melodies, each written once.
    pairs : two ndarrays of int, shape (pairs,)
        Which target and which sung melody belong together; each of at most `LONGEST` notes.
    same : ndarray of bool, shape (symbols, symbols)
        Whether a symbol of a target (row) is met by a sung symbol (column).

    Returns
    -------
    Mates
        For each note of the pairs' targets, pair after pair.

    Notes
    -----
    Among alignments of the same cost: read from the last note back, two notes are paired before one is taken as
    omitted, and omitted before one is taken as added. The bit-vector recurrences are Hyyrö's form of Myers' [1]_.

    References
    ----------
    .. [1] Myers (1999), A fast bit-vector algorithm for approximate string matching; Hyyrö (2003), A bit-vector
       algorithm for computing Levenshtein and Damerau edit distances. Both from memory; the results are checked
       against a plain dynamic programme and a general edit-distance library.
    """
    count, notes = asked.length[pairs[0]], sung.length[pairs[1]]
    start = np.append(0, np.cumsum(count))
    found = Mates(np.full(start[-1], -1, np.int16), np.zeros(start[-1], np.uint8), np.zeros(len(count), np.uint8))
    heard = np.append(sung.symbol, np.int16(0))
    for block in _blocks(count, notes, len(same)):
        texts, text = np.unique(pairs[0][block], return_inverse=True)
        begin = sung.start[pairs[1][block]]
        bits = _bits(asked.symbol, asked.start[texts], asked.length[texts], same)
        tables = _tables(bits, text, heard, begin, int(notes[block[0]]))
        found.added[block] = _trace(found, start[block], count[block], tables, (heard, begin))
    return found


def _blocks(asked: Integers, sung: Integers, symbols: int) -> Iterator[Integers]:
    """Yield pairs with equally many sung notes, longest target first, few enough for the tables to stay small."""
    order = np.argsort((sung * (LONGEST + 1) + LONGEST - asked).astype(np.int16), kind="stable")
    ends = np.append(0, np.cumsum(np.bincount(sung)))
    most = max(1, min(_BLOCK, _CELLS // (symbols + LONGEST)))
    for begin, end in pairwise(ends):
        for first in range(begin, end, most):
            yield order[first : min(first + most, end)]


def _bits(symbol: Integers, first: Integers, count: Integers, same: NDArray[np.bool_]) -> Integers:
    """Set, for each target and sung symbol, the bits of the notes that the symbol meets."""
    longest = int(count.max())
    word = np.uint32 if longest <= 32 else np.uint64
    bits, meets = np.zeros((len(first), len(same)), word), same.astype(word)
    for place in range(longest):
        some = np.flatnonzero(count > place)
        bits[some] |= meets[symbol[first[some] + place]] << word(place)
    return bits


def _tables(bits: Integers, text: Integers, heard: Integers, begin: Integers, notes: int) -> tuple[Integers, Integers]:
    """Give, after each sung note, where the way back may pair (first) or omit (second): one bit for a target note."""
    word, row, shape = bits.dtype.type, text * bits.shape[1], (notes + 1, len(text))
    bits, paired, omitted = bits.reshape(-1), np.zeros(shape, word), np.empty(shape, word)
    rises, falls = ~np.zeros(len(text), word), np.zeros(len(text), word)
    omitted[0] = rises
    for place in range(notes):
        meets = bits[row + heard[begin + place]]
        level = meets | falls
        level |= ((level & rises) + rises) ^ rises
        across_up = ((falls | ~(level | rises)) << word(1)) | word(1)
        across_down = (rises & level) << word(1)
        rises = across_down | ~(level | across_up)
        falls = across_up & level
        paired[place + 1], omitted[place + 1] = meets | ~level, rises
    return paired, omitted


def _trace(
    found: Mates,
    start: Integers,
    count: Integers,
    tables: tuple[Integers, Integers],
    melodies: tuple[Integers, Integers],
) -> Integers:
    """Walk back through a block of tables, target note by target note; write what is found, give the notes added."""
    heard, begin = melodies
    width, (paired, omitted) = len(start), (table.reshape(-1) for table in tables)
    cell, added = np.arange(width) + (paired.size - width), np.zeros(width, np.uint8)
    for place in range(int(count[0]) - 1, -1, -1):
        bit = paired.dtype.type(1 << place)
        here = cell[: np.searchsorted(-count, -place)]
        pair = (paired[here] & bit) != 0
        stuck = np.flatnonzero(~pair & ((omitted[here] & bit) == 0))
        while stuck.size:
            here[stuck] -= width
            added[stuck] += 1
            inside = stuck[count[stuck] > place + 1]
            found.before[start[inside] + place + 1] += 1
            pair[stuck] = (paired[here[stuck]] & bit) != 0
            stuck = stuck[~pair[stuck] & ((omitted[here[stuck]] & bit) == 0)]
        here -= width * pair
        some = slice(len(here))
        found.symbol[start[some] + place] = np.where(pair, heard[begin[some] + here // width], -1)
    rest = cell // width
    inside = np.flatnonzero((count > 0) & (rest > 0))
    found.before[start[inside]] += rest[inside].astype(np.uint8)
    return added + rest.astype(np.uint8)
