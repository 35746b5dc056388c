"""No small groups in tables of students: what few share is left empty, with enough others that it stays unknown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

FEWEST = 3
"""Students whose marks may be told of a group: with one or two, who is in the group or is one of them knows the other's
(the absolute minimum of the US Privacy Technical Assistance Center)."""


def share_groups(
    rows: pd.DataFrame, columns: Sequence[str], *, smallest: int, within: Sequence[str] = ()
) -> pd.DataFrame:
    """Leave cells empty until every combination of the columns is shared by enough students.

    The columns are taken in order, each inside the groups that those before it have formed. Values that too few
    students share become empty; where the empty ones together are still too few, the next smallest value joins
    them, so that no difference gives the small group back (complementary suppression).

    Parameters
    ----------
    rows : DataFrame
        With a column ``student``; a student may have many rows.
    columns : sequence of str
        Text columns, from the one to keep longest to the one to give up first.
    smallest : int
        Students that a group needs.
    within : sequence of str, optional
        Columns that are left as they are, inside whose groups the rest is done.

    Returns
    -------
    DataFrame
        The same rows. Where all students of a ``within`` group are too few, its columns are empty altogether.
    """
    values = {column: rows[column].to_numpy(dtype=object, copy=True) for column in columns}
    students = pd.factorize(rows["student"])[0]
    begin = [np.arange(len(rows))]
    if within:
        begin = list(rows.reset_index(drop=True).groupby(list(within), sort=False, dropna=False).indices.values())
    todo = [(at, tuple(columns)) for at in begin]
    while todo:
        at, (column, *rest) = todo.pop()
        hidden = _hidden(values[column][at], students[at], smallest)
        values[column][at[np.isin(values[column][at].astype(str), list(hidden))]] = ""
        if rest:
            codes, _ = pd.factorize(values[column][at])
            todo += [(at[codes == code], tuple(rest)) for code in range(codes.max(initial=-1) + 1)]
    return rows.assign(**values)


def without_consent(students: pd.DataFrame) -> tuple[pd.Series, pd.Series]:
    """Find the students whose data may not be shared.

    Parameters
    ----------
    students : DataFrame
        The students table.

    Returns
    -------
    refused, silent : Series of bool
        Those who refused; and those of whom nothing is recorded, which is no yes where a yes is recorded for some.
    """
    consent = students["consent"]
    return consent.eq(False).fillna(False), consent.isna() & bool(consent.eq(True).any())


def tells_who(rows: pd.DataFrame, students: pd.DataFrame, *, smallest: int) -> pd.Series:
    """Say of each row whether to have one tells who a student is, or which of several choirs not shown a singer is of.

    Parameters
    ----------
    rows : DataFrame
        With the columns of `students`; a row without student is nobody's. Where it has tests, each test and try is
        looked at by itself, and where it has melodies each form, since the notes of a melody tell it.
    students : DataFrame
        Columns student, own_choir, shown_choir (empty where the choir is not shown), approach, school.
    smallest : int
        Students that are enough.

    Returns
    -------
    Series of bool
        True where fewer students than that have such a row; and where a choir is not shown, is of the same approach and
        school as another one that is not, and one of them has no such row. Singers of no choir play no part in that.
    """
    test = [c for c in ("occasion", "measure", "attempt") if c in rows and "occasion" in rows]
    what = [*test, "form"] if "melody" in rows else test
    single = rows[rows["student"] != ""]
    few = _students(single, what) < smallest
    place = ["approach", "school"]
    hidden, choirs = (one["shown_choir"] == "" for one in (single, students))
    own = single.assign(own_choir=single["own_choir"].where(single["own_choir"] != ""))[hidden]
    have = own["own_choir"].groupby([own[one] for one in (*place, *what)], dropna=False).transform("nunique")
    every = students[choirs & (students["own_choir"] != "")].groupby(place)["own_choir"].nunique().rename("choirs")
    unlike = have < own[place].join(every, on=place)["choirs"].fillna(0)
    told = few | unlike.reindex(single.index, fill_value=False)
    return told.reindex(rows.index, fill_value=False)


def _students(rows: pd.DataFrame, columns: Sequence[str]) -> pd.Series:
    """Count, for each row, the students who have one with the same values; without columns, those who have any."""
    key = [rows[column] for column in columns] or [pd.Series(0, index=rows.index)]
    return rows["student"].groupby(key, dropna=False).transform("nunique")


def smallest_cell(rows: pd.DataFrame, columns: Sequence[str]) -> int:
    """Count the students of the smallest combination of the columns that occurs; 0 without rows."""
    return int(rows.groupby(list(columns), dropna=False)["student"].nunique().min()) if len(rows) else 0


def told_by_group(marks: pd.DataFrame, *, within: Sequence[str], value: str) -> pd.Series:
    """Say of each mark whether belonging to the group already tells it.

    Parameters
    ----------
    marks : DataFrame
        Marks that were given, with a column ``student``; a student may have several.
    within : sequence of str
        Columns that make the group and the test.
    value : str
        Column of the mark.

    Returns
    -------
    Series of bool
        True where all students of the group have the same mark, or fewer than `FEWEST` have one.
    """
    groups = marks.groupby(list(within), dropna=False)
    return (groups[value].transform("nunique") == 1) | (groups["student"].transform("nunique") < FEWEST)


def _hidden(values: np.ndarray, students: np.ndarray, smallest: int) -> set[str]:
    """Choose the values to leave empty; a student with another row that is filled is not unknown."""
    pairs = pd.DataFrame({"value": values, "student": students}).drop_duplicates()
    sizes = pairs.groupby("value")["student"].size()
    small = set(sizes.index[sizes < smallest]) - {""}
    rest = sorted(set(sizes.index) - small - {""}, key=lambda value: (sizes[value], value))
    while rest and 0 < _unknown(pairs, small, rest) < smallest:
        small.add(rest.pop(0))
    return small


def _unknown(pairs: pd.DataFrame, small: set[str], rest: list[str]) -> int:
    """Count the students whose cells are left empty, with those whose cells were empty all along."""
    known = set(pairs.loc[pairs["value"].isin(rest), "student"])
    blank = set(pairs.loc[pairs["value"] == "", "student"]) - known
    return len(blank | set(pairs.loc[pairs["value"].isin(small), "student"]))
