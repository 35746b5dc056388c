"""Two groups tested twice: what is kept, pooled and refused."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.two_tests import is_program, two_tests

PRE = [8.0, 10, 12, 9, 11, np.nan, 13]
POST = [12.0, 13, 17, 10, 14, 15, np.nan]
PROGRAM = [True, True, True, False, False, False, True]


def test_complete_students_by_group():
    """Students with both scores are kept by group, the others counted."""
    found = two_tests("f", PRE, POST, PROGRAM, "A")
    assert found.pre[0].tolist() == [8, 10, 12]
    assert found.post[1].tolist() == [10, 14]
    assert (found.sizes, found.df, found.dropped) == ((3, 2), 3, 2)


def test_pooled_numbers_are_those_of_residuals():
    """Pooled spread and correlation within groups are those of what is left after each group's own mean."""
    found = two_tests("f", PRE, POST, PROGRAM, "A")
    left = [np.concatenate([part - part.mean() for part in scores]) for scores in (found.pre, found.post)]
    assert found.pooled(found.pre) == pytest.approx(np.sqrt((left[0] ** 2).sum() / 3))
    assert found.correlation == pytest.approx(np.corrcoef(*left)[0, 1])
    assert found.difference(found.post) == pytest.approx(14 - 12)


def test_refusals():
    """A mark that is neither True nor False, and a group of one, are refused by name."""
    with pytest.raises(ValueError, match=r"^f: program must be True or False for each student\. Got 3\.0\.$"):
        is_program("f", np.array([1.0, 0.0, 3.0]))
    with pytest.raises(TooFewError) as caught:
        two_tests("f", [1, 2, 3], [1, 2, 3], [True, True, False], "A")
    assert str(caught.value) == "f: needs 2 students with both scores in each group. A, comparison group, has 1."
