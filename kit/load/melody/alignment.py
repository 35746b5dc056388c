"""Comparing what was sung with what was asked, a whole log at once: marks for each note of each row, in flat arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.load.melody.bits import LONGEST, Integers, pair_up
from kit.load.melody.steps import TRIADS, Mode, approach
from kit.load.melody.symbols import Melodies, Yes, read_melodies, sums
from kit.tables import APPROACHES

Octaves = Literal["written", "ignored"]

OUTCOMES = ("right", "substituted", "omitted", "not_judged")
"""What can become of a note of the target."""

UNJUDGED = ("", "no_target", "not_recorded", "unclear_target", "too_long", "out_of_range", "neutral")
"""Why a row is not judged, the first that holds; empty when it is."""

_RIGHT, _SUBSTITUTED, _OMITTED, _NOT_JUDGED = range(len(OUTCOMES))
_APPROACHES = ("", *APPROACHES)
_TEXT_TYPES = (pa.types.is_null, pa.types.is_string, pa.types.is_large_string, pa.types.is_string_view)


@dataclass(frozen=True, slots=True, eq=False)
class Aligned:
    """What became of each note of each target. Equal rows are kept once: row k is told by the pair ``pair[k]``.

    Attributes
    ----------
    tokens : tuple of str
        The notes that occur, as canonical tokens; ``target`` and ``sung`` are places in it.
    pair : ndarray of int, shape (rows,)
        Which pair of target and sung melody each row holds.
    start : ndarray of int, shape (pairs + 1,)
        Pair p has the notes ``start[p]`` to ``start[p + 1]`` of the arrays below.
    target, sung : ndarray of int, shape (notes,)
        The note that was asked, and what was sung in its place (the same note where it was right); -1: nothing.
    approached_by : ndarray of int, shape (notes,)
        How the note is approached: place in ``("", *kit.tables.APPROACHES)``.
    outcome : ndarray of int, shape (notes,)
        Place in `OUTCOMES`.
    added_before : ndarray of int, shape (notes,)
        Notes sung too many between the note before (or the beginning) and this one.
    added, cost : ndarray of int, shape (pairs,)
        Notes sung too many anywhere; substituted, omitted and added notes together. -1 where nothing is judged.
    unjudged : ndarray of int, shape (pairs,)
        Place in `UNJUDGED`.
    """

    tokens: tuple[str, ...]
    pair: Integers
    start: Integers
    target: Integers
    sung: Integers
    approached_by: Integers
    outcome: Integers
    added_before: Integers
    added: Integers
    cost: Integers
    unjudged: Integers

    def rows(self) -> pd.DataFrame:
        """Give one line for each row: notes ``asked``, ``right``, ``substituted``, ``omitted``, ``added``, ``cost``.

        Returns
        -------
        DataFrame, shape (rows, 7)
            In the order of the rows given. Where ``unjudged`` (why, a word of `UNJUDGED`) is not empty, all counts
            but ``asked`` are missing; ``asked`` is 0 for a target that is missing or too long.
        """
        judged = self.unjudged[self.pair] == 0
        table = pd.DataFrame({"asked": pd.array(np.diff(self.start)[self.pair], dtype="Int32")})
        for code in (_RIGHT, _SUBSTITUTED, _OMITTED):
            table[OUTCOMES[code]] = _counts(sums(self.outcome == code, self.start)[self.pair], judged)
        table["added"], table["cost"] = _counts(self.added[self.pair], judged), _counts(self.cost[self.pair], judged)
        return table.assign(unjudged=pd.Categorical.from_codes(self.unjudged[self.pair], UNJUDGED))

    def frame(self) -> pd.DataFrame:
        """Give one line for each note of each row's target.

        Returns
        -------
        DataFrame, shape (rows x notes, 9)
            ``row`` (place of the row given, from 0), ``position`` (place of the note in its melody, from 1, rests and
            holds not counted), ``target``, ``approached_by``, ``outcome``, ``sung`` (empty where nothing was),
            ``added_before``; and for the whole row, repeated: ``added``, ``cost`` (missing where not judged).
            A row whose target is missing or too long has no lines here; `rows` says why.
        """
        asked = np.diff(self.start)[self.pair]
        row = np.repeat(np.arange(len(self.pair)), asked)
        position = np.arange(len(row)) - np.repeat(np.cumsum(asked) - asked, asked)
        note, pair = self.start[self.pair][row] + position, self.pair[row]
        judged = self.unjudged[pair] == 0
        words = pd.CategoricalDtype(["", *self.tokens])
        return pd.DataFrame({
            "row": row,
            "position": position + 1,
            "target": pd.Categorical.from_codes(self.target[note] + 1, dtype=words),
            "approached_by": pd.Categorical.from_codes(self.approached_by[note], _APPROACHES),
            "outcome": pd.Categorical.from_codes(self.outcome[note], OUTCOMES),
            "sung": pd.Categorical.from_codes(self.sung[note] + 1, dtype=words),
            "added_before": _counts(self.added_before[note], judged),
            "added": _counts(self.added[pair], judged),
            "cost": _counts(self.cost[pair], judged),
        })  # fmt: skip


def align(targets: ArrayLike, sung: ArrayLike, *, octaves: Octaves = "written", mode: Mode = "major") -> Aligned:
    """Align what was sung with what was asked, row by row.

    Parameters
    ----------
    targets, sung : array_like of str, shape (rows,)
        Canonical texts. A missing or empty text means that nothing is recorded, and the row is not judged; a singer
        who stayed silent is written as a rest, ``"0"``, and has omitted every note.
    octaves : str, optional
        ``"written"``: a note in another octave is another note. ``"ignored"``: it is the same note, as for syllables
        that were spoken.
    mode : str, optional
        ``"major"`` or ``"minor"``: which third the tonic triad has, for `approached_by`.

    Returns
    -------
    Aligned
        Marks for each note of each target.

    Raises
    ------
    UnknownChoiceError
        If `octaves` or `mode` is neither of its words.
    ValueError
        If the two are not equally long lists of texts, or a text is not canonical.

    Notes
    -----
    The alignment is global and of least cost, with cost 1 for a note substituted, omitted or added. Among alignments
    of the same cost, read from the last note back, two notes are paired before one is taken as omitted, and omitted
    before one is taken as added. Two notes are the same when degree and alteration are, and the octave too unless one
    of the two is not known (``*``). Rests and holds are no scored notes: they are left out of both melodies first.
    An inaudible note (``?``) is never right. One neutral syllable (``n``) leaves the row unjudged, since it tells
    neither pitch nor name; so does a target that is not wholly known, a melody of more than `LONGEST` notes, and one
    that goes beyond `FARTHEST` octaves. Each different pair of target and sung melody is aligned once.

    Examples
    --------
    >>> align(["1 3 5"], ["1 5"]).frame()["outcome"].tolist()
    ['right', 'omitted', 'right']
    """
    for option, word, choices in (("octaves", octaves, get_args(Octaves)), ("mode", mode, tuple(TRIADS))):
        if word not in choices:
            raise UnknownChoiceError("align", option, word, choices)
    asked, heard = _texts(targets, "targets"), _texts(sung, "sung")
    if len(asked) != len(heard):
        raise ValueError(f"align: targets and sung must be equally long. Got {len(asked)} and {len(heard)}.")
    texts, pair, which = _pairs(asked, heard)
    melodies = read_melodies(texts)
    approached = _approached(melodies, int(which[0].max(initial=-1)) + 1, mode)
    return _marks(melodies, pair, which, melodies.same(octaves=octaves == "written"), approached)


def _texts(values: ArrayLike, name: str) -> pa.LargeStringArray:
    """Take a column of texts, missing ones as empty."""
    try:
        found = values if isinstance(values, pa.Array | pa.ChunkedArray) else pa.array(values, from_pandas=True)
        found = found.combine_chunks() if isinstance(found, pa.ChunkedArray) else found
        kind = found.type.value_type if pa.types.is_dictionary(found.type) else found.type
        if isinstance(values, str) or not any(check(kind) for check in _TEXT_TYPES):
            raise TypeError(name)
        found = found.cast(pa.large_string())
    except (pa.ArrowException, TypeError, UnicodeError) as error:
        raise ValueError(f"align: {name} must be a list or column of texts. Got {type(values).__name__}.") from error
    return pc.fill_null(found, "") if found.null_count else found


def _pairs(
    asked: pa.LargeStringArray, heard: pa.LargeStringArray
) -> tuple[pa.LargeStringArray, Integers, tuple[Integers, Integers]]:
    """Give the texts, targets first; which pair each row holds; and the two texts of each pair.

    Rows sung as asked are most of a log: they are told by their target alone, so that only slips are sorted out.
    """
    differs = pc.not_equal(asked, heard)
    slips = np.flatnonzero(differs.to_numpy(zero_copy_only=False))
    target, asked = _different(asked)
    sung, heard = _different(heard.filter(differs))
    missed = target[slips]
    slip, keys = pd.factorize(missed.astype(np.int64) * len(heard) + sung)
    met = np.bincount(target, minlength=len(asked)) > np.bincount(missed, minlength=len(asked))
    known = np.flatnonzero(met)
    pair = (np.cumsum(met, dtype=np.int32) - 1)[target]
    pair[slips] = slip + len(known)
    which = np.divmod(keys, max(1, len(heard)))
    both = (np.append(known, which[0]), np.append(known, which[1] + len(asked)))
    return pa.concat_arrays([asked, heard]), pair, both


def _different(texts: pa.LargeStringArray) -> tuple[Integers, pa.LargeStringArray]:
    """Give the number of each row's text, and the different texts."""
    coded = texts.dictionary_encode()
    return coded.indices.to_numpy(), coded.dictionary


