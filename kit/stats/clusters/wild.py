"""The restricted wild cluster bootstrap: a p-value and, by turning the test round, an interval for few choirs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.clusters.choirs import NO_SPREAD_OF_CHOIRS
from kit.stats.clusters.crossproducts import Crossed, crossed
from kit.stats.complete import Floats, upper_tail

WEBB = np.array([-np.sqrt(1.5), -1.0, -np.sqrt(0.5), np.sqrt(0.5), 1.0, np.sqrt(1.5)])
"""Webb's six weights."""
SIGNS = 2.0 * np.unpackbits(np.arange(256, dtype=np.uint8)[:, None], axis=1) - 1.0
"""The eight signs that a byte stands for."""
FEW = 12
"""Choirs up to which six weights are drawn; with more, signs alone give enough different draws (our rule)."""
FARTHEST = 1_000.0
"""Standard errors from the value beyond which an end of the interval is taken as without limit."""
STEPS = 30
FEWEST_DRAWS = 99
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
        Each student's choir; a student without one (None or NaN) is left out and counted.
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
        If rows differ in number, a number is infinite, there is no predictor, or `draws` is below 99.
    TooFewError
        If there are fewer than 2 choirs, or a predictor follows from the others.

    Notes
    -----
    Residuals of the model in which the weight is the one tested are multiplied by one random number for each choir
    (signs; Webb's six numbers for up to 12 choirs where not all signs are gone through), and the cluster-robust t of
    the new scores is compared with that of the real ones. Enumerated signs come in pairs that give the same size of t,
    so one choir's sign stays. A draw's :math:`t^2` less the real one, times its variance, is a polynomial of the fourth
    degree in the weight tested: the draws are made once, and turning the test round only evaluates it.

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
    if draws < FEWEST_DRAWS:
        raise ValueError(f"cluster_wild: draws must be at least {FEWEST_DRAWS}. Got {draws!r}.")
    model = crossed("cluster_wild", outcome, clusters, predictors, about)
    if len(model.xx[0]) < 2:
        raise ValueError("cluster_wild: needs a predictor.")
    rest, test = model.rest(model.coefficients), _test(model, draws, rng)
    options = {
        "about": about, "name": "cluster_wild", "value": test.value, "unit": unit, "n": int(model.sizes.sum()),
        "clusters": len(model.sizes), "source": "cameron-2008", "dropped": model.dropped,
    }  # fmt: skip
    if rest == 0 or test.error**2 <= TIES**2 * rest * model.inverse[0, 0] / options["n"]:
        return Estimate(**options, notes=(NO_SPREAD_OF_CHOIRS if rest else NO_RESIDUALS,))
    low, high = (_end(test, 2 * (1 - tail), side) for side in (-1, 1))
    method = "wild cluster bootstrap-t turned round, " + ("all signs" if test.all_signs else f"{draws:,} draws")
    return Estimate(
        **options, p=test.p_of(0.0), notes=(NO_LIMIT,) if np.isinf([low, high]).any() else (),
        interval=Interval(low=low, high=high, level=level, method=method, source="cameron-2008"),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Test:
    """The test of any weight: value and standard error of the real scores, and what each draw makes of a weight.

    A column of `quartics`, shape (5, draws), gives the coefficients of how much farther from zero a draw's t is than
    the real one, by the distance of the weight from the value in standard errors.
    """

    value: float
    error: float
    quartics: Floats
    all_signs: bool

    def p_of(self, weight: float) -> float:
        """Share of draws whose t is at least as far from zero as the real one."""
        off = (weight - self.value) / self.error
        draws = self.quartics.shape[1]
        hits = int(np.count_nonzero(off ** np.arange(5) @ self.quartics >= 0))
        return hits / draws if self.all_signs else (hits + 1) / (draws + 1)


def _test(model: Crossed, draws: int, rng: np.random.Generator) -> _Test:
    """Draw, about the real value: everything about the new scores is linear in the weight tested."""
    inverse, coefficients, groups = model.inverse, model.coefficients, len(model.sizes)
    asked = inverse[0]
    real = model.scores(coefficients)
    error = float(np.sqrt(((real @ asked) ** 2).sum()))
    # with the first weight one standard error higher, the others move along and so do the scores
    slope = np.append(1.0, -np.linalg.solve(model.total[1:-1, 1:-1], model.total[1:-1, 0])) * error
    parts = _parts((real, model.xx @ slope), asked, (model.xx @ asked) @ inverse)
    all_signs = groups < np.iinfo(np.int64).bits - 1 and 2**groups <= draws + 1
    if groups <= FEW and not all_signs:
        weights = WEBB[rng.integers(0, WEBB.size, (draws, groups), dtype=np.uint8)]
        sums, squares = weights @ parts.linear, weights**2 @ parts.squares
    else:
        eights = _all_signs(groups) if all_signs else rng.integers(0, 256, (draws, -(-groups // 8)), dtype=np.uint8)
        sums, squares = _signed(eights, parts.linear), parts.squares.sum(axis=0, keepdims=True)
    return _Test(float(coefficients[0]), error, _quartics(sums, squares, parts), all_signs)


def _all_signs(groups: int) -> np.ndarray:
    """Give all signs, the first choir's held fast, eight in a byte: shape (2 ** (groups - 1), bytes)."""
    eights = -(-groups // 8)
    patterns = np.arange(2 ** (groups - 1), dtype=np.uint64) << np.uint64(8 * eights - groups)
    return patterns.astype(">u8").view(np.uint8).reshape(-1, 8)[:, 8 - eights :]


def _signed(eights: np.ndarray, rows: Floats) -> Floats:
    """Sum the rows of all choirs under each draw's signs, those of eight choirs looked up together."""
    padded = np.zeros((8 * eights.shape[1], rows.shape[1]))
    padded[: len(rows)] = rows
    sums = np.zeros((len(eights), rows.shape[1]))
    for of_eight, signs in zip(padded.reshape(-1, 8, rows.shape[1]), eights.T, strict=True):
        sums += np.take(SIGNS @ of_eight, signs, axis=0)
    return sums


@dataclass(frozen=True, slots=True)
class _Parts:
    """What each cluster gives to the new scores, real ones and those of a step of the weight tested side by side.

    Attributes
    ----------
    linear : ndarray, shape (G, 4p)
        The scores, and each cluster's own part of the weight times how the weight answers to scores: twice p, twice p.
    squares : ndarray, shape (G, 3)
        Products of the clusters' own parts: real twice, mixed, step twice.
    asked, answers : ndarray, shape (p,) and (p, p)
        The weight tested from scores; squares of the clusters' answers to scores.
    """

    linear: Floats
    squares: Floats
    asked: Floats
    answers: Floats


def _parts(scores: tuple[Floats, Floats], asked: Floats, through: Floats) -> _Parts:
    """Lay out what is multiplied with every draw, so that no number of draws times clusters is made but the weights."""
    own = [one @ asked for one in scores]
    linear = np.hstack([*scores, *(one[:, None] * through for one in own)])
    squares = np.column_stack([own[0] * own[0], own[0] * own[1], own[1] * own[1]])
    return _Parts(linear, squares, asked, through.T @ through)


def _quartics(sums: Floats, squares: Floats, parts: _Parts) -> Floats:
    """Compare each draw's squared t with the real one's, cleared of fractions, for all weights tested at once."""
    new, new_step, back, back_step = np.hsplit(sums, 4)
    # the new weight less the one tested
    top, step = new @ parts.asked, new_step @ parts.asked
    # squares of each cluster's part less its answer to all new scores, multiplied out
    size, mixed, size_step = squares.T
    answer, answer_step = new @ parts.answers, new_step @ parts.answers
    size = size + _dots(new, answer - 2 * back)
    mixed = mixed + _dots(new, answer_step - back_step) - _dots(new_step, back)
    size_step = size_step + _dots(new_step, answer_step - 2 * back_step)
    kept = (1 - TIES) ** 2
    # (top - off * step)^2 >= off^2 * (size - 2 * off * mixed + off^2 * size_step)
    return np.stack([top**2, -2 * top * step, step**2 - kept * size, 2 * kept * mixed, -kept * size_step])


def _dots(one: Floats, other: Floats) -> Floats:
    """Multiply row by row."""
    return np.einsum("dp,dp->d", one, other)


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
