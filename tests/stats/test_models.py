"""Laws and edges of the mixed models that the kit prints."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.errors import NotConvergedError, TooFewError, UnknownChoiceError
from kit.stats.clusters.choirs import cluster_mean_difference
from kit.stats.mixed import fit as mixed_fit
from kit.stats.models import NO_CHOIRS_APART, ONE_PACE, SINGULAR, TESTS_TAKEN, growth_model, mixed_difference

laws = settings(max_examples=25, deadline=None)


def world(seed, choirs=8, students=4, tests=3):
    """Draw students of choirs with several tests each: scores, students, times, choirs, program."""
    rng = np.random.default_rng(seed)
    student = np.repeat(np.arange(choirs * students), tests)
    time, choir = np.tile(np.arange(float(tests)), choirs * students), student // students
    program = (choir % 2).astype(float)
    y = 10 + 2 * time + program * time + rng.normal(0, 1.5, choirs)[choir] + rng.normal(0, 0.7, choirs)[choir] * time
    y += rng.normal(0, 2, student.max() + 1)[student] + rng.normal(0, 0.5, student.max() + 1)[student] * time
    return y + rng.normal(0, 1, student.size), student, time, choir, program


def grow(y, student, time, choir=None, program=None, **options):
    """Ask for growth with the usual words."""
    return growth_model(y, student, time, clusters=choir, program=program, about="A", unit="points", **options)


def differ(y, choir, x, **options):
    """Ask for a difference with the usual words."""
    return mixed_difference(y, choir, x, about="A", unit="points", **options)


def ends(found):
    """Give value and ends."""
    return np.array([found.value, found.interval.low, found.interval.high])


@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50), scale=st.floats(0.1, 20))
@laws
def test_growth_shifts_and_scales(seed, shift, scale):
    """A shift of scores or of times changes nothing, a scale scales, faster clocks slow growth."""
    y, student, time, choir, program = world(seed)
    one = grow(y, student, time, choir, program)
    other = grow(shift + scale * y, student, 3 + 2 * time, choir, program)
    assert ends(other) == pytest.approx(scale / 2 * ends(one), rel=1e-4, abs=1e-5 * scale)
    assert other.df == pytest.approx(one.df, rel=1e-3)


@given(seed=st.integers(0, 10_000))
@laws
def test_swapping_the_approaches_turns_it_round(seed):
    """Comparison minus program is the mirror image; order of rows and names do not matter."""
    y, student, time, choir, program = world(seed)
    one, other = grow(y, student, time, choir, program), grow(y, student, time, choir, 1 - program)
    assert ends(other) == pytest.approx(-ends(one)[[0, 2, 1]], rel=1e-4, abs=1e-5)
    order = np.random.default_rng(seed).permutation(y.size)
    named = [np.char.add("n", column.astype(str)) for column in (student, choir)]
    shuffled = grow(y[order], named[0][order], time[order], named[1][order], program[order])
    assert ends(shuffled) == pytest.approx(ends(one), rel=1e-4, abs=1e-5)


@given(seed=st.integers(0, 10_000))
@laws
def test_missing_tests_are_as_if_not_taken(seed):
    """Rows with a hole are counted and change nothing else; a higher level is wider around the same value."""
    y, student, time, choir, program = world(seed)
    gone = np.random.default_rng(seed).random(y.size) < 0.1
    holed = np.where(gone, np.nan, y)
    columns = [column[~gone] for column in (y, student, time, choir, program)]
    one, other = grow(holed, student, time, choir, program), grow(*columns)
    assert ends(one) == pytest.approx(ends(other), rel=1e-6, abs=1e-8)
    assert (one.dropped, one.n, one.counted) == (int(gone.sum()), int((~gone).sum()), "tests")
    wide = grow(holed, student, time, choir, program, level=0.99)
    assert wide.value == one.value
    assert wide.interval.low < one.interval.low < one.interval.high < wide.interval.high


@given(seed=st.integers(0, 10_000))
@laws
def test_two_tests_of_everybody_are_the_gains_of_choirs(seed):
    """With two tests of equal choirs that differ, growth by program is Student's t on the choirs' average gains."""
    y, student, time, choir, program = world(seed, tests=2)
    found = grow(y, student, time, choir, program)
    assume(not set(found.notes) & set(SINGULAR.values()))
    gains = y[1::2] - y[::2]
    by_choirs = cluster_mean_difference(gains, choir[::2], program[::2], about="A", unit="points")
    assert ends(found) == pytest.approx(ends(by_choirs), rel=1e-4, abs=1e-5)
    assert (found.df, found.p) == pytest.approx((by_choirs.df, by_choirs.p), rel=1e-3)
    assert ONE_PACE in found.notes


@given(seed=st.integers(0, 10_000))
@laws
def test_equal_choirs_differ_as_their_averages_do(seed):
    """With choirs of one size and a spread between them the mixed model is Student's t on choir averages."""
    rng = np.random.default_rng(seed)
    choir = np.repeat(np.arange(8), 5)
    y, program = rng.normal(size=40) + rng.normal(0, 1.5, 8)[choir], (choir % 2).astype(float)
    found = differ(y, choir, program)
    assume(NO_CHOIRS_APART not in found.notes)
    averages = cluster_mean_difference(y, choir, program, about="A", unit="points")
    assert ends(found) == pytest.approx(ends(averages), rel=1e-5, abs=1e-6)
    assert (found.df, found.p) == pytest.approx((averages.df, averages.p), rel=1e-4)
    assert (found.n, found.clusters, found.counted) == (40, 8, "students")


