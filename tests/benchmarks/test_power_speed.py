"""How much faster a simulated power is than a loop over a modelling library."""

from __future__ import annotations

import time

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as formulas

from kit.stats.power.simulation import power_simulated

DRAWS, FEW = 5000, 25
ICC, CORRELATION, DIFFERENCE = 0.15, 0.6, 0.25


def processor_time(run):
    """Time one run in milliseconds of processor time, which other programs disturb least."""
    start = time.process_time()
    run()
    return 1000 * (time.process_time() - start)


def whole_study(rng, choirs, students):
    """Draw the students of one study, as a table."""
    choir = np.repeat(np.arange(choirs), students)
    pre = rng.normal(0, ICC**0.5, choirs)[choir] + rng.normal(0, (1 - ICC) ** 0.5, choir.size)
    left = (1 - CORRELATION**2) ** 0.5
    noise = rng.normal(0, ICC**0.5, choirs)[choir] + rng.normal(0, (1 - ICC) ** 0.5, choir.size)
    program = (choir < choirs // 2) * 1.0
    post = CORRELATION * pre + left * noise + DIFFERENCE * program
    return pd.DataFrame({"choir": choir, "program": program, "pre": pre, "post": post})


def means_loop(rng, choirs, students):
    """Draw and test studies one by one by a regression of choir means."""
    for _ in range(FEW):
        means = whole_study(rng, choirs, students).groupby("choir").mean()
        formulas.ols("post ~ program + pre", means).fit().pvalues["program"]


def students_loop(rng, choirs, students):
    """Draw and test studies one by one by a regression of students with errors that allow for choirs."""
    for _ in range(FEW):
        study = whole_study(rng, choirs, students)
        fitted = formulas.ols("post ~ program + pre", study).fit(cov_type="cluster", cov_kwds={"groups": study.choir})
        fitted.pvalues["program"]


@pytest.mark.benchmark
@pytest.mark.parametrize(("choirs", "students"), [(20, 25), (8, 30), (60, 50)])
def test_power_is_faster_than_a_loop(choirs, students, capsys):
    """5,000 simulated studies take a thousandth of a loop over statsmodels (medians of 5 runs in turn)."""
    half = choirs // 2

    def ours():
        power_simulated(
            choirs=(half, half), students=students, icc=ICC, difference=DIFFERENCE, about="plan", draws=DRAWS,
            correlations=(CORRELATION, CORRELATION), rng=np.random.default_rng(1),
        )  # fmt: skip

    def only_random_numbers():
        rng = np.random.default_rng(1)
        rng.standard_normal((2, DRAWS, choirs))

    rng = np.random.default_rng(2)
    runs = [
        (
            processor_time(ours), processor_time(only_random_numbers),
            *(processor_time(lambda loop=loop: loop(rng, choirs, students)) * DRAWS / FEW
              for loop in (means_loop, students_loop)),
        )
        for _ in range(5)
    ]  # fmt: skip
    took, drawing, means, whole = np.median(runs, axis=0)
    with capsys.disabled():
        print(
            f"\n{choirs} choirs of {students}: ours {took:.1f} ms (its random numbers {drawing:.1f} ms), loop over "
            f"choir means {means / 1000:.0f} s, over students {whole / 1000:.0f} s (scaled): {means / took:.0f} and "
            f"{whole / took:.0f} times as fast"
        )
    assert means > 1000 * took
    assert whole > 1000 * took