def _marks(
    texts: Melodies, pair: Integers, which: tuple[Integers, Integers], same: Yes, approached: Integers
) -> Aligned:
    """Align every pair that can be judged."""
    melodies, unjudged = texts.melodies, _unjudged(texts, *which)
    able = unjudged == 0
    count = melodies.length[which[0]]
    count[count > LONGEST] = 0
    start = np.append(0, np.cumsum(count))
    note = np.arange(start[-1]) + np.repeat(melodies.start[which[0]] - start[:-1], count)
    mates = pair_up(melodies, melodies, (which[0][able], which[1][able]), same=same)
    judged, target = np.repeat(able, count), melodies.symbol[note]
    sung, before = np.full(len(note), -1, np.int16), np.zeros(len(note), np.uint8)
    added = np.full(len(able), -1, np.int16)
    sung[judged], before[judged], added[able] = mates.symbol, mates.before, mates.added
    outcome = np.where(sung < 0, _OMITTED, np.where(same[target, sung], _RIGHT, _SUBSTITUTED)).astype(np.int8)
    outcome[~judged] = _NOT_JUDGED
    cost = np.where(able, sums((outcome != _RIGHT) & judged, start) + added, -1).astype(np.int16)
    return Aligned(texts.tokens, pair, start, target, sung, approached[note], outcome, before, added, cost, unjudged)


