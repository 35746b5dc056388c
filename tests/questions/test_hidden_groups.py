"""Who is not shown by itself: worked cases, and random districts audited without the code that chose."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from kit.questions.hidden_groups import OURS, hidden_approaches, hidden_groups, is_refused

SMALLEST = 10


def parts(*rows):
    """Lay out (choir, school, approach, students)."""
    return pd.DataFrame(rows, columns=["choir", "school", "approach", "size"])


def told(groups, hidden):
    """Give the members of every number that reports and copies of their own tell, with its size."""
    masks = [np.ones(len(groups), dtype=bool)]
    copies = [np.ones(len(groups), dtype=bool)]
    for column in ("choir", "school"):
        for name in set(groups[column]) - {"", *hidden}:
            masks.append((groups[column] == name).to_numpy())
            copies.append(masks[-1])
    for here in copies:
        untold = hidden_approaches(groups[here], SMALLEST)
        for name in set(groups.loc[here, "approach"]) - {"", *untold}:
            masks.append(here & (groups["approach"] == name).to_numpy())
    return np.array(masks, dtype=float)


def range_of(groups, masks, inside):
    """Give the smallest and the largest size that a group can have by all that is told."""
    sizes = masks @ groups["size"].to_numpy(dtype=float)
    rule, aim = LinearConstraint(masks, sizes, sizes), inside.astype(float)
    ends = [milp(side * aim, constraints=rule, integrality=1 + 0 * aim, bounds=Bounds(0, 10_000)) for side in (1, -1)]
    return ends[0].fun, -ends[1].fun


@given(
    st.lists(
        st.tuples(st.sampled_from(["North", "South", ""]), st.sampled_from(["ear", "page", ""]), st.integers(1, 30)),
        min_size=1, max_size=7,
    )
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_no_small_choir_or_school_follows_from_all_that_is_told(rows):
    """Every one of one to nine students, those without a name included, keeps ten possible sizes, or nothing is told.

    Where the number of all is small itself, it is known and no copy shows it.
    """
    groups = parts(*((f"choir {at}" if at else "", *row) for at, row in enumerate(rows)))
    masks = told(groups, hidden_groups(groups, SMALLEST))
    for column in ("choir", "school"):
        for _, inside in groups.groupby(column).groups.items():
            here = groups.index.isin(inside)
            if groups.loc[here, "size"].sum() < SMALLEST <= groups["size"].sum():
                low, high = range_of(groups, masks, here)
                # of two groups that are all there is, none can be wider than all students
                assert high - low >= min(SMALLEST, groups["size"].sum()), (column, low, high)


def test_a_small_school_is_hidden_with_another():
    """Its copy would be one of few, and the others would give it away."""
    groups = parts(("A", "North", "", 30), ("B", "South", "", 25), ("C", "West", "", 6))
    assert hidden_groups(groups, SMALLEST) == {"C", "West", "B", "South"}


def test_those_who_name_no_choir_are_a_group_too():
    """All less the named choirs would be four students."""
    groups = parts(("A", "", "", 30), ("B", "", "", 25), ("", "", "", 4))
    assert hidden_groups(groups, SMALLEST) == {"B"}


def test_where_nobody_is_few_nothing_is_hidden():
    """Two choirs of ten and eleven."""
    assert hidden_groups(parts(("A", "North", "ear", 10), ("B", "North", "page", 11)), SMALLEST) == frozenset()


@pytest.mark.parametrize(
    ("sizes", "hidden"),
    [({"ear": 40, "page": 6}, {"ear", "page", *OURS}), ({"ear": 40, "page": 6, "usual": 12}, {"page", "usual", *OURS}),
     ({"ear": 40, "page": 30}, set()), ({"ear": 40, "": 3}, {"ear", *OURS}), ({"ear": 4}, {"ear", *OURS}),
     ({"": 4}, set()), ({"ear": 40, "page": 6, "usual": 5, "new": 50}, {"page", "usual", *OURS})],
)  # fmt: skip
def test_a_small_approach_takes_the_next_with_it(sizes, hidden):
    """So that it does not follow from all students and the others; those without an approach are one too."""
    groups = pd.DataFrame({"approach": list(sizes), "size": list(sizes.values())})
    assert hidden_approaches(groups, SMALLEST) == hidden


def test_a_copy_is_refused_by_name_and_by_size():
    """Hidden ones and those with fewer on file than a shown group needs; one about all never."""
    groups = parts(("A", "North", "ear", 12), ("B", "North", "ear", 4))
    hidden = frozenset({"A"})
    asked = [{"choir": "A"}, {"choir": "B"}, {"school": "North"}, {}]
    assert [is_refused(groups, hidden, SMALLEST, **one) for one in asked] == [True, True, False, False]
