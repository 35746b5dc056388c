"""How much faster the bootstrap is than the general library's."""

from __future__ import annotations

import time

import numpy as np
import pytest
import scipy.stats

from kit.stats.resampling import bootstrap_bca


def quickest(run, times=5):
    """Time several runs and give the quickest, in milliseconds."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        took.append(1000 * (time.perf_counter() - start))
    return min(took)


@pytest.mark.benchmark
@pytest.mark.parametrize("n", [30, 200, 2000])
def test_bootstrap_is_faster_than_scipy(n, capsys):
    """BCa of the average-SD size, 10,000 resamples, takes less time than scipy's vectorised bootstrap."""
    rng = np.random.default_rng(n)
    pre = np.round(rng.normal(12, 4, n))
    post = np.round(pre + rng.normal(3, 3, n))
    columns = np.column_stack([pre, post])

    def size(m):
        spread = np.sqrt((m.covariance[..., 0, 0] + m.covariance[..., 1, 1]) / 2 * m.n / (m.n - 1))
        return (m.mean[..., 1] - m.mean[..., 0]) / spread

    def plain_size(x, y, axis=-1):
        return (y.mean(axis) - x.mean(axis)) / np.sqrt((x.var(axis, ddof=1) + y.var(axis, ddof=1)) / 2)

    ours = quickest(lambda: bootstrap_bca(columns, size, rng=np.random.default_rng(1)))
    theirs = quickest(
        lambda: scipy.stats.bootstrap(
            (pre, post), plain_size, paired=True, vectorized=True, method="BCa", n_resamples=10_000,
            batch=max(100, 200_000 // n), rng=np.random.default_rng(1),
        )
    )  # fmt: skip
    with capsys.disabled():
        print(f"\nn = {n}: ours {ours:.1f} ms, scipy {theirs:.1f} ms, {theirs / ours:.1f} times as fast")
    assert ours < theirs
