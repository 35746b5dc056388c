"""Choirs tested many times around the date they began."""

from datetime import date

import pandas as pd
import pytest

from kit.questions.design import classify
from kit.questions.series_design import cases
from tests.questions.worlds import pairs_of, scores

DAYS = [pd.Timestamp(f"2025-{month:02}-01") for month in (9, 10, 11, 12)] + [
    pd.Timestamp(f"2026-{month:02}-01") for month in (1, 2, 3, 4)
]


def probes(choirs, days=DAYS):
    """Make a mark on each day for one student of each choir."""
    return scores([
        {"student": choir, "choir": choir, "occasion": str(at), "date": day, "points": 5}
        for choir in choirs for at, day in enumerate(days)
    ])  # fmt: skip


def test_dates_are_counted_before_and_after():
    """Each date counts once; the starting date itself counts as after."""
    table = pd.concat([probes(("A", "B")), probes(("A",))])
    found = cases(table, {"B": date(2025, 11, 1), "A": date(2026, 1, 1)}, measure="total")
    assert found[["choir", "before", "after"]].to_numpy().tolist() == [["A", 4, 4], ["B", 2, 6]]
    assert cases(table, {"A": date(2026, 1, 1)}, measure="rhythm")["before"].tolist() == [0]


@pytest.mark.parametrize(
    ("starts", "code"),
    [
        ({"A": date(2025, 12, 1), "B": date(2026, 1, 1), "C": date(2026, 2, 1)}, "D6"),
        ({"A": date(2025, 12, 1), "B": date(2025, 12, 1), "C": date(2025, 12, 1)}, "D1c"),
        ({"A": date(2025, 12, 1)}, "D1c"),
        ({"A": date(2025, 10, 1)}, "D1"),
        ({}, "D1"),
    ],
)
def test_three_dates_of_their_own_make_single_cases(starts, code):
    """Three different starting dates, each with three tests before and after; fewer make a series; none nothing."""
    series = cases(probes("ABC"), starts, measure="total")
    assert classify(pairs_of([1, 2], [3, 4]), series=series).code == code


def test_a_replication_is_told_by_its_declaration():
    """A declared replication is D7, with the design it has beside that among the reasons."""
    found = classify(pairs_of([1, 2], [3, 4]), replication=True)
    assert found.code == "D7"
    assert found.because == (
        "Every student tested both times is in one choir.",
        "The study repeats an earlier one, as declared.",
    )
