"""Every number that a report may tell is the sum of its parts."""

import numpy as np
import pandas as pd

from kit.questions.told_totals import MISSED, TESTS, all_totals, cost_of, rounded, step, taken_of, weights_of

CELLS = pd.DataFrame(
    [("ear", "A", "B", "both", "1 of 1", 20), ("ear", "A", "", "before only", "0 of 1", 3),
     ("page", "", "B", "after only", "1 of 1", 4), ("page", "", "", "neither", "0 of 1", 2)],
    columns=["approach", "pre_form", "post_form", "flow", "more", "size"],
)  # fmt: skip


def sizes(cells=CELLS):
    """Give every number by level, group and what it is."""
    found = {}
    for total in all_totals(cells):
        found.setdefault((total.level, total.group, total.told), []).append(
            weights_of(total, len(cells)) @ cells["size"].to_numpy()
        )
    return found


def test_numbers_of_students_are_sums_of_their_parts():
    """Counted by hand: 29 on file, 23 with the first test, 24 with the second, 20 with both, 9 lost."""
    told = sizes()
    assert [told["all", "", what] for what in ("roster", "first", "second", "both", "lost")] == [
        [29], [23], [24], [20], [9],
    ]  # fmt: skip
    assert told["approach", "page", "roster"] == [6]
    assert told["form", "A", "pre_form"] == [23]


def test_numbers_of_tests_count_each_student_as_often_as_tested():
    """20 took three, 3 one, 4 two and 2 none: 63 and 8, 71 together; 3 and 2 missed the third."""
    assert taken_of(CELLS).tolist() == [3, 1, 2, 0]
    told = sizes()
    assert sorted([*told["approach", "ear", TESTS], *told["approach", "page", TESTS]]) == [8, 63, 71]
    assert told["all", "ear", MISSED] == [5]
    assert (told["approach", "ear", MISSED], told["approach", "page", MISSED]) == ([3], [2])


def test_without_a_later_test_no_number_of_tests_is_told():
    """Then it follows from those tested at each time."""
    assert not any(told in (TESTS, MISSED) for _, _, told in sizes(CELLS.assign(more="")))


def test_ranges_of_tests_lie_around_a_multiple_of_their_width():
    """808 by forty is 780 to 819, read as about 800; a small one begins at nothing."""
    assert step(808, 40) == (780, 819)
    assert step(3, 20) == (0, 9)
    assert all(low <= number <= high for number in range(500) for low, high in [step(number, 20)])
    assert [rounded(size, 20) for size in (9, 10, 30)] == [0, 20, 40]


def test_what_was_tested_twice_is_never_given_up():
    """Its cost is beyond every other."""
    costs = {total.told: cost_of(total, 10) for total in all_totals(CELLS)}
    assert np.isinf(costs["both"])
    assert all(np.isfinite(cost) for told, cost in costs.items() if told != "both")
