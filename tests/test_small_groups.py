"""No small groups: every combination is shared by enough students, and differences give none back."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.small_groups import share_groups, smallest_cell, tells_who, told_by_group, without_consent

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
    """All with one mark: told; two marks of three students: not told; two raters' marks of one student, or two: told."""
    marks = pd.DataFrame({
        "group": list("aaabbbccdd"), "mark": [1, 1, 1, 1, 2, 2, 1, 2, 1, 2], "student": list("stustussst"),
    })  # fmt: skip
    told = told_by_group(marks, within=["group"], value="mark")
    assert told.tolist() == [True] * 3 + [False] * 3 + [True] * 4


def known(*choirs):
    """List students: (choir, how many); choirs a and b are not shown."""
    own = [choir for choir, number in choirs for _ in range(number)]
    shown = ["" if choir in ("a", "b", "") else choir for choir in own]
    table = pd.DataFrame({"student": [f"s{at}" for at in range(len(own))], "own_choir": own, "shown_choir": shown})
    return table.assign(approach="x", school="y")


def test_a_log_of_one_choir_tells_which_it_is():
    """Of two choirs that are not shown one alone has a log: its lines go, of few or many; those of a shown one stay."""
    students = known(("a", 8), ("b", 14), ("c", 12))
    for choir in ("a", "b"):
        rows = students[students["own_choir"].isin([choir, "c"])]
        assert tells_who(rows, students, smallest=5).tolist() == (rows["own_choir"] == choir).tolist()
    assert not tells_who(students, students, smallest=5).any()
    assert tells_who(students[students["own_choir"] == "c"], students, smallest=13).all()
    assert not tells_who(students[:1].assign(student=""), students, smallest=5).any()


def test_a_test_or_try_of_few_tells_who_they_are():
    """Four came to the second try and two to another test; each test and try is looked at by itself."""
    students = known(("c", 20))
    taken = pd.concat([
        students.assign(occasion="pre", measure="pitch", attempt=1), students[:4].assign(occasion="pre", measure="pitch", attempt=2),
        students[:2].assign(occasion="mid", measure="pitch", attempt=1),
    ], ignore_index=True)  # fmt: skip
    assert tells_who(taken, students, smallest=5).tolist() == [False] * 20 + [True] * 6
    notes = taken[:20].assign(melody="1", form=["A"] * 17 + ["B"] * 3)
    assert tells_who(notes, students, smallest=5).tolist() == [False] * 17 + [True] * 3


def test_singers_of_no_choir_have_no_log_and_tell_nothing():
    """Beside them one hidden choir with a log is no sign of which it is."""
    students = known(("a", 8), ("", 9))
    assert not tells_who(students[students["own_choir"] == "a"], students, smallest=5).any()


def test_nobody_at_all():
    """An empty table stays empty."""
    table = people([])
    assert len(share_groups(table, ["x"], smallest=5)) == 0
    assert smallest_cell(table, ["x"]) == 0


@pytest.mark.parametrize(("recorded", "shared"), [
    ([True, False, None], [True, False, False]), ([None, False, None], [True, False, True]), ([None] * 3, [True] * 3),
])  # fmt: skip
def test_consent(recorded, shared):
    """A no is a no; nothing recorded is a no only where a yes is recorded for others."""
    students = pd.DataFrame({"consent": pd.array(recorded, dtype="boolean")})
    refused, silent = without_consent(students)
    assert (~(refused | silent)).tolist() == shared
