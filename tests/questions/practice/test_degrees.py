"""Shares of first tries, partly pooled, with raw counts beside them."""

import numpy as np
import pandas as pd
import pytest

from kit.errors import UnknownChoiceError
from kit.questions.practice.degrees import by_week, weak
from kit.questions.practice.notes import tries
from kit.stats.learning.pooled_accuracy import pooled_accuracy
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log


def tried(*rows):
    """Make first tries."""
    return tries(log(rows))


def asked(students, answers, **more):
    """Let each of so many singers give the same answers to ``1 2 3``."""
    return [
        heard(f"S{who}", sung, sung == "1 2 3", on=at, **more)
        for who in range(students) for at, sung in enumerate(answers)
    ]  # fmt: skip


def test_raw_counts_stand_beside_the_shares():
    """Five singers sing five tries: of the thirds of each, one note is missed in some; counts are worked out by hand."""
    found = weak(tried(*asked(5, ["1 2 3", "1 2 4", "1 1 3", "1 2 3", "1 2 2"])), by="degree")
    assert found.labels == ("do", "re", "mi")
    assert found.pooled.hits.tolist() == [25, 20, 15]
    assert found.pooled.tries.tolist() == [25, 25, 25]
    assert found.pooled.singers.tolist() == [5, 5, 5]
    assert [one.about for one in found.pooled.estimates] == [
        "drill log, degree do", "drill log, degree re", "drill log, degree mi",
    ]  # fmt: skip
    assert found.pooled.estimates[0].value > found.pooled.estimates[1].value > found.pooled.estimates[2].value
    assert found.pooled.overall.about == "drill log, each degree once"
    assert (found.unplaced, found.wrong, found.why) == (0, 15, "")


def test_first_notes_are_reached_from_nowhere():
    """Ways and intervals leave the first note out."""
    rows = tried(*asked(5, ["1 2 3"] * 4 + ["1 2 4"]))
    assert weak(rows, by="approach").pooled.tries.tolist() == [50]
    found = weak(rows, by="interval")
    assert found.labels == ("do to re", "re to mi")
    assert found.pooled.hits.tolist() == [25, 20]


def test_whole_tries_are_counted_by_pattern():
    """A pattern is right as a whole; it is written with its notes and its code, or its notes alone."""
    rows = tried(*asked(5, ["1 2 3", "1 2 4"]), *asked(5, ["1 2 3", "1 2 3"], pattern=""))
    found = weak(rows, by="pattern")
    assert found.pooled.items == ("1 2 3", "P1")
    assert found.labels == ("do re mi", "do re mi (P1)")
    assert found.pooled.hits.tolist() == [10, 5]
    assert found.pooled.tries.tolist() == [10, 10]


def test_the_counts_are_those_of_the_statistic_on_single_tries():
    """Counting equal tries first changes nothing."""
    rng = np.random.default_rng(1)
    rows = [
        heard(f"S{at}", "1 2 3" if right else "1 2 2", bool(right))
        for at, right in zip(rng.integers(0, 9, 60), rng.integers(0, 2, 60), strict=True)
    ]
    found = weak(tried(*rows), by="pattern").pooled
    bare = pooled_accuracy(
        [row["right"] for row in rows], [row["student"] for row in rows], ["P1"] * 60, about="the same"
    )
    assert found.estimates[0].value == pytest.approx(bare.estimates[0].value, rel=1e-9)
    assert found.estimates[0].interval.low == pytest.approx(bare.estimates[0].interval.low, rel=1e-9)


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ([], "No first try is logged."),
        (asked(1, ["1 2 3"] * 30), "First tries logged: 30, by 1 singer; at least 20 by 5 singers are needed."),
        (asked(6, ["1 2 3"] * 3), "First tries logged: 18, by 6 singers; at least 20 by 5 singers are needed."),
    ],
)  # fmt: skip
def test_too_little_is_said(rows, why):
    """No log, one singer, or few tries: nothing is estimated, and what is needed is told."""
    assert weak(tried(*rows), by="pattern").why == why
    assert weak(tried(*rows), by="pattern").pooled is None


