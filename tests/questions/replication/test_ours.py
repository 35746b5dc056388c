"""Our own study as a size."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import UnknownChoiceError
from kit.questions.answers import LeftOut
from kit.questions.replication.originals import size_of_average
from kit.questions.replication.ours import ours_of_correlation, ours_of_gains, ours_of_groups
from kit.stats.effects.sizes import d_average, d_change, hedges_g
from kit.stats.noncentral import small_sample_correction

PRE = [10.0, 12, 15, 9, 14, 11, 13, 8, np.nan]
POST = [13.0, 14, 21, 9, 18, 16, 12, 12, 15]


def test_sizes_are_those_of_the_statistics():
    """Groups give hedges_g, gains d_average or d_change, and missing students are left out."""
    groups = ours_of_groups(POST, PRE)
    assert (groups.value, groups.n, groups.df) == (pytest.approx(hedges_g(POST, PRE, about="A").value), 17, 15)
    gains = ours_of_gains(PRE, POST)
    assert gains == size_of_average(d_average(PRE, POST, about="A"))
    change = ours_of_gains(PRE, POST, metric="SD of gains")
    assert change.value == pytest.approx(d_change(PRE, POST, about="A").value * small_sample_correction(7))
    assert (change.n, change.metric) == (8, "SD of gains")
    both = ours_of_correlation(PRE, POST)
    assert np.tanh(both.value) == pytest.approx(np.corrcoef(PRE[:8], POST[:8])[0, 1])


def test_lower_can_be_better():
    """Where lower scores are better every size turns its sign and nothing else."""
    for there, back in [
        (ours_of_groups(POST, PRE), ours_of_groups(POST, PRE, direction="lower")),
        (ours_of_gains(PRE, POST), ours_of_gains(PRE, POST, direction="lower")),
        (
            ours_of_gains(PRE, POST, metric="SD of gains"),
            ours_of_gains(PRE, POST, metric="SD of gains", direction="lower"),
        ),
        (ours_of_correlation(PRE, POST), ours_of_correlation(PRE, POST, direction="lower")),
    ]:
        assert (back.value, back.error) == pytest.approx((-there.value, there.error))


def test_too_little_is_left_out():
    """One student, no spread and a perfect line are left out with a reason, never a crash."""
    for nothing in [
        ours_of_groups([1], [2]), ours_of_groups([1, 1], [2, 2]), ours_of_gains([1], [2]), ours_of_gains([], []),
        ours_of_gains([1, 2], [2, 3], metric="SD of gains"), ours_of_gains([1], [2], metric="SD of gains"),
        ours_of_correlation([1, 2], [1, 2]), ours_of_correlation([1, 2, 3, 4, 5], [1, 2, 3, 4, 5]),
    ]:  # fmt: skip
        assert isinstance(nothing, LeftOut)
        assert nothing.why


def test_unknown_words_are_refused():
    """A misspelt direction or metric is refused with the list."""
    with pytest.raises(UnknownChoiceError) as word:
        ours_of_groups(PRE, POST, direction="up")
    assert str(word.value) == "ours: direction must be one of 'higher', 'lower'. Got 'up'."
    with pytest.raises(UnknownChoiceError) as word:
        ours_of_gains(PRE, POST, metric="d")
    assert str(word.value) == "ours: metric must be one of 'SD', 'SD of gains'. Got 'd'."
