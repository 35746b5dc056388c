"""Choirs tested many times around the date they began."""

from datetime import date

import pandas as pd
import pytest

from kit.questions.design import classify
from kit.questions.series_design import WHOEVER_CAME, cases, changes
from kit.stats.segmented import segmented_change
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
    assert found["students"].tolist() == [1, 1]
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


def long_probes(choirs, jump=4.0):
    """Make 20 weekly tests of two students of each choir, up by `jump` from the eleventh on."""
    noise = [0, 1, 0, -1, 1, 0, 1, -1, 0, -1, 0, 1, -1, 0, 1, 1, 0, -1, 0, 0]
    return scores([
        {"student": f"{choir}{singer}", "choir": choir, "occasion": str(week), "points": 5 + singer + off + jump * (week > 9),
         "max_points": 20, "date": pd.Timestamp("2025-09-01") + pd.Timedelta(weeks=week)}
        for choir in choirs for week, off in enumerate(noise) for singer in (0, 1)
    ])  # fmt: skip


def changed(table, starts):
    """Ask for the changes at declared starts."""
    return changes(table, cases(table, starts, measure="total"), measure="total")


def test_a_jump_is_that_of_the_series_of_averages():
    """Each choir's averages by date go into the interrupted series, counted in weeks from its own start."""
    start = date(2025, 11, 10)
    found = changed(long_probes("AB"), {"B": start, "A": start})
    assert [one.about for one in found] == [
        f"total, {choir}, {what}"
        for choir in "AB"
        for what in ("jump at the start", "change of pace at the start, for each week")
    ]
    weeks, results = range(-10, 10), long_probes("A").groupby("date")["points"].mean()
    for at, change in enumerate(("level", "slope")):
        alone = segmented_change(results, weeks, start=0, about="x", unit="points", change=change)
        assert found[at].value == pytest.approx(alone.value)
        assert found[at].interval.low == pytest.approx(alone.interval.low)
        assert found[at].notes == (*alone.notes, WHOEVER_CAME)
    assert {one.unit for one in found} == {"points"}
    assert (found[0].n, found[0].counted) == (20, "results")
    assert found[0].interval.low < 4 < found[0].interval.high


def test_choirs_with_few_dates_are_left_out():
    """A choir with two dates before its start, or without any, is named with the reason."""
    found = changed(long_probes("A"), {"A": date(2025, 9, 15), "C": date(2025, 9, 15)})
    assert list(found) == []
    assert [one.about for one in found.left_out][:2] == [
        "total, A, jump at the start", "total, A, change of pace at the start, for each week"
    ]  # fmt: skip
    assert found.left_out[0].why == (
        "The change of a series needs 3 results before the start. total, A, jump at the start has 2."
    )


def test_marks_out_of_different_maxima_are_compared_as_shares():
    """Where the most points differ, shares are averaged."""
    table = long_probes("A")
    table["share"] = table["points"] / 20
    table.loc[table.index[:4], "max_points"] = 40.0
    assert {one.unit for one in changed(table, {"A": date(2025, 11, 10)})} == {"share"}
