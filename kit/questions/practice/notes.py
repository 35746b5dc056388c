"""Drill logs -> tries with their pattern, and the single notes that were asked and sung."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.questions.practice.days import is_sparse
from kit.questions.practice.plan import UNCLEAR, approach, height, spoken, sung_anew

NO_RESPONSE = "no answer"
MOST_UNPLACED = 0.2
"""Share of wrong tries that do not say which note was missed from which no shares of single notes are told: right
tries would be counted and most wrong ones not (our own rule)."""
_TEXTS = ["student", "choir", "pattern", "target", "sung", "response"]
_ASKED = ["note", "reached", "interval", "sung"]


def tries(drills: pd.DataFrame, *, accuracy: bool = True) -> pd.DataFrame:
    """Take the first tries of single students that are marked.

    Counted: lines about one student, first attempts; where attempts are not numbered, every line. Who declined made
    no try.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    accuracy : bool, optional
        Whether the tries are to be counted as shares: lines of logs that hold mistakes only are then left out.

    Returns
    -------
    DataFrame
        In order of time: student, choir, date, pattern (its notes where it has no name), target, sung, response,
        right, syllable_right; texts as categories, since logs are long.
    """
    chosen = (drills["unit"] == "one").to_numpy() & drills["right"].notna().to_numpy()
    chosen &= (drills["attempt"].fillna(1) == 1).to_numpy(bool) & (drills["student"] != "").to_numpy(bool)
    chosen &= (drills["response"] != "declined").to_numpy(bool)
    if accuracy:
        chosen &= ~drills["errors_only"].to_numpy(bool)
    rows = np.flatnonzero(chosen)
    rows = rows[np.argsort(drills["date"].to_numpy()[rows], kind="stable")]
    found = drills[[*_TEXTS, "date", "right", "syllable_right"]].iloc[rows].reset_index(drop=True)
    found = found.astype(dict.fromkeys(_TEXTS, "category")).astype({"right": bool})
    found["pattern"] = named_or_notes(found)
    return found[["student", "choir", "date", *_TEXTS[2:], "right", "syllable_right"]]


def named_or_notes(lines: pd.DataFrame) -> pd.Series:
    """Give the name of each line's pattern, or its notes where it has no name; as categories.

    Parameters
    ----------
    lines : DataFrame
        Columns pattern and target, as categories.

    Returns
    -------
    Series
    """
    pattern, target = lines["pattern"].cat, lines["target"].cat
    both = pd.Index(pattern.categories.astype(object)).union(pd.Index(target.categories.astype(object)), sort=False)
    codes = both.get_indexer(pattern.categories)[pattern.codes]
    if "" in pattern.categories:
        bare = (lines["pattern"] == "").to_numpy()
        codes[bare] = both.get_indexer(target.categories)[target.codes[bare]]
    return pd.Series(pd.Categorical.from_codes(codes, both), index=lines.index)


@dataclass(frozen=True, slots=True)
class Kinds:
    """Tries sorted by what was asked, sung and marked, each kind laid out note by note.

    Attributes
    ----------
    which : ndarray of int, shape (n,)
        Kind of each try.
    size : ndarray of int, shape (m,)
        Notes of each kind; none where a try does not say which note was missed.
    notes : DataFrame
        All notes of kind 0, then of kind 1 and so on; columns place (0 for the first note of its pattern), note,
        reached (how the note is reached, empty for the first), interval, sung, right.
    wrong, unplaced : int
        Wrong tries, and those of them that do not say which note was missed.
    """

    which: np.ndarray
    size: np.ndarray
    notes: pd.DataFrame
    wrong: int
    unplaced: int

    def missed(self) -> Kinds:
        """Give the same without the notes that were right."""
        wrong = ~self.notes["right"].to_numpy(bool)
        of = np.repeat(np.arange(self.size.size), self.size)
        size = np.bincount(of[wrong], minlength=self.size.size)
        return Kinds(self.which, size, self.notes[wrong].reset_index(drop=True), self.wrong, self.unplaced)

    def expanded(self, kinds: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Give the places of the notes of some kinds, one kind after another, and which of the kinds each is of."""
        many = self.size[kinds]
        row = np.repeat(np.arange(kinds.size), many)
        begin = np.cumsum(self.size) - self.size
        return np.arange(row.size) + np.repeat(begin[kinds] - (np.cumsum(many) - many), many), row


