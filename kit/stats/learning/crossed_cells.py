"""Tries of students at items, gathered: equal tries are counted once, with how many of them were right."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.stats.complete import Floats, complete_rows

Codes = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Tries:
    """Tries with students and items as whole numbers from 0.

    Attributes
    ----------
    right : ndarray, shape (n,)
        1 where right, 0 where wrong.
    students, items : ndarray of int, shape (n,)
        Place in the labels.
    student_labels, item_labels : ndarray
        Different labels, sorted.
    rows : ndarray of bool, shape (m,)
        Which of the rows handed in were kept.
    """

    right: Floats
    students: Codes
    items: Codes
    student_labels: np.ndarray
    item_labels: np.ndarray
    rows: NDArray[np.bool_]

    @property
    def dropped(self) -> int:
        """Rows left out for missing values."""
        return int(self.rows.size - self.rows.sum())


@dataclass(frozen=True, slots=True)
class Cells:
    """Equal tries counted once.

    Attributes
    ----------
    hits, tries : ndarray, shape (m,)
        Right tries and all tries of a cell.
    design : ndarray, shape (m, p)
        Covariates, with the constant first.
    students, items : ndarray of int, shape (m,)
        Whose, and at what.
    """

    hits: Floats
    tries: Floats
    design: Floats
    students: Codes
    items: Codes

    @property
    def shape(self) -> tuple[int, int]:
        """Numbers of students and of items."""
        return int(self.students.max()) + 1, int(self.items.max()) + 1


def coded(function: str, right: ArrayLike, students: ArrayLike, items: ArrayLike, **numbers: ArrayLike) -> Tries:
    """Check tries and number their students and items.

    Parameters
    ----------
    function : str
        Who asks, for messages.
    right : array_like, shape (n,)
        1 or True where right, 0 or False where wrong, NaN where unknown.
    students, items : array_like, shape (n,)
        Labels in the same order; none may be missing.
    **numbers : array_like, shape (n,)
        Further numbers; a row with NaN in one of them is left out.

    Returns
    -------
    Tries
        Complete rows only, in their order.

    Raises
    ------
    ValueError
        If the lists differ in length, or `right` holds something else than 0 and 1.
    """
    marks = np.asarray(right, dtype=float)
    for name, labels in {"students": students, "items": items}.items():
        if np.shape(labels) != marks.shape:
            raise ValueError(
                f"{function}: right and {name} must list the same tries. Got {marks.size} and {np.size(labels)}."
            )
    complete_rows(function, right=marks, **numbers)
    whole = ~np.isnan(marks)
    for values in numbers.values():
        whole &= ~np.isnan(np.asarray(values, dtype=float))
    if not np.isin(marks[whole], (0, 1)).all():
        raise ValueError(f"{function}: right must be 1 where right and 0 where wrong. Got other numbers.")
    (singers, who), (asked, what) = (_numbered(np.asarray(labels)[whole]) for labels in (students, items))
    return Tries(marks[whole], who.astype(np.int64), what.astype(np.int64), singers, asked, whole)


def gathered(tries: Tries, *covariates: Floats) -> Cells:
    """Count equal tries once.

    Parameters
    ----------
    tries : Tries
        Right or wrong, of whom, at what.
    *covariates : ndarray, shape (n,)
        Columns beside the constant.

    Returns
    -------
    Cells
        In the order of students, then items, then covariates.
    """
    key = tries.students * len(tries.item_labels) + tries.items
    most = len(tries.student_labels) * len(tries.item_labels)
    for column in covariates:
        values, place = np.unique(column, return_inverse=True)
        if most * len(values) > 2**62:
            different, key = np.unique(key, return_inverse=True)
            most = different.size
        key, most = key * len(values) + place, most * len(values)
    order = np.argsort(key, kind="stable")
    begin = np.flatnonzero(np.diff(key[order], prepend=-1))
    first, many = order[begin], np.diff(np.append(begin, key.size)).astype(float)
    design = np.column_stack([np.ones(first.size), *(column[first] for column in covariates)])
    hits = np.add.reduceat(tries.right[order], begin)
    return Cells(hits, many, design, tries.students[first], tries.items[first])


def in_order(keys: Codes, most: int) -> Codes:
    """Sort whole numbers, equal ones in the order in which they stand.

    Parameters
    ----------
    keys : ndarray of int, shape (n,)
        From 0 on.
    most : int
        Above every key; below 2**32 halves of the numbers are sorted, one after the other, which costs less.

    Returns
    -------
    ndarray of int, shape (n,)
        Places in order.
    """
    if most > 2**32:
        return np.argsort(keys, kind="stable")
    order = np.argsort((keys & 0xFFFF).astype(np.uint16), kind="stable")
    return order if most <= 2**16 else order[np.argsort((keys >> 16).astype(np.uint16)[order], kind="stable")]


def _numbered(labels: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Give the different labels, sorted, and the place of each; small whole numbers are not sorted for it."""
    if labels.dtype.kind not in "iu" or not labels.size or labels.min() < 0 or labels.max() > 4 * labels.size + 1000:
        return np.unique(labels, return_inverse=True)
    there = np.zeros(int(labels.max()) + 1, dtype=bool)
    there[labels] = True
    return np.flatnonzero(there).astype(labels.dtype), (np.cumsum(there) - 1)[labels]
