"""No small groups in tables of students: what few share is left empty, with enough others that it stays unknown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd


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


def smallest_cell(rows: pd.DataFrame, columns: Sequence[str]) -> int:
    """Count the students of the smallest combination of the columns that occurs; 0 without rows."""
    return int(rows.groupby(list(columns), dropna=False)["student"].nunique().min()) if len(rows) else 0


def told_by_group(marks: pd.DataFrame, *, within: Sequence[str], value: str) -> pd.Series:
    """Say of each mark whether belonging to the group already tells it, since all its students have the same.

    Parameters
    ----------
    marks : DataFrame
        Marks that were given.
    within : sequence of str
        Columns that make the group and the test.
    value : str
        Column of the mark.

    Returns
    -------
    Series of bool
    """
    return marks.groupby(list(within), dropna=False)[value].transform("nunique") == 1


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
