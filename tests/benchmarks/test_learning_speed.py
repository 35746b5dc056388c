"""How much faster the mixed logistic regression is than the general library's, and whether both agree."""

from __future__ import annotations

import time
import warnings

import numpy as np
import pytest
import scipy.sparse
from scipy.special import expit
from statsmodels.genmod.bayes_mixed_glm import BinomialBayesMixedGLM
from statsmodels.tools.sm_exceptions import ConvergenceWarning

from kit.stats.learning.crossed_cells import coded, gathered
from kit.stats.learning.crossed_logistic import fit_crossed
from kit.stats.learning.pooled_accuracy import pooled_accuracy


def log_of(n, students, items, seed=1):
    """Draw tries of students at items: right or wrong, of whom, at what, times practised, days since."""
    rng = np.random.default_rng(seed)
    who, what = rng.integers(0, students, n), rng.integers(0, items, n)
    times, days = rng.integers(0, 30, n), rng.integers(0, 20, n)
    logit = rng.normal(0.3, 1.1, students)[who] + rng.normal(0, 0.6, items)[what]
    logit += 0.45 * np.log1p(times) - 0.25 * np.log1p(days) - 0.8
    return (rng.random(n) < expit(logit)).astype(float), who, what, np.log1p(times), np.log1p(days)


def ours(right, who, what, times, days):
    """Fit by the kit, from the rows on."""
    return fit_crossed(gathered(coded("speed", right, who, what), times, days))


def theirs(right, who, what, times, days):
    """Fit the same model by the general library, by its quicker method (Laplace, sparse matrices)."""
    n, students, items = right.size, int(who.max()) + 1, int(what.max()) + 1
    rows = np.r_[np.arange(n), np.arange(n)]
    places = scipy.sparse.csr_matrix((np.ones(2 * n), (rows, np.r_[who, students + what])))
    design = np.column_stack([np.ones(n), times, days])
    spread = np.repeat([0, 1], [students, items])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # it stops at a gradient of 4e-5 and says so
        return BinomialBayesMixedGLM(right, design, places, spread, vcp_p=2, fe_p=10).fit_map()


def cost_of(run):
    """Time one run in seconds of processor time, and give its answer."""
    start = time.process_time()
    answer = run()
    return time.process_time() - start, answer


@pytest.mark.benchmark
def test_mixed_logistic_is_faster_than_statsmodels(capsys):
    """At 100,000 tries of 1,000 students the fit takes under 5 s, and a tenth of the general library's at most."""
    rows = log_of(100_000, 1000, 12)
    quick, found = cost_of(lambda: ours(*rows))
    slow, peer = cost_of(lambda: theirs(*rows))
    with capsys.disabled():
        print(f"\n100,000 tries: ours {quick:.2f} s, statsmodels {slow:.1f} s ({slow / quick:.0f} times as slow)")
    assert quick < 5
    assert slow >= 10 * quick
    assert found.coefficients == pytest.approx(peer.fe_mean, abs=0.05)


@pytest.mark.benchmark
def test_million_tries(capsys):
    """A million tries are fitted in under 20 s, and pooled by item in under 20 s."""
    rows = log_of(1_000_000, 3000, 40)
    fit, _ = cost_of(lambda: ours(*rows))
    pool, _ = cost_of(lambda: pooled_accuracy(*rows[:3], about="speed"))
    with capsys.disabled():
        print(f"\n1,000,000 tries: mixed logistic {fit:.1f} s, pooled by item {pool:.1f} s")
    assert fit < 20
    assert pool < 20
