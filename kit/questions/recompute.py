"""What another program needs to compute the key numbers again: students, choirs and melodies without any name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.questions.answers import LeftOut
from kit.questions.compared import Rows, names_of, rows_of
from kit.questions.quality.items import forms_of_tests
from kit.questions.replication.original import Original
from kit.questions.replication.originals import signed_t
from kit.questions.scale import measure_of
from kit.stats.studies.printed import read_printed

STUDENT_COLUMNS = ("student", "choir", "school", "program", "first", "second")
"""Columns of a table of students."""
CHOIR_COLUMNS = (
    "choir", "school", "program", "students", "mean_first", "sd_first", "mean_second", "sd_second", "correlation",
)  # fmt: skip
"""Columns of a table of choirs."""
MELODY_COLUMNS = ("test", "students", "melody", "other", "covariance")
"""Columns of a table of melodies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recompute:
    """Tables for computing again.

    Attributes
    ----------
    students : DataFrame
        `STUDENT_COLUMNS`: a running number (students stand in the order of choir and marks, which tells nothing),
        codes of choir and school, 1 for the program, both marks.
    choirs : DataFrame
        `CHOIR_COLUMNS`: number of students, means, standard deviations and correlation of each choir's marks.
    melodies : DataFrame
        `MELODY_COLUMNS`: for each test and form the covariance of every two melodies.
    smallest : int
        Students of the smallest choir; 0 without choirs.
    all_alike : bool
        Whether all students of a choir have the same mark, so that its mean tells each one's.
    units : frozenset of str
        Names of the choirs (or schools), for looking up whether one of them is hidden; they stand in no table.
    approaches : tuple of str
        The two approaches.
    unit : str
        Unit of the marks.
    printed : dict of str to float
        From `printed_numbers`.
    """

    students: pd.DataFrame
    choirs: pd.DataFrame
    melodies: pd.DataFrame
    smallest: int
    all_alike: bool
    units: frozenset[str]
    approaches: tuple[str, str]
    unit: str
    printed: Mapping[str, float]


def recompute(
    compared: pd.DataFrame, melodies: Mapping[str, pd.DataFrame] | None = None, *, original: Original | None = None
) -> Recompute:
    """Lay out what the key numbers of a comparison rest on.

    Counted: students tested both times whose choir is named; for melodies students with a mark for every note.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    melodies : mapping of str to DataFrame, optional
        From `melody_points`.
    original : Original, optional
        What the study that is repeated printed.

    Returns
    -------
    Recompute
        Numbers in full, never rounded; no rows where nothing is compared.
    """
    rows = rows_of(compared) if len(compared) else None
    students = _students(rows) if rows else pd.DataFrame(columns=list(STUDENT_COLUMNS))
    choirs = _choirs(students)
    return Recompute(
        students=students, choirs=choirs, melodies=_melodies(melodies or {}),
        smallest=int(choirs["students"].min()) if len(choirs) else 0,
        all_alike=bool((choirs[["sd_first", "sd_second"]] == 0).any(axis=None)),
        units=frozenset(rows.choir) if rows else frozenset(), approaches=names_of(compared),
        unit=rows.unit if rows else "points", printed=printed_numbers(original),
    )  # fmt: skip


def _students(rows: Rows) -> pd.DataFrame:
    """Lay out the students of a comparison under running numbers and codes."""
    table = pd.DataFrame({
        "choir": _codes(rows.choir, "choir"), "school": _codes(rows.block, "school"),
        "program": rows.program.astype(int), "first": rows.pre, "second": rows.post,
    }).sort_values(["choir", "program", "first", "second"], ignore_index=True)  # fmt: skip
    table.insert(0, "student", np.arange(1, len(table) + 1))
    return table


def _codes(labels: np.ndarray, word: str) -> np.ndarray:
    """Give choirs or schools numbers in the order of their names; where nothing is named it stays empty."""
    names, at = np.unique(labels, return_inverse=True)
    width = len(str(len(names)))
    return np.array([f"{word} {number:0{width}}" if name else "" for number, name in enumerate(names, 1)])[at]


def _choirs(students: pd.DataFrame) -> pd.DataFrame:
    """Sum up each choir, and each approach in it."""
    rows = [
        (choir, group["school"].iloc[0], program, len(group), group["first"].mean(), group["first"].std(),
         group["second"].mean(), group["second"].std(), _together(group))
        for (choir, program), group in students.groupby(["choir", "program"], sort=True)
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(CHOIR_COLUMNS))


def _together(group: pd.DataFrame) -> float:
    """Correlate both marks, where both differ from student to student."""
    apart = len(group) > 2 and (group[["first", "second"]].std() > 0).all()
    return float(np.corrcoef(group["first"], group["second"])[0, 1]) if apart else float("nan")


def _melodies(melodies: Mapping[str, pd.DataFrame]) -> pd.DataFrame:
    """Give the covariance of every two melodies of each test, students with all of them counted."""
    rows = []
    for about, points in melodies.items():
        whole = points.dropna()
        matrix = whole.cov().to_numpy()
        rows += [
            (about, len(whole), one + 1, two + 1, matrix[one, two])
            for one in range(len(matrix)) for two in range(len(matrix))
        ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(MELODY_COLUMNS))


def melody_points(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = ""
) -> dict[str, pd.DataFrame]:  # fmt: skip
    """Add up the notes of each melody, student by student.

    Counted: as in `kit.questions.quality.items.reliability_here`; a melody with a missing note has no points.

    Parameters
    ----------
    items, pairs, tests, rater
        As in `kit.questions.quality.items.reliability_here`.

    Returns
    -------
    dict of str to DataFrame
        What a test and form is about, as in `reliability_here` -> one row for each student, one column a melody.
    """
    found = {}
    for which, forms in forms_of_tests(items, pairs, tests=tests, rater=rater).items():
        for form, marks in forms.items():
            named = f", form {form}" if form else ""
            by_melody = marks.T.groupby(level="melody")
            whole = marks.notna().T.groupby(level="melody").all().T
            found[f"{measure_of(pairs)}{named}, {which}"] = by_melody.sum(min_count=1).T.where(whole)
    return found


def printed_numbers(original: Original | None) -> dict[str, float]:
    """Read what the original printed of two groups, for computing its size again.

    Counted: nobody of ours.

    Parameters
    ----------
    original : Original or None
        What was printed.

    Returns
    -------
    dict of str to float
        n_program, n_comparison with means and SDs where they were printed, else with t; empty for an original of
        another design or with too little printed.
    """
    if original is None or original.design != "two_groups":
        return {}
    t = signed_t(original)
    if isinstance(t, LeftOut):
        return {}
    found = dict(zip(("n_program", "n_comparison"), map(float, original.n), strict=True))
    if not (original.means and original.sds):
        return found | {"t": t}
    turn = 1.0 if original.direction == "higher" else -1.0
    sides = ("program", "comparison")
    found |= {f"mean_{side}": turn * read_printed(text).value for side, text in zip(sides, original.means, strict=True)}
    return found | {f"sd_{side}": read_printed(text).value for side, text in zip(sides, original.sds, strict=True)}