def kinds(tried: pd.DataFrame) -> Kinds:
    """Lay out each different try note by note, without rests and holds.

    Counted: tries with a readable target that are right, or of which every note was sung; of these, notes that were
    heard. A wrong try does not say which note was missed where what was sung is not written down, is of another
    length than its pattern, or is the very pattern. No answer counts as one on the first note.

    Parameters
    ----------
    tried : DataFrame
        From `tries`.

    Returns
    -------
    Kinds
    """
    asked, sung = tried["target"].cat, tried["sung"].cat
    right, silent = tried["right"].to_numpy(bool), (tried["response"] == "none").to_numpy(bool)
    key = asked.codes.to_numpy(np.int64) * len(sung.categories) + sung.codes.to_numpy(np.int64)
    which, different = pd.factorize(key * 4 + right * 2 + silent)
    laid = [
        _aligned(asked.categories[one // 4 // len(sung.categories)], sung.categories[one // 4 % len(sung.categories)],
                 right=bool(one & 2), silent=bool(one & 1))
        for one in different.tolist()
    ]  # fmt: skip
    columns = list(zip(*(note for one in laid for note in one), strict=True)) or [()] * 6
    each = pd.DataFrame({
        "place": np.array(columns[0], dtype=int), **dict(zip(_ASKED, map(_coded, columns[1:5]), strict=True)),
        "right": np.array(columns[5], dtype=bool),
    })  # fmt: skip
    size = np.array([len(one) for one in laid], dtype=np.int64)
    missed = ~right & (size[which] == 0)
    return Kinds(which, size, each, int((~right).sum()), int(missed.sum()))


def _coded(texts: Sequence[str]) -> pd.Categorical:
    """Give texts numbers in the order of the alphabet."""
    names = sorted(set(texts))
    place = {name: at for at, name in enumerate(names)}
    return pd.Categorical.from_codes([place[text] for text in texts], pd.Index(names, dtype="str"))


def notes(tried: pd.DataFrame, *, only_missed: bool = False) -> pd.DataFrame:
    """Count the single notes of each student; equal ones once.

    Counted: see `kinds`.

    Parameters
    ----------
    tried : DataFrame
        From `tries`.
    only_missed : bool, optional
        Whether notes that were right are left out.

    Returns
    -------
    DataFrame
        Columns student, place, note, reached, interval, sung, right, times; `attrs["wrong"]` and `attrs["unplaced"]`
        tell how many tries are wrong, and how many of them do not say which note was missed.
    """
    found, students = kinds(tried), tried["student"].cat
    if only_missed:
        found = found.missed()
    width = max(1, found.size.size)
    held = (found.size > 0)[found.which]
    key = (students.codes.to_numpy(np.int64) * width + found.which)[held]
    pair, times = counted(key, len(students.categories) * width)
    where, row = found.expanded(pair % width)
    laid = {
        name: pd.Categorical.from_codes(column.cat.codes.to_numpy()[where], dtype=column.dtype, validate=False)
        if isinstance(column.dtype, pd.CategoricalDtype) else column.to_numpy()[where]
        for name, column in found.notes.items()
    }  # fmt: skip
    who = pd.Categorical.from_codes((pair // width)[row], dtype=tried["student"].dtype, validate=False)
    laid = pd.DataFrame({"student": who, **laid, "times": times[row]}, copy=False)
    laid.attrs |= {"wrong": found.wrong, "unplaced": found.unplaced}
    return laid


def counted(keys: np.ndarray, most: int) -> tuple[np.ndarray, np.ndarray]:
    """Give the different keys, sorted, and how often each stands there."""
    if is_sparse(keys, most):
        return np.unique(keys, return_counts=True)
    times = np.bincount(keys, minlength=1)
    there = np.flatnonzero(times)
    return there, times[there]


def _aligned(target: str, sung: str, *, right: bool, silent: bool) -> list[tuple[int, str, str, str, str, bool]]:
    """Put what was sung beside what was asked, with how each note is reached; nothing where it cannot be placed."""
    asked, given = sung_anew(target), sung_anew(target if right else sung)
    if not right and not given and silent and asked:
        return [(0, asked[0], "", "", NO_RESPONSE, False)]
    if len(asked) != len(given):
        return []
    given = list(map(_placed, given, asked))
    if not right and given == asked:
        return []
    found = []
    for place, (note, answer) in enumerate(zip(asked, given, strict=True)):
        before = asked[place - 1] if place else ""
        if note not in UNCLEAR and answer not in UNCLEAR:
            found.append((place, note, *_reached(before, note), answer, note == answer))
    return found


def _placed(answer: str, note: str) -> str:
    """Put an answer whose octave was not written down into the octave nearest to the note asked, the lower of two."""
    if "*" not in answer or note in UNCLEAR:
        return answer
    bare = answer.rstrip("*")
    octaves = (f"{bare},,", f"{bare},", bare, f"{bare}'", f"{bare}''")
    return min(octaves, key=lambda one: abs(height(one) - height(note)))


def _reached(before: str, note: str) -> tuple[str, str]:
    """Say how a note is reached, and name the interval; empty for the first note."""
    if not before or before in UNCLEAR:
        return "", ""
    return approach(height(before), height(note)), f"{spoken(before)} to {spoken(note)}"


def notes_of_test(items: pd.DataFrame, students: pd.DataFrame, *, occasion: str, rater: str = "") -> pd.DataFrame:
    """Take the single notes of one test, one row each.

    Counted: marked notes of the occasion by the rater whose marks count; all raters where none is named.

    Parameters
    ----------
    items, students : DataFrame
        The tables.
    occasion : str
        Which test.
    rater : str, optional
        Whose marks count.

    Returns
    -------
    DataFrame
        Columns student, choir, note, reached, sung, right, syllable_right, drilled.
    """
    found = items[(items["occasion"] == occasion) & items["right"].notna() & items["degree"].notna()]
    found = found[(found["rater"] == rater) | (not rater)]
    choir = students.drop_duplicates("student").set_index("student")["choir"]
    ways = {"step": "step", "triad_skip": "tonic-chord skip", "other_skip": "other skip", "repeat": "repeat"}
    return pd.DataFrame({
        "student": found["student"].astype(str), "choir": found["student"].map(choir).fillna(""),
        "note": _altered(found["alter"]) + found["degree"].astype(str),
        "reached": found["approached_by"].map(ways).fillna(""),
        "sung": found["sung"].astype(str), "right": found["right"].astype(bool),
        "syllable_right": found["syllable_right"], "drilled": found["drilled"],
    })  # fmt: skip


def _altered(alter: pd.Series) -> pd.Series:
    """Write raised and lowered notes with their signs."""
    return alter.map({-1: "b", 1: "#"}).fillna("").astype(str)
