"""The bootstrap interval of alpha against the general library and a plain loop."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats

from kit.errors import TooFewError
from kit.stats.alpha_bootstrap import bootstrap_alpha
from kit.stats.consistency import cronbach_alpha


def right_or_wrong(n, k, seed=1):
    """Make right or wrong marks that hang together."""
    rng = np.random.default_rng(seed)
    return (rng.normal(size=(n, 1)) + rng.normal(size=(n, k)) > 0) * 1.0


@pytest.mark.parametrize(("n", "k"), [(20, 4), (60, 8)])
def test_scipy_agrees(n, k):
    """The interval is that of scipy's BCa bootstrap with alpha written out, up to the chance of the draws."""
    scores = right_or_wrong(n, k)

    def alpha(*items, axis=-1):
        stacked = np.stack(items)
        return (
            k / (k - 1) * (1 - stacked.var(axis=axis, ddof=1).sum(axis=0) / stacked.sum(axis=0).var(axis=axis, ddof=1))
        )

    theirs = scipy.stats.bootstrap(
        tuple(scores.T), alpha, paired=True, vectorized=True, method="BCa", n_resamples=20_000, batch=1000,
        rng=np.random.default_rng(2),
    ).confidence_interval  # fmt: skip
    ours = bootstrap_alpha(scores, rng=np.random.default_rng(1), draws=100_000)
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=0.03 * (theirs.high - theirs.low))
    assert ours.method == "BCa bootstrap, 100000 resamples"


def test_it_holds_alpha_and_widens():
    """The interval holds alpha, is the same for the same seed, is wider at a higher level, and has no scale or order."""
    scores = right_or_wrong(40, 6)
    one = bootstrap_alpha(scores, rng=np.random.default_rng(1))
    assert one == bootstrap_alpha(scores, rng=np.random.default_rng(1))
    assert one.low < cronbach_alpha(scores, about="A").value < one.high
    wide = bootstrap_alpha(scores, rng=np.random.default_rng(1), level=0.99)
    assert wide.low < one.low < one.high < wide.high
    moved = bootstrap_alpha(7 * scores[:, ::-1] + np.arange(6), rng=np.random.default_rng(1))
    assert (moved.low, moved.high) == pytest.approx((one.low, one.high), rel=1e-9)


def test_normal_scores_agree_with_feldt():
    """For 400 students with normal scores the bootstrap and Feldt's interval nearly agree."""
    rng = np.random.default_rng(5)
    scores = rng.normal(size=(400, 1)) + rng.normal(size=(400, 5))
    ours, feldt = bootstrap_alpha(scores, rng=rng), cronbach_alpha(scores, about="A").interval
    assert (ours.low, ours.high) == pytest.approx((feldt.low, feldt.high), abs=0.012)


@pytest.mark.parametrize("most", [1, 10, 300])
def test_whole_numbers_in_four_bytes_give_the_same(most):
    """Whole marks, moved off whole numbers or made too large to be exact in four bytes, have the same interval."""
    marks = np.random.default_rng(7).integers(0, most + 1, (40, 1)) + right_or_wrong(40, 6)
    ends = [
        (one.low, one.high)
        for scores in (marks, marks + 0.25, marks * 1e6 + 3)
        for one in (bootstrap_alpha(scores, rng=np.random.default_rng(3), draws=500),)
    ]
    assert ends[1] == pytest.approx(ends[0], abs=1e-11)
    assert ends[2] == pytest.approx(ends[0], abs=1e-11)


@pytest.mark.parametrize("n", [3, 1000, 70_000])
def test_few_and_many_students(n):
    """From 3 students to more than 16 bits can count, the draws are of all students."""
    rng = np.random.default_rng(4)
    scores = rng.normal(size=(n, 3)) + np.linspace(-2, 2, n)[:, None]
    if n == 3:
        with pytest.raises(
            TooFewError, match=r"^bootstrap_alpha: needs totals that differ in every resample. They do not"
        ):
            bootstrap_alpha(scores, rng=rng)
        return
    found = bootstrap_alpha(scores, rng=rng, draws=200)
    assert found.low < cronbach_alpha(scores, about="A").value < found.high


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda rng: bootstrap_alpha([[1, 2], [2, 3], [3, 5]], rng=rng, draws=99), ValueError,
         "bootstrap_alpha: draws must be at least 100. Got 99."),
        (lambda rng: bootstrap_alpha([[1, 2], [2, 3], [3, 5], [1, np.nan]], rng=rng), ValueError,
         "bootstrap_alpha: scores must have no missing number. Got 1 rows with one."),
        (lambda rng: bootstrap_alpha([[1, 2], [2, 3]], rng=rng), TooFewError,
         "bootstrap_alpha: needs 3 students with a score from all items. The sample has 2."),
        (lambda rng: bootstrap_alpha(np.repeat(np.arange(60.0), 2).reshape(-1, 2), rng=rng), TooFewError,
         "bootstrap_alpha: needs an alpha that differs between resamples. It is the same in all."),
        (lambda rng: bootstrap_alpha([[1, 2], [2, 3], [3, 5]], rng=rng, level=0), ValueError,
         "bootstrap_alpha: level must be between 0 and 1. Got 0."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What cannot be used is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call(np.random.default_rng(1))
    assert str(caught.value) == message
