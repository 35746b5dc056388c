"""The restricted wild cluster bootstrap: a p-value and, by turning the test round, an interval for few choirs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.cluster_crossproducts import Crossed, crossed
from kit.stats.complete import Floats, upper_tail

WEBB = np.array([-np.sqrt(1.5), -1.0, -np.sqrt(0.5), np.sqrt(0.5), 1.0, np.sqrt(1.5)])
"""Webb's six weights."""
FEW = 12
"""Choirs up to which six weights are drawn; with more, signs alone give enough different draws (our rule)."""
FARTHEST = 1_000.0
"""Standard errors from the value beyond which an end of the interval is taken as without limit."""
STEPS = 40
TIES = 1e-9
NO_RESIDUALS = "Every score follows from the model exactly, so there is nothing to draw from."
NO_LIMIT = (
    "With so few choirs some differences cannot be refuted, however large: that end of the interval has no limit."
)


def cluster_wild(
    outcome: ArrayLike,
    clusters: ArrayLike,
    predictors: ArrayLike,
    *,
    about: str,
    unit: str,
    rng: np.random.Generator,
    draws: int = 9_999,
    level: float = 0.95,
) -> Estimate:
    r"""Estimate the weight of the first predictor, tested by the restricted wild cluster bootstrap-t.

    It assumes choirs that are independent of each other; students of one choir may be alike in any way.

    Parameters
    ----------
    outcome : array_like, shape (n,)
        One number for each student; rows with a missing number (NaN) are left out and counted.
    clusters : array_like, shape (n,)
        Each student's choir.
    predictors : array_like, shape (n,) or (n, k)
        Predictors without the intercept, which is added; the first is the one asked about.
    about, unit : str
        Whom and what the number is about, and its unit.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int, optional
        How many draws; where all patterns of signs are fewer, they are gone through instead.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        The interval's ends are where the test's p-value crosses 1 - `level`; an end may be without limit.

    Raises
    ------
    ValueError
        If rows differ in number or a number is infinite.
    TooFewError
        If there are fewer than 2 choirs, or a predictor follows from the others.

    Notes
    -----
    Residuals of the model in which the weight is the one tested are multiplied by one random number for each choir
    (signs; Webb's six numbers for up to 12 choirs where not all signs are gone through), and the cluster-robust t of
    the new scores is compared with that of the real ones. Enumerated signs come in pairs that give the same size of t.

    References
    ----------
    .. [1] Key ``cameron-2008``.
    .. [2] Key ``webb-2023``.

    Examples
    --------
    >>> scores, choirs = [1, 3, 2, 4, 6, 8, 5, 7], list("aabbccdd")
    >>> found = cluster_wild(scores, choirs, [0] * 4 + [1] * 4, about="the example", unit="points",
    ...                      rng=np.random.default_rng(1))
    >>> found.value, found.p
    (4.0, 0.125)
    """
    tail = upper_tail("cluster_wild", level)
    model = crossed("cluster_wild", outcome, clusters, predictors, about)
    test = _test(model, *_weights(len(model.sizes), draws, rng))
    options = {
        "about": about, "name": "cluster_wild", "value": test.value, "unit": unit, "n": int(model.sizes.sum()),
        "clusters": len(model.sizes), "source": "cameron-2008", "dropped": model.dropped,
    }  # fmt: skip
    if test.error <= TIES * max(1.0, float(np.sqrt(model.yy.mean()))):
        return Estimate(**options, notes=(NO_RESIDUALS,))
    low, high = (_end(test, 2 * (1 - tail), side) for side in (-1, 1))
    method = "wild cluster bootstrap-t turned round, " + ("all signs" if test.all_signs else f"{draws} draws")
    return Estimate(
        **options, p=test.p_of(0.0), notes=(NO_LIMIT,) if np.isinf([low, high]).any() else (),
        interval=Interval(low=low, high=high, level=level, method=method, source="cameron-2008"),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Test:
    """The test of any weight: value and standard error of the real scores, and p as a function of the weight."""

    value: float
    error: float
    p_of: Callable[[float], float]
    all_signs: bool


def _weights(groups: int, draws: int, rng: np.random.Generator) -> tuple[Floats, bool]:
    """Give all signs where they are no more than the draws, else random ones."""
    if groups < np.iinfo(np.int64).bits - 1 and 2**groups <= draws + 1:
        signs = (np.arange(2**groups)[:, None] >> np.arange(groups)) & 1
        return 2.0 * signs - 1.0, True
    if groups <= FEW:
        return WEBB[rng.integers(0, WEBB.size, (draws, groups), dtype=np.uint8)], False
    return 2.0 * rng.integers(0, 2, (draws, groups), dtype=np.uint8) - 1.0, False


def _test(model: Crossed, weights: Floats, all_signs: bool) -> _Test:
    """Prepare what does not depend on the weight tested: everything about the new scores is linear in it."""
    inverse, coefficients = model.inverse, model.coefficients
    asked = inverse[0]
    error = float(np.sqrt(((model.scores(coefficients) @ asked) ** 2).sum()))
    others = np.arange(1, len(coefficients))
    total, cross = model.xx.sum(axis=0), model.xy.sum(axis=0)
    base, slope = np.zeros_like(coefficients), np.zeros_like(coefficients)
    base[others] = np.linalg.solve(total[np.ix_(others, others)], cross[others])
    slope[0], slope[others] = 1.0, -np.linalg.solve(total[np.ix_(others, others)], total[others, 0])
    # scores of the model restricted to weight h: at_zero - h * per_unit
    at_zero, per_unit = model.scores(base), model.xx @ slope
    through = (model.xx @ asked) @ inverse
    drawn = [_parts(weights, scores, asked, through) for scores in (at_zero, per_unit)]
    real = float(coefficients[0])

    def p_of(weight: float) -> float:
        """Share of draws whose t is at least as far from zero as the real one."""
        top, each = (one - weight * other for one, other in zip(*drawn, strict=True))
        size = np.sqrt(np.einsum("dg,dg->d", each, each))
        far = np.abs(top) >= abs(real - weight) / error * size * (1 - TIES)
        hits = int(far.sum())
        return hits / far.size if all_signs else (hits + 1) / (far.size + 1)

    return _Test(real, error, p_of, all_signs)


def _parts(weights: Floats, scores: Floats, asked: Floats, through: Floats) -> tuple[Floats, Floats]:
    """Give for each draw the new weight less the one tested, and each cluster's part of its standard error."""
    new = weights @ scores
    return new @ asked, weights * (scores @ asked) - new @ through.T


def _end(test: _Test, alpha: float, side: int) -> float:
    """Find the weight at which p crosses alpha, on one side of the value."""
    inside, step = 0.0, 1.0
    while test.p_of(test.value + side * step * test.error) > alpha:
        inside, step = step, 2 * step
        if step > FARTHEST:
            return side * float("inf")
    outside = step
    for _ in range(STEPS):
        middle = (inside + outside) / 2
        if test.p_of(test.value + side * middle * test.error) > alpha:
            inside = middle
        else:
            outside = middle
    return float(test.value + side * outside * test.error)