def test_drawn_anew_equal_choirs_still_differ_as_student_says():
    """Where t is exact, drawings give its p and its ends within five Monte Carlo errors, and from one seed the same."""
    rng = np.random.default_rng(12)
    choir = np.repeat(np.arange(8), 5)
    y, program = rng.normal(size=40) + rng.normal(1, 1.5, 8)[choir], (choir % 2).astype(float)
    averages = cluster_mean_difference(y, choir, program, about="A", unit="points")
    found, again = (differ(y, choir, program, rng=np.random.default_rng(3), draws=4_000) for _ in range(2))
    assert found == again
    assert 0.02 < averages.p < 0.98
    assert found.p == pytest.approx(averages.p, abs=5 * (averages.p * (1 - averages.p) / 4_000) ** 0.5)
    half = [one.interval.high - one.value for one in (found, averages)]
    assert half[0] == pytest.approx(half[1], rel=0.08)
    assert found.value - found.interval.low == pytest.approx(half[0])
    assert (found.df, found.value) == (None, differ(y, choir, program).value)
    assert found.interval.method.endswith("parametric bootstrap of t, 4,000 draws")
    wide = differ(y, choir, program, rng=np.random.default_rng(3), draws=4_000, level=0.99)
    assert wide.interval.high > found.interval.high
    turned = differ(y, choir, np.column_stack([program, choir > 3]), contrast=[-1, 0], rng=np.random.default_rng(3))
    straight = differ(y, choir, np.column_stack([program, choir > 3]), rng=np.random.default_rng(3))
    assert (turned.p, turned.interval.low) == (straight.p, pytest.approx(-straight.interval.high))


@given(seed=st.integers(0, 10_000), shift=st.floats(-50, 50), scale=st.floats(0.1, 20))
@laws
def test_a_difference_shifts_scales_and_turns(seed, shift, scale):
    """A shift changes nothing, a scale scales, and the mirror image is the other approach's."""
    y, _, time, choir, program = world(seed)
    one = differ(y, choir, np.column_stack([program, time]))
    other = differ(shift + scale * y, choir, np.column_stack([1 - program, time]))
    assert ends(other) == pytest.approx(-scale * ends(one)[[0, 2, 1]], rel=1e-5, abs=1e-6 * scale)


def test_boundaries_are_said():
    """No spread between choirs, and paces that go with levels, stand in the notes; a proper fit has no such note."""
    y, student, time, choir, program = world(1)
    averages = np.array([y[choir == one].mean() for one in range(8)])
    apart = differ(y - averages[choir], choir, program)
    assert (apart.notes, apart.p, apart.df) == ((NO_CHOIRS_APART,), None, pytest.approx(94))
    drawn = differ(y - averages[choir], choir, program, rng=np.random.default_rng(1))
    assert (drawn.notes, drawn.p) == ((NO_CHOIRS_APART,), None)
    flat = grow(y - averages[choir], student, time, choir, program, slopes="students")
    assert flat.notes == (TESTS_TAKEN, SINGULAR["choirs"])
    assert grow(y, student, time, slopes="none").notes == flat.notes[:1]


