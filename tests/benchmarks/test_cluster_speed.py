"""How fast the cluster-robust interval and the wild cluster bootstrap are beside other ways to get them."""

from __future__ import annotations

import shutil
import subprocess
import time

import numpy as np
import pytest

from kit.stats.clusters.robust import cluster_robust
from kit.stats.clusters.wild import cluster_wild

R_SCRIPT = """
suppressMessages(library(clubSandwich))
d <- read.csv("{path}"); d$g <- factor(d$g)
m <- lm(y ~ program + first, d)
r <- conf_int(m, vcov = "CR2", cluster = d$g)
times <- replicate({runs}, {{ p <- proc.time(); conf_int(m, vcov = "CR2", cluster = d$g); q <- proc.time() - p; q[1] + q[2] }})
cat(sprintf("%.15g %.15g %.15g\\n", 1000 * min(times), r$SE[2], r$df[2]))
"""


def processor_time(run):
    """Time a run in milliseconds of processor time, which other programs disturb least."""
    start = time.process_time()
    run()
    return 1000 * (time.process_time() - start)


def world(rows, choirs):
    """Draw choirs of unequal size, half with the program."""
    rng = np.random.default_rng(rows)
    choir = np.sort(rng.integers(0, choirs, rows))
    first = rng.normal(size=choirs)[choir] * 0.3 + rng.normal(size=rows)
    return 0.6 * first + rng.normal(size=choirs)[choir] * 0.3 + rng.normal(size=rows), choir, choir % 2.0, first


@pytest.mark.benchmark
@pytest.mark.parametrize(("rows", "choirs"), [(10_000, 50), (50_000, 200), (100_000, 400)])
def test_robust_costs_a_few_passes(rows, choirs, capsys):
    """CR2 with degrees of freedom costs at most 5 times the cross-products of each choir (quickest of 300 runs each).

    With 10,000 rows it is 4.2 to 4.8 times, since a third of a millisecond goes into roots of 50 small matrices and into
    checks, whatever the rows; with more rows 2 to 3 times.
    """
    y, choir, program, first = world(rows, choirs)
    x = np.column_stack([program, first])
    table = np.column_stack([x, np.ones(rows), y])
    starts = np.searchsorted(choir, np.arange(choirs))

    def one_pass():
        for one in range(4):
            for other in range(one, 4):
                np.add.reduceat(table[:, one] * table[:, other], starts)

    runs = [
        (processor_time(lambda: cluster_robust(y, choir, x, about="A", unit="points")), processor_time(one_pass))
        for _ in range(300)
    ]
    ours, least = min(a for a, _ in runs), min(b for _, b in runs)
    with capsys.disabled():
        print(f"\n{rows} rows, {choirs} choirs: {ours:.2f} ms, one pass {least:.2f} ms: {ours / least:.1f} passes")
    assert ours < 5 * least


@pytest.mark.benchmark
@pytest.mark.skipif(shutil.which("Rscript") is None, reason="R is not installed here.")
@pytest.mark.parametrize(("rows", "choirs", "times"), [(300, 6, 15), (10_000, 50, 1_000)])
def test_robust_is_faster_than_r(rows, choirs, times, tmp_path, capsys):
    """CR2 with degrees of freedom is many times faster than R clubSandwich and equals it to 6 digits.

    The quickest of 300 runs, of 100 in R (2 where one takes seconds).
    """
    y, choir, program, first = world(rows, choirs)
    path = tmp_path / "rows.csv"
    np.savetxt(path, np.column_stack([y, choir, program, first]), delimiter=",", header="y,g,program,first",
               comments="", fmt="%.17g")  # fmt: skip
    script = R_SCRIPT.format(path=path.as_posix(), runs=100 if rows < 1_000 else 2)
    told = subprocess.run(["Rscript", "-e", script], capture_output=True, text=True, check=False)
    if told.returncode:
        pytest.skip(f"R has no clubSandwich here: {told.stderr.strip().splitlines()[-1]}")
    theirs, error, df = map(float, told.stdout.split())
    x = np.column_stack([program, first])
    found = cluster_robust(y, choir, x, about="A", unit="points")
    half = (found.interval.high - found.interval.low) / 2
    from scipy.stats import t as student

    assert found.df == pytest.approx(df, rel=1e-6)
    assert half / student.ppf(0.975, found.df) == pytest.approx(error, rel=1e-6)
    ours = min(processor_time(lambda: cluster_robust(y, choir, x, about="A", unit="points")) for _ in range(300))
    with capsys.disabled():
        print(f"\n{rows} rows: ours {ours:.2f} ms, R {theirs:.0f} ms, {theirs / ours:.0f} times as fast")
    assert theirs > times * ours


def package_p(y, choir, x):
    """Let package wildboottest give p alone, by the calls that pyfixest makes of it, which take least time."""
    packaged = pytest.importorskip("wildboottest.wildboottest")
    table = np.column_stack([np.ones(len(y)), x])
    boot = packaged.WildboottestCL(X=table, Y=y, cluster=choir, R=np.eye(3)[1], B=9_999, seed=1, parallel=False)
    boot.get_scores(bootstrap_type="11", impose_null=True, adj=True, cluster_adj=True)
    boot.get_weights(weights_type="webb")
    for step in ("numer", "denom", "tboot", "vcov", "tstat"):
        getattr(boot, f"get_{step}")()
    boot.get_pvalue(pval_type="two-tailed")
    return float(boot.pvalue)


@pytest.mark.benchmark
@pytest.mark.parametrize(("rows", "choirs"), [(300, 6), (1_001, 20), (10_000, 50), (5_000, 200)])
def test_wild_is_faster_than_packages(rows, choirs, capsys):
    """The wild bootstrap's p and interval from 9,999 draws come 45 times faster than the p alone of a package."""
    y, choir, program, first = world(rows, choirs)
    x = np.column_stack([program, first])
    other = package_p(y, choir, x)  # the first call compiles
    theirs = min(processor_time(lambda: package_p(y, choir, x)) for _ in range(3))

    def run():
        return cluster_wild(y, choir, x, about="A", unit="points", rng=np.random.default_rng(1))

    found, ours = run(), min(processor_time(run) for _ in range(9))
    with capsys.disabled():
        print(f"\n{rows} x {choirs}: ours with interval {ours:.1f} ms, package's p {theirs:.0f} ms, "
              f"{theirs / ours:.0f} times; p {found.p:.4f} and {other:.4f}")  # fmt: skip
    assert found.p == pytest.approx(other, abs=0.03)
    assert theirs > 45 * ours
