"""Cross-products of clusters, whatever the order and the sizes, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from kit.errors import TooFewError
from kit.stats.clusters.crossproducts import crossed


def world(seed=1, sizes=(3, 5, 4)):
    """Make an outcome, clusters and two predictors."""
    rng = np.random.default_rng(seed)
    n = sum(sizes)
    return rng.normal(size=n), np.repeat(np.arange(len(sizes)), sizes), rng.normal(size=(n, 2))


@pytest.mark.parametrize("sizes", [(3, 5, 4), (300, 250)])
def test_they_are_what_their_name_says(sizes):
    """Few large and many small clusters go different ways and give X'X, X'y and y'y."""
    y, g, x = world(sizes=sizes)
    found, whole = crossed("f", y, g, x, "A"), np.column_stack([x, np.ones(len(y))])
    for group in range(len(sizes)):
        rows = whole[g == group]
        assert found.xx[group] == pytest.approx(rows.T @ rows)
        assert found.xy[group] == pytest.approx(rows.T @ y[g == group])
        assert found.yy[group] == pytest.approx(y[g == group] @ y[g == group])
    assert found.sizes.tolist() == list(sizes)
    assert found.coefficients == pytest.approx(np.linalg.lstsq(whole, y, rcond=None)[0])


def test_order_and_missing_rows():
    """Shuffled rows give the same; a row with a hole is counted and is as if it were not there."""
    y, g, x = world()
    order = np.random.default_rng(3).permutation(len(y))
    assert crossed("f", y[order], g[order], x[order], "A").xx == pytest.approx(crossed("f", y, g, x, "A").xx)
    holed = y.copy()
    holed[4] = np.nan
    found, kept = crossed("f", holed, g, x, "A"), np.arange(len(y)) != 4
    assert found.dropped == 1
    assert found.xy == pytest.approx(crossed("f", y[kept], g[kept], x[kept], "A").xy)


@pytest.mark.parametrize(("error", "change", "message"), [
    (TooFewError, {"g": np.zeros(12)}, "f: needs 2 choirs. A has 1."),
    (TooFewError, {"x": np.ones((12, 1))}, "f: needs predictors that do not follow from one another. A has some."),
    (ValueError, {"g": np.zeros(3)}, "f: outcome, clusters and predictors must list the same rows, in finite numbers."),
    (ValueError, {"y": np.full(12, np.inf)},
     "f: outcome, clusters and predictors must list the same rows, in finite numbers."),
    (ValueError, {"weights": np.zeros(12)}, "f: weights must be a number above zero for each row."),
])  # fmt: skip
def test_what_is_refused(error, change, message):
    """Each refusal says what is needed."""
    y, g, x = world()
    given = {"y": y, "g": g, "x": x, "weights": None} | change
    with pytest.raises(error) as refused:
        crossed("f", given["y"], given["g"], given["x"], "A", weights=given["weights"])
    assert str(refused.value) == message
