"""No small groups: every combination is shared by enough students, and differences give none back."""

import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.small_groups import share_groups, smallest_cell, told_by_group

PEOPLE = st.lists(st.tuples(*[st.sampled_from(["", "a", "b", "c"])] * 3), min_size=3, max_size=40)


def people(rows):
    """Make a table of students."""
    return pd.DataFrame([(f"s{at}", *row) for at, row in enumerate(rows)], columns=["student", "x", "y", "z"])


def test_the_worked_example():
    """Sections of 14, 12, 4 and 11 with groups of ten: the four are hidden, and so are the eleven, since 41 is known."""
    sizes = {"Soprano": 14, "Alto": 12, "Tenor": 4, "Bass": 11}
    rows = people([(part, "", "") for part, size in sizes.items() for _ in range(size)])
    shown = share_groups(rows, ["x"], smallest=10)
    assert shown["x"].value_counts().to_dict() == {"": 15, "Soprano": 14, "Alto": 12}


def test_students_are_counted_not_rows():
    """One student with many rows is one student."""
    rows = pd.DataFrame({"student": ["a"] * 20 + list("bcdefg"), "x": ["late"] * 20 + ["usual"] * 6})
    assert set(share_groups(rows, ["x"], smallest=3)["x"]) == {""}
    assert set(share_groups(rows, ["x"], smallest=1)["x"]) == {"late", "usual"}


def test_an_empty_cell_beside_a_filled_one_hides_nobody():
    """A student whose other row is filled is not unknown, so nothing more is hidden for the empty one."""
    rows = pd.DataFrame({"student": list("abcde") * 2, "x": ["monday"] * 5 + [""] * 5})
    assert share_groups(rows, ["x"], smallest=3)["x"].tolist() == ["monday"] * 5 + [""] * 5


@settings(max_examples=50, deadline=None)
@given(PEOPLE, st.integers(1, 6))
def test_every_combination_is_shared_by_enough(rows, smallest):
    """With enough students in all, each combination that is left has enough, empty cells counted as a value."""
    table = people(rows)
    shown = share_groups(table, ["x", "y", "z"], smallest=smallest)
    assert shown["student"].tolist() == table["student"].tolist()
    if len(table) >= smallest:
        assert smallest_cell(shown, ["x", "y", "z"]) >= smallest
    for column in ("x", "y", "z"):
        assert shown[column].isin(["", *table[column]]).all()
        assert ((shown[column] == table[column]) | (shown[column] == "")).all()


@settings(max_examples=50, deadline=None)
@given(PEOPLE, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_nothing(rows, chance):
    """Shuffled rows get the same cells."""
    table = people(rows)
    order = list(table.index)
    chance.shuffle(order)
    shown = share_groups(table, ["x", "y"], smallest=4)
    again = share_groups(table.loc[order], ["x", "y"], smallest=4)
    pd.testing.assert_frame_equal(shown, again.sort_index())


def test_inside_groups():
    """Groups named under within stay, and each is looked at alone."""
    table = people([("a", "k", "")] * 4 + [("a", "l", "")] * 4 + [("b", "k", "")] * 2 + [("b", "l", "")] * 2)
    shown = share_groups(table, ["y"], smallest=3, within=["x"])
    assert shown["x"].tolist() == table["x"].tolist()
    assert shown["y"].tolist() == ["k"] * 4 + ["l"] * 4 + [""] * 4


def test_a_mark_that_the_group_tells():
    """All with one mark: told; two marks: not told."""
    marks = pd.DataFrame({"group": list("aaabbb"), "mark": [1, 1, 1, 1, 2, 2]})
    assert told_by_group(marks, within=["group"], value="mark").tolist() == [True] * 3 + [False] * 3


def test_nobody_at_all():
    """An empty table stays empty."""
    table = people([])
    assert len(share_groups(table, ["x"], smallest=5)) == 0
    assert smallest_cell(table, ["x"]) == 0