def test_all_right_is_estimated_with_a_wide_range():
    """Twenty right tries of five singers give a high share, no certainty."""
    one = weak(tried(*asked(5, ["1 2 3"] * 4)), by="pattern").pooled.estimates[0]
    assert one.value > 0.9
    assert one.interval.low < 0.9


def test_single_notes_are_not_counted_where_misses_cannot_be_placed():
    """More than a fifth of the wrong tries without what was sung: right tries alone would make the shares too high."""
    rows = tried(*asked(5, ["1 2 3"] * 3), *asked(5, ["", "1 2 2", "1 1 3", "1 2 4"]))
    found = weak(rows, by="degree")
    assert found.pooled is None
    assert found.why == (
        "Which note was missed is not known of 5 of 20 wrong first tries, so single notes are not counted. Log what "
        "was sung."
    )
    assert by_week(rows).empty
    assert weak(rows, by="pattern").pooled is not None
    four = weak(tried(*asked(5, ["1 2 3"] * 3), *asked(5, ["", "1 2 2", "1 1 3", "1 2 4", "2 2 3"])), by="degree")
    assert (four.unplaced, four.wrong) == (5, 25)
    assert four.pooled is not None


def test_words_for_what_rows_are():
    """Another word is refused."""
    with pytest.raises(UnknownChoiceError):
        weak(tried(), by="key")


def test_weeks_begin_on_monday_and_count_notes_and_singers():
    """Two singers in the first week, one in the next: shares, tries and singers by hand; degrees in scale order."""
    found = by_week(tried(
        heard("A", "1 2 3", True, on=0), heard("B", "1 2 4", False, on=6), heard("A", "2 2 3", False, on=7),
    ))  # fmt: skip
    assert found[["label", "week", "tries", "singers", "share"]].to_numpy().tolist() == [
        ["do", day(0), 2, 2, 1.0], ["do", day(7), 1, 1, 0.0], ["re", day(0), 2, 2, 1.0], ["re", day(7), 1, 1, 1.0],
        ["mi", day(0), 2, 2, 0.5], ["mi", day(7), 1, 1, 1.0],
    ]  # fmt: skip


def test_cells_of_too_few_singers_are_hidden_and_not_to_be_worked_out():
    """Hidden cells of a degree take the smallest of the others along, also two: they may be of the same few singers."""
    weeks = [(0, 6), (7, 2), (14, 5), (21, 7)]
    rows = [heard(f"S{who}", "1 2 3", True, on=on) for on, many in weeks for who in range(many)]
    found = by_week(tried(*rows), smallest=5)
    hidden = found.loc[found["label"] == "do", "share"].isna().tolist()
    assert hidden == [False, True, True, False]
    more = [*rows, *(heard(f"S{who}", "1 2 3", True, on=28) for who in range(4))]
    again = by_week(tried(*more), smallest=5)
    assert again.loc[again["label"] == "do", "share"].isna().tolist() == [False, True, True, False, True]


def test_undated_tries_have_no_week():
    """Without a day there is no cell; without any log there is no row."""
    drills = log([heard("A", "1 2 3", True)])
    drills["date"] = pd.NaT
    assert by_week(tries(drills)).empty
    assert by_week(tries(empty(DRILLS))).empty


def test_weeks_of_a_long_log_are_joined():
    """Thirty-three weeks make eleven columns of three; sixteen weeks stay single."""
    rows = [heard("A", "1 2 3", True, on=7 * at) for at in range(33)]
    found = by_week(tried(*rows))
    assert found.attrs["weeks"] == 3
    assert found.loc[found["label"] == "do", "week"].tolist() == [day(21 * at) for at in range(11)]
    assert found.loc[found["label"] == "do", "tries"].tolist() == [3] * 11
    assert by_week(tried(*rows[:16])).attrs["weeks"] == 1
