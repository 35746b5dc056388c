"""Sentences about choirs that began one after another, under every design."""

from datetime import date

import pytest

from kit.questions.series_design import cases, changes
from kit.report.claims import CODES
from kit.report.said import Said
from kit.report.words.series import NEEDED, NONE_DECLARED, THREE, WEAK, series
from tests.questions.test_series_design import long_probes, probes

ONE_AFTER_ANOTHER = {"A": date(2025, 10, 20), "B": date(2025, 11, 10), "C": date(2025, 12, 1)}


def said(scores, starts, code="D6"):
    """Ask and say."""
    begun = cases(scores, starts, measure="total")
    found = changes(scores, begun, measure="total")
    return series(begun, found, found.left_out, code=code)


@pytest.mark.parametrize("code", CODES)
def test_everything_said_passes_the_gate(code):
    """With three starts, with one, with too few dates and with none declared."""
    for scores, starts in ((long_probes("ABC"), ONE_AFTER_ANOTHER), (long_probes("A"), {"A": date(2025, 11, 10)}),
                           (probes("A"), {"A": date(2025, 10, 1)}), (long_probes("A"), {})):  # fmt: skip
        told = said(scores, starts, code)
        assert isinstance(told, Said)
        assert all(sentence[-1] == "." and "  " not in sentence for sentence in told.sentences)


def test_three_starts_are_told_one_by_one():
    """How many choirs and dates, each choir's jump and pace with ranges, and what three changes would show."""
    told = said(long_probes("ABC"), ONE_AFTER_ANOTHER).sentences
    assert told[0] == (
        "3 choirs began on 3 declared dates; tested on at least 3 days before that date and on as many from it on: "
        "3 choirs."
    )
    assert [sentence[:29] for sentence in told[1:4]] == [f"{choir}: at its start the level cha" for choir in "ABC"]
    assert "and its pace changed by" in told[1]
    assert " a week (interval between " in told[1]
    assert told[4].startswith("Ranges of a changed level that leave out zero: ")
    assert told[5:] == (THREE,)


def test_choirs_that_are_not_shown_are_counted():
    """In a copy that hides small choirs their number stands in a sentence, also where none is left."""
    begun = cases(probes("AB"), {"A": date(2025, 10, 1), "B": date(2025, 10, 1)}, measure="total")
    begun.attrs["hidden"] = 1
    assert series(begun, code="D1b").sentences[1] == "Choirs too small to be shown in this copy: 1."
    assert series(begun.iloc[:0], code="D1b").sentences == ("Choirs too small to be shown in this copy: 1.",)


def test_too_few_dates_say_what_would_be_needed():
    """Without three dates on either side no change is told; one start alone is said to be weak."""
    assert said(probes("A"), {"A": date(2025, 10, 1)}, "D1").sentences[1:] == (NEEDED,)
    assert said(long_probes("A"), {"A": date(2025, 11, 10)}, "D1c").sentences[-1] == WEAK
    assert said(long_probes("A"), {}, "D1").sentences == (NONE_DECLARED,)
