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


@pytest.mark.parametrize("sizes", [(3, 5, 4), (1_300, 1_250)])
def test_they_are_what_their_name_says(sizes):
    """Few large and many small clusters go different ways and give X'X, X'y and y'y, from averages on."""
    y, g, x = world(sizes=sizes)
    found, whole = crossed("f", y, g, x, "A"), np.column_stack([x - x.mean(axis=0), np.ones(len(y))])
    away = y - y.mean()
    for group in range(len(sizes)):
        rows = whole[g == group]
        assert found.xx[group] == pytest.approx(rows.T @ rows)
        assert found.xy[group] == pytest.approx(rows.T @ away[g == group])
        assert found.yy[group] == pytest.approx(away[g == group] @ away[g == group])
    assert found.sizes.tolist() == list(sizes)
    assert found.centre == pytest.approx([*x.mean(axis=0), 0, y.mean()])
    assert found.coefficients == pytest.approx(np.linalg.lstsq(whole, away, rcond=None)[0])


@pytest.mark.parametrize("sizes", [(3, 5, 4), (1_300, 1_250)])
def test_order_of_rows(sizes):
    """Shuffled rows, and clusters that stand together in another order, give the same under their labels."""
    y, g, x = world(sizes=sizes)
    straight = crossed("f", y, g, x, "A")
    for order in (np.random.default_rng(3).permutation(len(y)), np.argsort(-g, kind="stable")):
        found = crossed("f", y[order], g[order], x[order], "A")
        assert found.xx == pytest.approx(straight.xx)
        assert found.sizes.tolist() == straight.sizes.tolist()
        assert found.labels.tolist() == straight.labels.tolist()


def test_far_from_zero():
    """Columns that lie far from zero, as days counted in seconds do, keep their digits."""
    y, g, x = world()
    near, far = crossed("f", y, g, x, "A"), crossed("f", y + 2e9, g, x + 2e9, "A")
    assert far.coefficients == pytest.approx(near.coefficients, abs=1e-6)
    assert crossed("f", np.full(12, 0.1), g, x, "A").yy.tolist() == [0, 0, 0]


def test_missing_rows():
    """A row with a hole, or without a cluster, is counted and is as if it were not there."""
    y, g, x = world()
    named = np.array(list("aaabbbbbcccc"), dtype=object)
    named[4] = None
    lost = crossed("f", y, named, x, "A")
    assert (lost.dropped, lost.labels.tolist(), lost.sizes.tolist()) == (1, ["a", "b", "c"], [3, 4, 4])
    assert crossed("f", y, np.where(np.arange(12) == 4, np.nan, g), x, "A").xx == pytest.approx(lost.xx)
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
    (ValueError, {"weights": np.full(12, np.inf)}, "f: weights must be a number above zero for each row."),
    (TooFewError, {"x": np.full((12, 1), 0.1)},
     "f: needs predictors that do not follow from one another. A has some."),
    (ValueError, {"x": np.ones((2, 12))},
     "f: outcome, clusters and predictors must list the same rows, in finite numbers."),
    (TooFewError, {"y": np.full(12, np.nan)}, "f: needs 2 choirs. A has 0."),
])  # fmt: skip
def test_what_is_refused(error, change, message):
    """Each refusal says what is needed."""
    y, g, x = world()
    given = {"y": y, "g": g, "x": x, "weights": None} | change
    with pytest.raises(error) as refused:
        crossed("f", given["y"], given["g"], given["x"], "A", weights=given["weights"])
    assert str(refused.value) == message