def _unjudged(texts: Melodies, asked: Integers, heard: Integers) -> Integers:
    """Say of each pair why it is not judged: place in `UNJUDGED`."""
    long = texts.melodies.length > LONGEST
    why = (
        ~texts.recorded[asked],
        ~texts.recorded[heard],
        texts.unclear[asked] | texts.neutral[asked],
        long[asked] | long[heard],
        texts.far[asked] | texts.far[heard],
        texts.neutral[heard],
    )
    return np.select(why, range(1, len(UNJUDGED)), 0).astype(np.int8)


def _approached(texts: Melodies, asked: int, mode: Mode) -> Integers:
    """Say of every note of the first texts, the targets, how it is approached: place in `_APPROACHES`."""
    start, many = texts.melodies.start[: asked + 1], len(texts.tokens)
    symbol = texts.melodies.symbol[: start[-1]].astype(np.int64)
    found = np.zeros(len(symbol), np.int8)
    if len(symbol) > 1:
        marked = np.repeat(texts.marked[:asked], np.diff(start))
        move = (symbol[:-1] * many + symbol[1:]) * 2 + marked[1:]
        word = np.zeros(2 * many * many, np.int8)
        for key in np.flatnonzero(np.bincount(move)):
            before, note = (texts.notes[place] for place in divmod(int(key) // 2, many))
            word[key] = _APPROACHES.index(approach(before, note, marked=bool(key % 2), mode=mode))
        found[1:] = word[move]
    found[start[:-1][np.diff(start) > 0]] = 0
    return found


def _counts(values: Integers, judged: Integers) -> pd.arrays.IntegerArray:
    """Make a column of counts, missing where nothing is judged."""
    return pd.arrays.IntegerArray(values.astype(np.int32), ~judged)
