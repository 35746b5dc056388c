"""How certain a main result is: where the design starts, and what takes it down."""

from dataclasses import replace

import pytest

from kit.questions.certainty import certainty, missing_share
from kit.questions.quality import HowTested
from tests.questions.worlds import choirs_of, pairs_of
from tests.report.terms import estimate

MAIN = estimate("difference", "mean_difference_welch", 3.0, (1.0, 5.0))
GOOD = HowTested(same_form=False, forms=("A", "B"), one_maximum=True, maxima=(24.0,), own_teacher_rated=False,
                 raters=("blind",), one_rater=True)  # fmt: skip


@pytest.mark.parametrize(("code", "level"), [
    ("D5", "high"), ("D4", "high"), ("D3a", "low"), ("D2", "very low"), ("D1", "very low"), ("D0", "very low"),
])  # fmt: skip
def test_the_design_sets_the_start(code, level):
    """Nothing weakens it here, so it stays where the design starts."""
    found = certainty(code, MAIN, GOOD, missing=0.05, choirs=24)
    assert (found.level, found.start, found.reasons) == (level, level, ())


@pytest.mark.parametrize(("reason", "change"), [
    ("few choirs", {"choirs": 12}),
    ("missing", {"missing": 0.21}),
    ("own teacher", {"facts": replace(GOOD, own_teacher_rated=True)}),
    ("own teacher", {"facts": replace(GOOD, own_teacher_rated=None)}),
    ("same form", {"facts": replace(GOOD, same_form=True)}),
    ("no interval", {"main": None}),
    ("holds zero", {"main": estimate("difference", "mean_difference_welch", 3.0, (-1.0, 5.0))}),
])  # fmt: skip
def test_each_weakness_takes_one_step(reason, change):
    """From high one step down is moderate, and the reason is named."""
    given = {"main": MAIN, "facts": GOOD, "missing": 0.05, "choirs": 24} | change
    found = certainty("D5", given.pop("main"), given.pop("facts"), **given)
    assert (found.level, found.reasons) == ("moderate", (reason,))


def test_it_never_falls_below_very_low():
    """Many weaknesses end at the bottom, each still named."""
    found = certainty("D3b", None, replace(GOOD, same_form=True), missing=0.5, choirs=2)
    assert found.level == "very low"
    assert found.reasons == ("not alike", "few choirs", "missing", "same form", "no interval")


def test_what_is_missing_is_counted_among_those_compared():
    """One of four compared students lacks a mark; without a comparison everybody counts; nobody is all missing."""
    compared = choirs_of(("A", "ear", [1, 2], [2, None]), ("B", "page", [1, 2], [2, 3]))
    assert missing_share(compared, compared) == 0.25
    assert missing_share(compared.iloc[:0], pairs_of([1, 2], [2, 3])) == 0
    assert missing_share(compared.iloc[:0], compared.iloc[:0]) == 1
