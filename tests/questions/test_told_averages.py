"""No average of a small choir follows from averages by students and by choirs: worked cases, and a linear program."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from kit.questions.hidden_groups import hidden_groups
from kit.questions.told_averages import NARROW, WIDE, hidden_averages

COLUMNS = ["choir", "school", "approach", "size"]


def parts(*rows):
    """Line up choirs: name, school, approach, students."""
    return pd.DataFrame(rows, columns=COLUMNS)


def told(table, hidden):
    """List what a reader knows exactly, as weights of the parts' averages: (of whom, weights)."""
    copies = [("all", np.ones(len(table), dtype=bool))]
    for column in ("school", "choir"):
        copies += [(name, (table[column] == name).to_numpy()) for name in sorted(set(table[column]) - hidden - {""})]
    for whom, here in copies:
        for approach in (None, *sorted(set(table.loc[here, "approach"]) - hidden - {""})):
            inside = here & ((table["approach"] == approach).to_numpy() if approach else True)
            size = np.where(inside, table["size"], 0.0)
            yield whom, size / size.sum()
            choirs = sorted(set(table.loc[inside, "choir"]) - {""})
            each = [np.where(table["choir"] == choir, size, 0) for choir in choirs]
            if each:
                yield whom, np.mean([one / one.sum() for one in each], axis=0)


def known(table, hidden, choir):
    """Give how far apart the lowest and the highest average of a choir lie, by linear programs: others from 0 to 1.

    Averages in the middle of the scale are the reader's worst case.
    """
    weights = np.array([weights for _, weights in told(table, hidden)])
    mine = np.where(table["choir"] == choir, table["size"], 0.0)
    aim, middle = mine / mine.sum(), weights @ np.full(len(table), 0.5)
    ends = [linprog(sign * aim, A_eq=weights, b_eq=middle, bounds=(0, 1)).fun for sign in (1, -1)]
    return -ends[1] - ends[0]


DISTRICT = parts(
    ("Few", "North", "ear-first", 2), ("Next", "North", "ear-first", 13), ("Other", "North", "ear-first", 13),
    ("Away", "South", "ear-first", 18), ("Far", "South", "ear-first", 25), ("Page", "South", "page-first", 32),
    ("Leaf", "North", "page-first", 16),
)  # fmt: skip


def test_two_hidden_choirs_are_known_from_two_averages():
    """By students and by choirs: two unknown averages, two equations; so the average of two students was known."""
    hidden = hidden_groups(DISTRICT, 10)
    assert hidden == {"Few", "Next"}
    assert known(DISTRICT, hidden, "Few") == pytest.approx(0, abs=1e-9)


def test_a_choir_of_another_size_is_hidden_with_them():
    """One of 13 would not help beside one of 13; with one of 18, and without copies of both schools, it is unknown."""
    hidden = hidden_averages(DISTRICT, hidden_groups(DISTRICT, 10), 10)
    assert hidden == {"Few", "Next", "Away", "North", "South"}
    # of 2, 13 and 18 students, 16 and 11 move against 5
    assert known(DISTRICT, hidden, "Few") == pytest.approx(5 / 16)


def test_nothing_is_hidden_where_nobody_is_few():
    """Without a small choir or school, and for a reader who may know, all stay as they are."""
    assert hidden_averages(DISTRICT[1:], frozenset(), 10) == frozenset()
    assert hidden_averages(DISTRICT, frozenset(), 1) == frozenset()


def test_nothing_is_hidden_where_it_would_not_help():
    """Of an approach with two choirs both averages are told whatever is hidden: no more is hidden for it."""
    table = parts(
        ("Few", "North", "ear-first", 4), ("Next", "North", "ear-first", 20), ("A", "South", "page-first", 20),
        ("B", "South", "page-first", 31), ("C", "South", "page-first", 14),
    )  # fmt: skip
    hidden = hidden_groups(table, 10)
    assert hidden_averages(table, hidden, 10) == hidden


def test_singers_of_no_choir_are_unknown_too():
    """Three without a choir: an average by choirs leaves them out, so one hidden choir would give them away."""
    table = parts(("", "", "", 3), ("A", "North", "", 20), ("B", "North", "", 26), ("C", "North", "", 14))
    hidden = hidden_averages(table, hidden_groups(table, 10), 10)
    assert hidden_groups(table, 10) < hidden
    assert known(table, hidden, "") >= WIDE


@given(
    st.lists(
        st.tuples(st.sampled_from(["N", "S", "W"]), st.sampled_from(["ear", "page"]), st.integers(1, 40)),
        min_size=2, max_size=9,
    ),
    st.sampled_from([5, 10]),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_no_average_of_a_small_choir_is_known_in_any_study(rows, smallest):
    """What is left is as wide as promised, or as it can be where that is a tenth; what was hidden stays hidden."""
    table = parts(*((f"choir {at}", *row) for at, row in enumerate(rows)))
    before = hidden_groups(table, smallest)
    hidden = hidden_averages(table, before, smallest)
    assert before <= hidden
    every = before | {*table["choir"], *table["school"]}
    for choir in table.loc[table["size"] < smallest, "choir"]:
        most = known(table, every, choir)
        assert known(table, hidden, choir) >= (min(WIDE, most) - 1e-6 if most > NARROW + 1e-6 else 0)
        assert known(table, hidden, choir) >= known(table, before, choir) - 1e-6
