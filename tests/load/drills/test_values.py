"""What the different cells of a drill log mean."""

from datetime import date

import numpy as np
import pytest

from kit.load.declared_music import DrillSource
from kit.load.drills.values import (
    SIGN_NO,
    SIGN_NONE,
    SIGN_YES,
    read_choirs,
    read_class_ratings,
    read_dates,
    read_lengths,
    read_plain,
    read_signs,
    read_tries,
)

SOURCE = DrillSource(file="log.csv")


@pytest.mark.parametrize(
    ("text", "days"),
    [("Oct 6-9", [6, 7, 8, 9]), ("week of 10/6/2025", [6, 7, 8, 9, 10]), ("wk of Oct 8", [6, 7, 8, 9, 10]),
     ("10/6/25 - 10/9/25", [6, 7, 8, 9]), ("10/10/25-10/13/25", [10, 13]), ("2025-10-06 to 2025-10-07", [6, 7]),
     ("Mon-Thu", []), ("Mon-Thu 5 min", []), ("Mon, Tue", []), ("Oct 9-6", [])],
)  # fmt: skip
def test_several_days(text, days):
    """A cell about several days names those from Monday to Friday, or none where it cannot be told which."""
    read, spans = read_dates([text], "month_first", 2025)
    assert read.faults[0].why == "several_days"
    assert spans[0] == [date(2025, 10, day) for day in days]
    assert np.isnat(read.table[0])


def test_dates():
    """A day is a day, and any other word a fault that does not repeat it."""
    read, spans = read_dates(["2025-10-06", "Quillfeather", "", "13/10/25"], "", None)
    assert read.table.astype(str).tolist() == ["2025-10-06T00:00:00.000000", "NaT", "NaT", "2025-10-13T00:00:00.000000"]
    assert {at: (fault.why, fault.found) for at, fault in read.faults.items()} == {
        1: ("date_unread", 'The date is "...".')
    }
    assert spans == {}


def test_lengths():
    """The whole column tells what stands before the colon."""
    read = read_lengths(["0:45", "5:30", "~5"], {}, SOURCE)
    assert read.table.tolist()[:2] == [0.75, 5.5]
    assert (
        read.faults[2].do == 'Write one number of minutes; or minutes_span = "midpoint" in study.toml for ~5 and 5-7.'
    )


def test_signs():
    """Signs for right and wrong, counts of notes, and all ok of a line about several."""
    signs, right, asked = read_signs(["1", "no", "3/5", "all ok", "", "o"], SOURCE)
    assert signs.table.tolist() == [SIGN_YES, SIGN_NO, SIGN_NO, SIGN_YES, SIGN_NONE, SIGN_NONE]
    assert (right[2], asked[2]) == (3, 5)
    assert signs.faults[5].why == "right_unclear"


def test_tries_and_ratings():
    """Numbers of tries in words, and ratings that are numbers."""
    tries = read_tries(["1", "2nd", "try 3", "", "x y"])
    assert tries.table.tolist() == [1, 2, 3, 0, 0]
    assert list(tries.faults) == [4]
    ratings = read_class_ratings(["3", "2,5", "", "most"])
    assert ratings.table.tolist()[:2] == [3, 2.5]
    assert ratings.faults[3].why == "unknown_rating"


def test_choirs():
    """Another word for a choir is replaced by the one that counts."""
    choirs = read_choirs(["Per. 3", "Larch Treble", None], {"per. 3": "Larch Treble"})
    assert choirs.texts == ["Larch Treble", ""]
    assert choirs.example(0) == ("Per. 3", "Larch Treble")
    assert list(choirs.rules()) == ["choir named as the alias file says"]
    assert read_plain([" T3 ", None, 4.0]).texts == ["T3", "", "4"]
