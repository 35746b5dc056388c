"""What was read of a log, column by column -> its part of the drills table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd

from kit.load.codes import smallest
from kit.load.drills.lines import Log
from kit.load.drills.people import NOBODY, People
from kit.load.drills.values import SIGN_NO, SIGN_NONE, SIGN_YES
from kit.tables import DRILLS, Column

ENOUGH_ERRORS = 5
"""From how many tries on a log in which every try is wrong is taken for one of errors only (our own rule)."""


@dataclass(slots=True)
class Columns:
    """What was read, for every line of a log, set aside or not.

    Attributes
    ----------
    lines : int
        How many.
    signs : dict of str to ndarray
        Column -> yes, no or nothing for each line.
    numbers : dict of str to (ndarray, ndarray)
        Column -> the numbers or days of its different cells, and for each line its cell.
    texts : dict of str to (ndarray, sequence of str)
        Column -> for each line the place of its text, and the different texts.
    errors_only : bool
        Whether the log holds mistakes only.
    """

    lines: int
    signs: dict[str, np.ndarray] = field(default_factory=dict)
    numbers: dict[str, tuple[np.ndarray, np.ndarray]] = field(default_factory=dict)
    texts: dict[str, tuple[np.ndarray, Sequence[str]]] = field(default_factory=dict)
    errors_only: bool = False

    def tell_errors_only(self, kept: np.ndarray) -> bool:
        """Find out whether only mistakes were written down in the lines that are kept."""
        signs = self.signs["right"][kept] if "right" in self.signs else np.zeros(0)
        return bool((signs == SIGN_NO).sum() >= ENOUGH_ERRORS and not (signs == SIGN_YES).any())


def lay_out(
    log: Log, columns: Columns, people: People, gone: np.ndarray, days_of: Mapping[int, list[date]]
) -> pd.DataFrame:
    """Lay out the lines that are not set aside.

    Parameters
    ----------
    log : Log
        Its lines.
    columns : Columns
        What was read of them.
    people : People
        Who is named, identified.
    gone : ndarray of bool, shape (n,)
        Lines that are set aside.
    days_of : mapping of int to list of date
        Lines about several days -> the days; each stands for one line of the table.

    Returns
    -------
    DataFrame
        The part of the drills table.
    """
    lines, person, day = _lines(people, gone, days_of)
    made = {
        "row": pd.arrays.IntegerArray(log.numbers[lines].astype(np.int64), np.zeros(len(lines), bool)),
        "errors_only": _every(columns.errors_only, len(lines)), "summary": _every(False, len(lines)),
        "file": _constant(log.account.sheet.file, len(lines)), "sheet": _constant(log.account.sheet.name, len(lines)),
    }  # fmt: skip
    made["summary"][list(day)] = True
    log.rows = log.numbers = log.rows[:0].copy()  # forty megabytes each in a log of ten million lines
    made |= {column.name: _column(column, columns, lines) for column in DRILLS.columns if column.name not in made}
    for at, found in day.items():
        made["date"][at] = np.datetime64(found)
    made |= _persons(people, person, made["unit"])
    return pd.DataFrame(made, columns=DRILLS.names, copy=False)


def _column(column: Column, columns: Columns, lines: np.ndarray) -> np.ndarray | pd.api.extensions.ExtensionArray:
    """Make one column; what was read of it is let go at once, since a log may have millions of lines."""
    if column.type == "text":
        read = columns.texts.pop(column.name, None)
        return _constant("", len(lines)) if read is None else _category(*read, lines)
    if column.type == "yes_no":
        return _signs(columns.signs.pop(column.name, None), lines)
    table, codes = columns.numbers.pop(column.name, (None, None))
    found = None if table is None else np.take(table, np.take(codes, lines, mode="clip"), mode="clip")
    if column.type == "integer":
        whole = np.zeros(len(lines), np.int64) if found is None else found
        return pd.arrays.IntegerArray(whole, whole == 0)
    if found is None:
        nothing = (np.nan, "float64") if column.type == "number" else (np.datetime64("NaT"), "datetime64[us]")
        return np.full(len(lines), *nothing)
    return found


def _lines(
    people: People, gone: np.ndarray, days_of: Mapping[int, list[date]]
) -> tuple[np.ndarray, np.ndarray, dict[int, date]]:
    """Choose the lines: for each its person, and the day of those that stand for one day of several."""
    lines = np.flatnonzero(~gone).astype(np.int32)
    if not people.several and not days_of:
        return lines, people.codes[lines], {}
    chosen, person, day = [], [], {}
    for line in lines.tolist():
        for who in people.several.get(line, (int(people.codes[line]),)):
            for each in days_of.get(line, (None,)):
                if each is not None:
                    day[len(chosen)] = each
                chosen.append(line)
                person.append(who)
    return np.array(chosen, np.int64), np.array(person, np.int64), day


def _persons(people: People, person: np.ndarray, unit: pd.Categorical) -> dict[str, pd.Categorical]:
    """Name the student of each line, and say that one sang, or the class, where the log does not tell the unit."""
    ids = ["", *people.study_ids()]
    texts = list(dict.fromkeys(ids))
    known = {text: at for at, text in enumerate(texts)}
    places = np.array([known[text] for text in ids], smallest(len(texts)))
    made = {
        "student": pd.Categorical.from_codes(np.take(places, person + np.int32(1), mode="clip"), texts, validate=False)
    }
    if list(unit.categories) == [""]:
        one = (person != NOBODY).astype(np.int8)
        made["unit"] = pd.Categorical.from_codes(one, ["class", "one"], validate=False)
    return made


def _category(table: np.ndarray, texts: Sequence[str], lines: np.ndarray) -> pd.Categorical:
    """Keep texts as categories."""
    codes = np.take(table, lines, mode="clip").astype(smallest(len(texts)), copy=False)
    return pd.Categorical.from_codes(codes, pd.Index(texts, dtype="str"), validate=False)


def _constant(text: str, rows: int) -> pd.Categorical:
    """Give every line one text."""
    return pd.Categorical.from_codes(np.zeros(rows, np.int8), pd.Index([text], dtype="str"), validate=False)


def _signs(table: np.ndarray | None, lines: np.ndarray) -> pd.arrays.BooleanArray:
    """Make yes, no and nothing of the signs."""
    if table is None:
        return pd.arrays.BooleanArray(np.zeros(len(lines), bool), np.ones(len(lines), bool))
    signs = np.take(table, lines, mode="clip")
    return pd.arrays.BooleanArray(signs == SIGN_YES, signs == SIGN_NONE)


def _every(value: bool, rows: int) -> pd.arrays.BooleanArray:
    """Give every line yes, or no."""
    return pd.arrays.BooleanArray(np.full(rows, value), np.zeros(rows, bool))
