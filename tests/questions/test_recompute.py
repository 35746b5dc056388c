"""What another program needs to compute again: sums that are right, codes that name nobody."""

import numpy as np
import pandas as pd
import pytest

from kit.questions.recompute import (
    CHOIR_COLUMNS,
    MELODY_COLUMNS,
    STUDENT_COLUMNS,
    melody_points,
    printed_numbers,
    recompute,
)
from kit.questions.replication.original import Original
from kit.stats.consistency import cronbach_alpha
from tests.questions.comparisons import EAR, PAGE, compared, drawn
from tests.questions.sung import TESTS, items, notes_of, roster, singers

FOUR = (
    ("B", EAR, [10, 12, 9], [15, 18, None]), ("A", PAGE, [11, 13], [13, 15]),
    ("D", EAR, [8, 9, 10], [12, 13, 17]), ("C", PAGE, [14, None], [17, 17]),
)  # fmt: skip
PRINTED = {"study": "x", "design": "two_groups", "n": (20, 24)}


def test_students_stand_under_running_numbers_and_codes():
    """Those tested twice, choirs coded in the order of names, lines in the order of choir and marks."""
    found = recompute(compared(FOUR))
    assert tuple(found.students.columns) == STUDENT_COLUMNS
    assert found.students.to_numpy().tolist() == [
        [1, "choir 1", "", 0, 11.0, 13.0], [2, "choir 1", "", 0, 13.0, 15.0],
        [3, "choir 2", "", 1, 10.0, 15.0], [4, "choir 2", "", 1, 12.0, 18.0],
        [5, "choir 3", "", 0, 14.0, 17.0],
        [6, "choir 4", "", 1, 8.0, 12.0], [7, "choir 4", "", 1, 9.0, 13.0], [8, "choir 4", "", 1, 10.0, 17.0],
    ]  # fmt: skip
    assert (found.approaches, found.unit, found.units) == ((EAR, PAGE), "points", frozenset("ABCD"))


def test_choirs_are_summed_up_from_their_students():
    """Numbers, means and deviations are those of numpy; a correlation needs three students and marks that differ."""
    found = recompute(compared(FOUR))
    assert tuple(found.choirs.columns) == CHOIR_COLUMNS
    last = found.choirs.iloc[3]
    pre, post = [8, 9, 10], [12, 13, 17]
    assert last[["students", "mean_first", "sd_first", "mean_second", "sd_second"]].tolist() == pytest.approx(
        [3, 9, 1, 14, np.std(post, ddof=1)]
    )
    assert last["correlation"] == pytest.approx(np.corrcoef(pre, post)[0, 1])
    assert found.choirs["correlation"].isna().tolist() == [True, True, True, False]
    assert (found.smallest, found.all_alike) == (1, False)


def test_a_choir_with_one_mark_only_is_noticed():
    """Where all students of a choir have the same mark its mean tells each one's."""
    assert recompute(compared([*FOUR, ("E", EAR, [7, 7, 7], [8, 9, 10])])).all_alike


def test_schools_within_which_choirs_were_assigned_are_coded():
    """Codes of schools stand beside those of choirs, and no name in any table."""
    table = drawn(1, schools=True)
    found = recompute(table)
    assert set(found.choirs["school"]) == {"school 1", "school 2", "school 3"}
    written = found.students.to_csv() + found.choirs.to_csv()
    assert not [name for name in {*table["student"], *table["choir"], *table["school"]} if name in written]


def test_the_order_of_the_rows_tells_nothing():
    """Students in another order give the same tables."""
    table = drawn(2)
    mixed = table.sample(frac=1, random_state=1)
    mixed.attrs = table.attrs
    one, other = recompute(table), recompute(mixed)
    pd.testing.assert_frame_equal(one.students, other.students)
    pd.testing.assert_frame_equal(one.choirs, other.choirs)


def test_alpha_follows_from_the_covariances_of_melodies():
    """k/(k-1) (1 - trace / sum) of the table is Cronbach's alpha of the points, a student with a gap left out."""
    right = singers(25)
    right[3, 2] = np.nan
    points = melody_points(items(notes_of(right)), roster(25), tests=TESTS)
    assert list(points) == ["total, form A, first test"]
    found = recompute(compared(FOUR), points).melodies
    assert tuple(found.columns) == MELODY_COLUMNS
    assert set(found["students"]) == {24}
    matrix = found["covariance"].to_numpy().reshape(3, 3)
    alpha = 3 / 2 * (1 - np.trace(matrix) / matrix.sum())
    whole = np.delete(right, 3, axis=0).reshape(24, 3, 8).sum(axis=2)
    assert alpha == pytest.approx(cronbach_alpha(whole, about="x").value, rel=1e-12)


def test_without_a_comparison_the_tables_are_empty():
    """No approach, no rows; the columns stay."""
    found = recompute(compared(FOUR).iloc[:0])
    assert (len(found.students), len(found.choirs), len(found.melodies), found.smallest) == (0, 0, 0, 0)
    assert found.units == frozenset()


def test_printed_numbers_are_read_as_printed():
    """Means and SDs where there are any, turned where lower is better; else t; of one group nothing."""
    means = Original(**PRINTED, direction="lower", means=("10.5", "12"), sds=("4", "4.2"))
    assert printed_numbers(means) == {
        "n_program": 20.0, "n_comparison": 24.0, "mean_program": -10.5, "mean_comparison": -12.0, "sd_program": 4.0,
        "sd_comparison": 4.2,
    }  # fmt: skip
    assert printed_numbers(Original(**PRINTED, direction="higher", t="2.1")) == {
        "n_program": 20.0, "n_comparison": 24.0, "t": 2.1,
    }  # fmt: skip
    assert printed_numbers(Original(**PRINTED, direction="higher")) == {}
    assert printed_numbers(None) == {}