def test_who_has_a_pace_of_its_own():
    """Without paces of choirs the program's growth looks surer than it is, since choirs were given it."""
    y, student, time, choir, program = world(3)
    whole, students = (
        grow(y, student, time, choir, program, slopes=one) for one in ("students and choirs", "students")
    )
    choirs, none = (grow(y, student, time, choir, program, slopes=one) for one in ("choirs", "none"))
    assert whole.interval.high - whole.interval.low > students.interval.high - students.interval.low
    assert choirs.interval.high - choirs.interval.low > none.interval.high - none.interval.low
    assert [one.clusters for one in (whole, none, grow(y, student, time))] == [8, 8, None]


def test_everyone_tested_once_is_refused():
    """One test each tells of no growth of students."""
    y, student, time, _, _ = world(1)
    with pytest.raises(TooFewError) as refused:
        grow(y, np.arange(y.size), time)
    assert (
        str(refused.value) == f"growth_model: needs {y.size + 1} rows for {y.size} effects of students. A has {y.size}."
    )
    with pytest.raises(TooFewError) as refused:
        grow(y[:1], student[:1], time[:1])
    assert str(refused.value) == "growth_model: needs 2 students. A has 1."


def test_options_and_lengths_are_checked():
    """Another word, other lengths, a contrast that does not fit and an impossible level are refused."""
    y, student, time, choir, program = world(1)
    with pytest.raises(UnknownChoiceError) as refused:
        grow(y, student, time, slopes="all")
    assert str(refused.value) == (
        "growth_model: slopes must be one of 'students and choirs', 'students', 'choirs', 'none'. Got 'all'."
    )
    with pytest.raises(
        ValueError, match=r"^growth_model: scores, students, times and program must list the same tests"
    ):
        grow(y, student, time[:-1])
    with pytest.raises(ValueError, match=r"^growth_model: level must be between 0 and 1\. Got 1\.$"):
        grow(y, student, time, level=1)
    told = r"^mixed_difference: contrast must have a weight for each of 1 predictors, not all zero\.$"
    for contrast in ([1, 2], [0], [np.nan]):
        with pytest.raises(ValueError, match=told):
            differ(y, choir, program, contrast=contrast)
    with pytest.raises(ValueError, match=told.replace("1 pred", "0 pred")):
        differ(y, choir, np.empty((y.size, 0)))
    with pytest.raises(ValueError, match=r"^mixed_difference: draws must be at least 100\. Got 99\.$"):
        differ(y, choir, program, rng=np.random.default_rng(1), draws=99)
    with pytest.raises(ValueError, match=r"^mixed_difference: level must be between 0 and 1\. Got 0\.$"):
        differ(y, choir, program, level=0)


def test_without_a_proof_there_is_no_number(monkeypatch):
    """A search that does not arrive is an error that says whose it is."""

    def lost(blocks, start):
        raise NotConvergedError("the search for the best spreads did not end.")

    monkeypatch.setattr(mixed_fit, "best", lost)
    y, _, _, choir, program = world(1)
    with pytest.raises(NotConvergedError) as refused:
        differ(y, choir, program)
    assert str(refused.value) == "mixed_difference: has no best fit. A: the search for the best spreads did not end."


def test_a_hundred_thousand_students():
    """Size is no matter."""
    rng = np.random.default_rng(1)
    choir = rng.integers(0, 4000, 100_000)
    assert differ(rng.normal(size=100_000), choir, (choir % 2).astype(float)).clusters == 4000


def test_times_far_from_zero_and_tests_without_a_student():
    """Times counted in seconds tell the same; a test of nobody, or of nobody's choir, is left out and counted."""
    y, student, time, choir, program = world(1)
    one = grow(y, student, time, choir, program)
    far = grow(y, student, 86_400.0 * time + 1.7e9, choir, program)
    assert far.value * 86_400 == pytest.approx(one.value, rel=1e-6)
    assert far.interval.high * 86_400 == pytest.approx(one.interval.high, rel=1e-6)
    who, where = (np.array([f"no. {number}" for number in labels], dtype=object) for labels in (student, choir))
    who[5], where[9] = None, np.nan
    found, kept = grow(y, who, time, where, program), ~np.isin(np.arange(y.size), (5, 9))
    without = grow(y[kept], student[kept], time[kept], choir[kept], program[kept])
    assert (found.dropped, found.n) == (2, y.size - 2)
    assert found.value == pytest.approx(without.value)
