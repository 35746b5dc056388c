"""One number and its label: no two numbers of a report share one."""

import pytest

from kit.estimate import COLUMNS, Estimate, Interval, frame


def number(about: str, **changed) -> Estimate:
    """Make a count about something."""
    told = {
        "name": "mean_gain",
        "value": 1.0,
        "unit": "points",
        "n": 3,
        "notes": ("no range",),
        "source": "student-1908",
    }
    return Estimate(about=about, **told | changed)


def test_label_is_plain_latin():
    """A name in Latin letters makes a label that can be read aloud."""
    assert number("Treble 2, pitch").label == "mean_gain/treble-2-pitch"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("total, جوقة", "total, מקהלה"),
        ("total, A+", "total, A"),
        ("total, ♪", "total, ♫"),
        ("total, Treble 1", "total, Treble 1!"),
        ("total, Mixed 7/8", "total, Mixed 7-8"),
    ],
)
def test_names_that_differ_have_labels_that_differ(one, other):
    """Choirs named without Latin letters, or told apart by a sign alone, keep labels of their own."""
    assert number(one).label != number(other).label
    assert number(one).label == number(one).label
    assert number(one).label.isascii()


def test_what_nobody_could_read_is_refused():
    """An interval with its ends the wrong way round, and a number without interval and without a reason, are refused."""
    with pytest.raises(ValueError, match=r"^Interval: low must not exceed high\. Got 2\.0 and 1\.0\.$"):
        Interval(low=2.0, high=1.0, level=0.95, method="m", source="student-1908")
    with pytest.raises(ValueError, match=r"^Estimate 'mean_gain': with no interval, notes must say why\.$"):
        number("total", notes=())


def test_a_table_has_the_same_columns_whatever_is_in_it():
    """One row for each number; the columns stay when there is none."""
    assert list(frame([number("total")]).columns) == list(frame([]).columns) == list(COLUMNS)
