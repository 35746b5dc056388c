"""Is one form harder than the other, and what is the gain without that."""

import numpy as np
import pandas as pd
import pytest

from kit.questions import quality
from kit.questions.answers import STUDENTS_ALIKE
from kit.questions.quality.choirs import EACH_CHOIR_ONCE
from kit.questions.quality.forms import (
    GAINS_ALIKE,
    HALF_SUM,
    MORE_FORMS,
    NEVER_LINKED,
    NOT_RECORDED,
    NOTHING_SHARED,
    ONE_FORM,
    ONE_ORDER,
    ORDERS_COUNT_ONCE,
    SAME_FORM,
    SHARED_NOTES,
    TOO_FEW_EACH_ORDER,
)
from kit.stats.equating.forms import equate_mean
from kit.stats.means import mean_gain
from tests.questions.sung import TESTS, items, notes_of, roster, singers
from tests.questions.worlds import choirs_of, named, pairs_of

LINK, GAIN = "total, form A to the scale of form B", "total, gain without the difference of forms"
PRE, POST = [8, 11, 9, 14, 7, 12, 10], [12, 13, 14, 19, 9, 13, 15]
ORDERS = ["AB", "AB", "AB", "AB", "BA", "BA", "BA"]


def sung(pairs, orders):
    """Say which form each student sang at each test."""
    pairs["pre_form"], pairs["post_form"] = (
        [order[0].strip() for order in orders],
        [order[1].strip() for order in orders],
    )
    return pairs


def test_a_crossover_tells_forms_from_gains():
    """The difference of forms is that of counterbalanced equating; the gain is the mean of both orders' gains."""
    found = quality.forms_differ(sung(pairs_of(PRE, POST), ORDERS))
    link, gain = found
    x = [*PRE[:4], *POST[4:]]
    y = [*POST[:4], *PRE[4:]]
    expected = equate_mean(x, y, design="counterbalanced", x_first=[order == "AB" for order in ORDERS], about="x",
                           unit="points")  # fmt: skip
    assert (link.about, link.value, link.interval) == (LINK, expected.value, expected.interval)
    gains = np.subtract(POST, PRE)
    up, down = gains[:4].mean(), gains[4:].mean()
    assert link.value == pytest.approx((up - down) / 2)
    assert (gain.about, gain.name, gain.value) == (GAIN, "mean_gain", pytest.approx((up + down) / 2))
    assert gain.interval.method == HALF_SUM
    assert gain.interval.high - gain.value == pytest.approx(link.interval.high - link.value)  # the same error, half
    assert GAINS_ALIKE in link.notes
    assert ORDERS_COUNT_ONCE in gain.notes


def test_a_harder_form_moves_the_difference_and_not_the_gain():
    """Two points taken from everybody's marks of form B move the difference by two and leave the gain as it is."""
    pre = [mark - 2 * (order[0] == "B") for mark, order in zip(PRE, ORDERS, strict=True)]
    post = [mark - 2 * (order[1] == "B") for mark, order in zip(POST, ORDERS, strict=True)]
    plain, harder = (quality.forms_differ(sung(pairs_of(*marks), ORDERS)) for marks in ((PRE, POST), (pre, post)))
    assert harder[0].value - plain[0].value == pytest.approx(-2)  # form B harder: form A needs less
    assert harder[1].value == pytest.approx(plain[1].value)
    assert harder[1].interval.low == pytest.approx(plain[1].interval.low)


@pytest.mark.parametrize(
    ("orders", "why"),
    [
        (["AA"] * 7, SAME_FORM),
        (["AB"] * 7, NEVER_LINKED),
        (["A "] * 7, NOT_RECORDED),
        (["  "] * 7, NOT_RECORDED),
        (["AB"] * 5 + ["BA"] * 2, TOO_FEW_EACH_ORDER),
        (["AB"] * 3 + ["BA"] * 3 + ["BC"], MORE_FORMS),
        (["AA"] * 3 + ["AB"] * 4, NEVER_LINKED),
    ],
)
def test_forms_that_cannot_be_told_from_gains(orders, why):
    """The reason is told where the way the forms were given does not separate them from the gains."""
    found = quality.forms_differ(sung(pairs_of(PRE, POST), orders))
    assert (list(found), [one.why for one in found.left_out]) == ([], [why])


