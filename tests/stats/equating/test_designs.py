"""Who took which form: what is kept, grouped, counted and refused."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.equating.designs import two_forms

X, Y = [10, 12, np.nan, 15, 11], [9, 12, 8, 12, 13]
FIRST = [True, True, False, False, False]


def forms(x=X, y=Y, *, design="single group", x_first=None, anchors=None):
    """Keep the complete scores."""
    return two_forms("equate_mean", x, y, design=design, x_first=x_first, anchors=anchors, about="A")


@pytest.mark.parametrize(
    ("options", "sizes", "dropped"),
    [
        ({}, [4], 1),
        ({"design": "random groups"}, [4, 5], 1),
        ({"design": "counterbalanced", "x_first": FIRST}, [2, 2], 1),
        ({"design": "anchor", "anchors": ([1, 2, 3, np.nan, 4], [2, 3, 4, 5, 6])}, [3, 5], 2),
    ],
)
def test_incomplete_students_are_left_out(options, sizes, dropped):
    """A student with any number missing is left out with the whole row and counted."""
    kept = forms(**options)
    assert [len(group) for group in kept.groups] == sizes
    assert (kept.n, kept.dropped) == (sum(sizes), dropped)
    assert not any(np.isnan(group).any() for group in kept.groups)


def test_scores_by_form_and_order():
    """Scores come back by form, those who took X first before the others."""
    kept = forms(design="counterbalanced", x_first=FIRST)
    assert [part.tolist() for part in kept.scores("x")] == [[10, 12], [15, 11]]
    assert [part.tolist() for part in kept.scores("y")] == [[9, 12], [12, 13]]
    assert kept.scores("anchor") == []


def test_centred_has_mean_zero():
    """Every form is moved to mean zero over all who took it."""
    kept = forms(design="counterbalanced", x_first=FIRST)
    assert kept.centres() == {"x": 12.0, "y": 11.5}
    assert kept.centred().centres() == pytest.approx({"x": 0, "y": 0}, abs=1e-12)


@pytest.mark.parametrize(
    ("options", "kind", "message"),
    [
        ({"design": "crossed"}, UnknownChoiceError,
         "equate_mean: design must be one of 'single group', 'random groups', 'counterbalanced', 'anchor'. "
         "Got 'crossed'."),
        ({"design": "counterbalanced"}, ValueError,
         "equate_mean: x_first must be given for design 'counterbalanced' and for no other. Got none."),
        ({"x_first": FIRST}, ValueError,
         "equate_mean: x_first must be given for design 'counterbalanced' and for no other. "
         "Got them for design 'single group'."),
        ({"design": "anchor"}, ValueError,
         "equate_mean: anchors must be given for design 'anchor' and for no other. Got none."),
        ({"design": "counterbalanced", "x_first": [1, 1, 0, 0, 2]}, ValueError,
         "equate_mean: x_first must be True or False for each student. Got 2.0."),
        ({"y": [1, 2]}, ValueError, "equate_mean: x and y must list the same students. Got 5 and 2 numbers."),
        ({"x": [1, np.inf], "y": [1, 2]}, ValueError,
         "equate_mean: x must be finite numbers, or NaN where missing. Got an infinite one."),
        ({"design": "random groups", "y": [1]}, TooFewError,
         "equate_mean: needs 2 students with complete scores. A, the smallest group, has 1."),
        ({"design": "counterbalanced", "x_first": [1, 1, 1, 1, 0]}, TooFewError,
         "equate_mean: needs 2 students with complete scores. A, the smallest group, has 1."),
    ],
)  # fmt: skip
def test_messages(options, kind, message):
    """What is no design is refused with a sentence."""
    with pytest.raises(kind) as caught:
        forms(**options)
    assert str(caught.value) == message
