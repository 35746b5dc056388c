"""Single notes summed to tests: what is not complete has no total unless that is declared."""

import numpy as np
import pandas as pd
import pytest

from kit.load.items.keys import KEY_COLUMNS
from kit.load.items.totals import totals
from kit.tables import ITEMS, SCORES, conform


def items(*tests: tuple[str, dict[str, str]], form: str = "A", **more) -> pd.DataFrame:
    """Make the items of students: melody -> marks, a point for no mark."""
    rows = [
        {"student": student, "occasion": "pre", "measure": "pitch", "form": form, "melody": melody, "item": at,
         "right": None if mark in ".a" else mark == "1", "file": "f.csv", "row": 2,
         "missing_reason": {".": "unspecified", "a": "absent"}.get(mark, "")} | more
        for student, melodies in tests
        for melody, marks in melodies.items()
        for at, mark in enumerate(marks, 1)
    ]  # fmt: skip
    return conform(rows, ITEMS)


KEY = pd.DataFrame(
    [("A", "pitch", str(melody), item, 1, 0, "", None, "k.csv", "", 2) for melody in (1, 2, 3) for item in (1, 2)],
    columns=list(KEY_COLUMNS),
)
WHOLE = ("S1", {"1": "11", "2": "10", "3": "01"})
TWO_OF_THREE = ("S2", {"1": "11", "2": "10"})


def test_a_whole_test():
    """A test with every note marked has the notes right as points, of all notes of the form."""
    found = totals(items(WHOLE), KEY)
    row = found.scores.iloc[0]
    assert (row.points, row.max_points, row["share"], row.missing_reason) == (4, 6, pytest.approx(4 / 6), "")
    assert list(found.scores.columns) == SCORES.names
    assert len(found.incomplete) == 0


def test_a_melody_left_out():
    """Two melodies of three give no total; the notes marked and asked are told."""
    found = totals(items(WHOLE, TWO_OF_THREE), KEY)
    row = found.scores.set_index("student").loc["S2"]
    assert np.isnan(row.points)
    assert np.isnan(row["share"])
    assert (row.max_points, row.missing_reason) == (6, "unspecified")
    listed = found.incomplete[["student", "marked", "asked", "prorated"]].to_numpy().tolist()
    assert listed == [["S2", 4, 6, False]]


@pytest.mark.parametrize(("least", "points"), [(0.6, 4.5), (4 / 6, 4.5), (0.7, None)])
def test_prorated_where_declared(least, points):
    """With enough notes marked, the others count as if they had gone alike."""
    found = totals(items(WHOLE, TWO_OF_THREE), KEY, prorate_from=least)
    row = found.scores.set_index("student").loc["S2"]
    assert np.isnan(row.points) if points is None else row.points == pytest.approx(points)
    assert found.incomplete.prorated.tolist() == [points is not None]


def test_one_reason_for_all():
    """A test without any mark keeps the one reason; several reasons make it unspecified."""
    found = totals(items(("S1", {"1": "aa", "2": "aa", "3": "aa"}), ("S2", {"1": "a.", "2": "11", "3": "11"})), KEY)
    assert found.scores.missing_reason.tolist() == ["absent", "unspecified"]


def test_raters_apart():
    """Each rater's marks make a total of their own."""
    both = pd.concat([items(WHOLE, rater="JM"), items(("S1", {"1": "00", "2": "00", "3": "00"}), rater="KB")])
    assert totals(both, KEY).scores.set_index("rater").points.to_dict() == {"JM": 4, "KB": 0}


def test_without_a_key():
    """Without a key the form has the notes that anybody was marked on."""
    found = totals(items(WHOLE, TWO_OF_THREE))
    assert found.scores.max_points.tolist() == [6, 6]
    assert found.incomplete.student.tolist() == ["S2"]


def test_order_of_rows_is_nothing():
    """The order of the rows changes no total."""
    given = items(WHOLE, TWO_OF_THREE)
    shuffled = given.sample(frac=1, random_state=20261125)
    one, two = (totals(each, KEY).scores.set_index("student").sort_index() for each in (given, shuffled))
    pd.testing.assert_series_equal(one["share"], two["share"])


def test_no_items():
    """No items make no totals."""
    assert len(totals(items(), KEY).scores) == 0


def test_least_share():
    """The least share must be one."""
    with pytest.raises(ValueError, match=r"^totals: prorate_from must be above 0 and at most 1\. Got 60\.$"):
        totals(items(WHOLE), KEY, prorate_from=60)