def test_each_choir_with_both_orders_counts_once():
    """Choirs are the units; students of a choir in which all sang one order are left out and counted."""
    choirs = [("Alto", "", PRE, POST), ("Bass", "", POST, [16, 15, 14, 19, 13, 17, 15]), ("Treble", "", PRE, POST)]
    pairs = sung(choirs_of(*choirs), ORDERS + ORDERS[::-1] + ["AB"] * 7)
    link, gain = quality.forms_differ(pairs)
    up, down = (np.subtract(POST, PRE)[rows].mean() for rows in (slice(4), slice(4, 7)))
    bass = np.subtract([16, 15, 14, 19, 13, 17, 15], POST)
    up_bass, down_bass = bass[3:].mean(), bass[:3].mean()
    for one, each in (
        (link, [(up - down) / 2, (up_bass - down_bass) / 2]),
        (gain, [(up + down) / 2, (up_bass + down_bass) / 2]),
    ):
        expected = mean_gain([0, 0], each, about="x", unit="points")
        assert (one.value, one.interval.low) == pytest.approx((expected.value, expected.interval.low), rel=1e-12)
        assert (one.n, one.counted, one.clusters) == (2, "choirs", 2)
        assert {EACH_CHOIR_ONCE.format(number=2), ONE_ORDER.format(number=7)} <= set(one.notes)
    assert link.name == "equate_mean"


def test_choirs_that_each_sang_one_order_have_no_interval():
    """Where a choir sang A first and another B first, forms and choirs cannot be kept apart surely: no interval."""
    pairs = sung(choirs_of(("Alto", "", PRE, POST), ("Bass", "", PRE, POST)), ["AB"] * 7 + ["BA"] * 7)
    for one in quality.forms_differ(pairs):
        assert (one.interval, one.clusters) == (None, 2)
        assert STUDENTS_ALIKE in one.notes


def test_shared_melodies_link_two_forms():
    """Two groups that sang a form each are linked by the melody both forms contain, as anchor equating does."""
    one, other = singers(20), singers(18, seed=2)
    rows = [*notes_of(one), *notes_of(other, form="B", first=20)]
    found = quality.forms_linked(items(rows), roster(38), tests=TESTS, shared=["2"])
    expected = equate_mean(
        one.sum(axis=1), other.sum(axis=1), design="anchor", about="x", unit="points",
        anchors=(one[:, 8:16].sum(axis=1), other[:, 8:16].sum(axis=1)),
    )  # fmt: skip
    (link,) = found
    assert (link.about, link.value, link.interval) == (f"{LINK}, first test", expected.value, expected.interval)
    assert link.notes[-1] == SHARED_NOTES.format(melodies="2")


def test_no_melody_is_taken_for_shared_unasked():
    """Forms may call different melodies alike, so without a word nothing is linked; nor is a single form."""
    rows = [*notes_of(singers(20)), *notes_of(singers(20, seed=2), form="B", first=20)]
    found = quality.forms_linked(items(rows), roster(40), tests=TESTS)
    assert (list(found), found.left_out[0].why) == ([], NOTHING_SHARED)
    alone = quality.forms_linked(items(rows[: 20 * 24]), roster(40), tests=TESTS, shared=["1"])
    assert named(alone) == {}
    assert {one.why for one in alone.left_out} == {ONE_FORM}


def key_of(**forms):
    """Make a key: form -> its melodies, each as degrees."""
    rows = [
        {"form": form, "measure": "total", "melody": str(name), "item": at, "degree": degree, "alter": 0}
        for form, melodies in forms.items() for name, notes in enumerate(melodies, 1)
        for at, degree in enumerate(notes, 1)
    ]  # fmt: skip
    return pd.DataFrame(rows).astype({"degree": "Int64"})


@pytest.mark.parametrize(
    ("forms", "shared"),
    [
        ({"A": [[1, 2], [3, 5]], "B": [[1, 3], [3, 5]]}, ("2",)),
        ({"A": [[1, 2], [3, 5]], "B": [[1, 2], [3, 5]]}, ("1", "2")),
        ({"A": [[1, 2], [3, 5]], "B": [[3, 5], [1, 2]]}, ()),
        ({"A": [[1, 2]], "B": [[1, 2, 3]]}, ()),
        ({"A": [[1, None]], "B": [[1, None]]}, ()),
        ({"A": [[1, 2]]}, ()),
        ({"A": [[1, 2]], "B": [[1, 2]], "C": [[1, 2]]}, ()),
    ],
)
def test_shared_melodies_are_found_in_the_key(forms, shared):
    """A melody is shared if both of two forms have it under one name with the same known notes."""
    assert quality.shared_melodies(key_of(**forms), roster(3)) == shared


def test_without_a_key_nothing_is_shared():
    """An empty key, or one of another measure, shares nothing."""
    other = key_of(A=[[1, 2]], B=[[1, 2]]).assign(measure="rhythm")
    assert quality.shared_melodies(pd.DataFrame(), roster(3)) == ()
    assert quality.shared_melodies(other, roster(3)) == ()
