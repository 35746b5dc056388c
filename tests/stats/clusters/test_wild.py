"""The wild cluster bootstrap: its ends are where its p crosses, its laws and edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.stats.clusters.choirs import NO_SPREAD_OF_CHOIRS
from kit.stats.clusters.wild import NO_LIMIT, NO_RESIDUALS, _all_signs, _signed, cluster_wild
from tests.stats.clusters.test_robust import ends, world

laws = settings(max_examples=20, deadline=None)


def ask(y, g, x, *, draws=9_999, seed=1, level=0.95):
    """Ask with the usual words."""
    return cluster_wild(
        y, g, x, about="A", unit="points", rng=np.random.default_rng(seed), draws=draws, level=level
    )  # fmt: skip


@given(seed=st.integers(0, 10_000))
@laws
def test_the_ends_are_where_p_crosses(seed):
    """Just inside an end p is above .05, just outside it is not."""
    y, g, program, pre = world(seed)
    x = np.column_stack([program, pre])
    found = ask(y, g, x)
    for end, outward in ((found.interval.low, -1), (found.interval.high, 1)):
        if np.isfinite(end):
            step = 1e-4 * abs(found.value - end) * outward
            assert ask(y - (end + step) * program, g, x).p <= 0.05
            assert ask(y - (end - step) * program, g, x).p > 0.05


@given(seed=st.integers(0, 10_000), scale=st.floats(0.1, 20))
@laws
def test_it_shifts_and_scales_and_turns_round(seed, scale):
    """All signs: a scale scales, swapping the groups mirrors, p stays."""
    y, g, program, pre = world(seed)
    one = ask(y, g, np.column_stack([program, pre]))
    other = ask(7 + scale * y, g, np.column_stack([1 - program, pre]))
    assert other.p == one.p
    assert ends(other) == pytest.approx(-scale * ends(one)[[0, 2, 1]], rel=1e-6, abs=1e-6)


def test_six_weights_agree_with_all_signs():
    """Drawn Webb weights and all signs give p-values that lie near each other, and a seed gives one answer."""
    y, g, program, pre = world(11, groups=10)
    x = np.column_stack([program, pre])
    signs, drawn = ask(y, g, x), ask(y, g, x, draws=999)
    assert "all signs" in signs.interval.method
    assert "999 draws" in drawn.interval.method
    assert drawn.p == pytest.approx(signs.p, abs=0.05)
    assert drawn == ask(y, g, x, draws=999)


def test_drawn_signs_agree_with_all_signs():
    """With sixteen choirs p from 9,999 draws of signs lies within Monte Carlo error of p from all 65,536."""
    y, g, program, pre = world(23, groups=16)
    x = np.column_stack([program, pre])
    every = ask(y, g, x, draws=2**16)
    assert "all signs" in every.interval.method
    error = np.sqrt(every.p * (1 - every.p) / 9_999)
    found = [ask(y, g, x, seed=seed) for seed in range(8)]
    assert np.mean([one.p for one in found]) == pytest.approx(every.p, abs=4 * error / np.sqrt(8))
    assert ends(found[0]) == pytest.approx(ends(every), abs=0.1 * (every.interval.high - every.interval.low))


def test_p_is_the_share_of_draws_with_as_large_a_t():
    """Scores drawn row by row and models fitted anew, for every pattern of signs, give the same p, ties and all."""
    y, g, program, pre = world(4, groups=6, size=5)
    x, base = np.column_stack([program, pre]), np.column_stack([pre, np.ones(len(y))])
    fitted = base @ np.linalg.lstsq(base, y, rcond=None)[0]
    table = np.column_stack([x, np.ones(len(y))])

    def far(scores):
        """Give the cluster-robust t of the first predictor, unscaled."""
        rows = np.linalg.inv(table.T @ table)[0] @ table.T
        rest = scores - table @ np.linalg.lstsq(table, scores, rcond=None)[0]
        return abs(rows @ scores) / np.sqrt((np.bincount(g, rows * rest) ** 2).sum())

    patterns = 2 * (np.arange(64)[:, None] >> np.arange(6) & 1) - 1
    sizes = np.array([far(fitted + (y - fitted) * signs[g]) for signs in patterns])
    assert ask(y, g, x).p == np.mean(sizes >= far(y) * (1 - 1e-9))


def test_many_choirs_take_signs():
    """With more than twelve choirs signs are drawn; the interval lies near that of CR2."""
    y, g, program, pre = world(5, groups=30, size=12)
    found = ask(y, g, np.column_stack([program, pre]), draws=1_999)
    assert "1,999 draws" in found.interval.method
    assert found.interval.low < found.value < found.interval.high


def test_three_choirs_have_no_limit():
    """With eight patterns of signs p is never below .05, so nothing can be refuted."""
    y, g, program, _ = world(2, groups=3)
    found = ask(y, g, program)
    assert (found.interval.low, found.interval.high) == (-np.inf, np.inf)
    assert found.notes == (NO_LIMIT,)


def test_no_residuals():
    """Where the model fits exactly there is nothing to draw."""
    program = np.repeat([0.0, 1.0], 6)
    found = ask(3 + 2 * program, np.repeat(np.arange(6), 2), program)
    assert (found.interval, found.p, found.notes) == (None, None, (NO_RESIDUALS,))


@pytest.mark.parametrize("groups", [2, 8, 9, 13])
def test_all_signs_are_gone_through_once(groups):
    """Every pattern of signs but its mirror image comes once, and sums are those of the choirs under their signs."""
    patterns, rows = _all_signs(groups), np.random.default_rng(1).normal(size=(groups, 2))
    signs = np.unpackbits(patterns, axis=1)[:, :groups] * 2.0 - 1
    assert len({tuple(one) for one in signs}) == len(signs) == 2 ** (groups - 1)
    assert set(signs[:, 0]) == {-1}
    assert _signed(patterns, rows) == pytest.approx(signs @ rows)


def test_choirs_that_end_alike():
    """Where the choirs of an approach average the same nothing can be drawn, and the note says so."""
    y, choir = np.tile([1.0, 3.0], 4), np.repeat(np.arange(4), 2)
    found = ask(y + 2 * (choir > 1), choir, (choir > 1) * 1.0)
    assert (found.value, found.interval, found.p, found.notes) == (pytest.approx(2), None, None, (NO_SPREAD_OF_CHOIRS,))


def test_what_is_refused():
    """No predictor, and fewer draws than a p of .01 needs, are refused."""
    y, g, program, _ = world(1)
    with pytest.raises(ValueError, match=r"^cluster_wild: needs a predictor\.$"):
        ask(y, g, np.empty((y.size, 0)))
    with pytest.raises(ValueError, match=r"^cluster_wild: draws must be at least 99\. Got 98\.$"):
        ask(y, g, program, draws=98)


def test_a_million_rows():
    """Size is no matter: the draws are of choirs."""
    rng = np.random.default_rng(1)
    g = rng.integers(0, 60, 1_000_000)
    found = ask(rng.normal(size=g.size), g, g % 2 == 0)
    assert (found.n, found.clusters) == (1_000_000, 60)
