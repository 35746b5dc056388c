"""How often a study of whole choirs would notice a difference, by simulating it: a plan in, one Estimate out."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtrit

from kit.estimate import Estimate
from kit.stats.complete import Floats, proportion, upper_tail
from kit.stats.power.clusters import degrees_of_freedom
from kit.stats.proportions.shares import share_wilson

BLOCK = 1 << 16
"""Choirs drawn at once: small enough to stay in the processor's cache."""
MEANS_ARE_ENOUGH = (
    "Simulated: the means of choirs are drawn, which is all that the comparison uses; its interval is that of the "
    "simulation."
)


def power_simulated(
    *,
    choirs: tuple[int, int],
    students: ArrayLike,
    icc: float,
    difference: float,
    about: str,
    rng: np.random.Generator,
    correlations: tuple[float, float] | None = None,
    draws: int = 5_000,
    level: float = 0.95,
) -> Estimate:
    r"""Simulate how often choirs assigned at random would show a difference, by their means.

    Each simulated study compares choir means, adjusted for the choirs' means at a first test where there is one.
    It assumes normal scores with the same spread and the same share of it between choirs at both tests; choirs may
    differ in size, and which sizes go to which group is drawn anew each time.

    Parameters
    ----------
    choirs : tuple of int
        Choirs in the program and in the comparison group.
    students : array_like, shape () or (sum of choirs,)
        Students tested in each choir: one number for all, or one for each. There are no missing values here.
    icc : float
        Share of the variance of scores that lies between choirs, 0 to 1.
    difference : float
        True difference at the second test, in SD of all students' scores.
    about : str
        Whom the number is about, in words.
    rng : numpy.random.Generator
        Source of the draws; its seed is printed in the report.
    correlations : tuple of float or None, optional
        Correlation of the two tests between choirs and between students of one choir, each inside -1 to 1; None: no
        first test.
    draws : int, optional
        How many studies are simulated, at least 100.
    level : float, optional
        Confidence level of the interval that must leave zero out, and of the interval of the simulation.

    Returns
    -------
    Estimate
        A ``"share"`` of the simulated studies, with Wilson's interval for their number.

    Raises
    ------
    ValueError
        If a share, a correlation or a number cannot be.
    TooFewError
        If a group has fewer than 2 choirs, or the first test would leave fewer than 4 degrees of freedom.

    Notes
    -----
    Means of choirs are bivariate normal with variances :math:`v_j = \rho + (1-\rho)/n_j` and covariances
    :math:`\rho r_2 + (1-\rho) r_1 / n_j`. Every study is tested by Student's t of the (adjusted) difference with
    :math:`J_1 + J_2 - 2` degrees of freedom, one fewer with a first test.

    References
    ----------
    .. [1] Keys ``raudenbush-1997``, ``newcombe-1998a``.

    Examples
    --------
    >>> found = power_simulated(choirs=(10, 10), students=25, icc=0.2, difference=0.64, about="the plan",
    ...                         rng=np.random.default_rng(1))
    >>> 0.77 < found.value < 0.83
    True
    """
    name, tail = "power_simulated", upper_tail("power_simulated", level)
    _check(icc, difference, correlations, draws)
    df = degrees_of_freedom(name, about, choirs, covariates=int(correlations is not None))
    sizes = _sizes(choirs, students)
    step = max(1, BLOCK // sum(choirs))
    noticed = 0
    for start in range(0, draws, step):
        pre, post = _means(sizes, icc, correlations, rng, min(step, draws - start))
        post[:, : choirs[0]] += difference
        t = difference_t(post, pre, program=choirs[0])
        noticed += int((np.abs(t) > stdtrit(df, tail)).sum())
    share = share_wilson(noticed, draws, about=about, level=level)
    return Estimate(
        about=about, name="power_simulated", value=share.value, unit="share", n=draws, counted="simulated studies",
        clusters=sum(choirs), df=float(df), interval=share.interval, source="raudenbush-1997",
        notes=(MEANS_ARE_ENOUGH,),
    )  # fmt: skip


def difference_t(post: Floats, pre: Floats | None, *, program: int) -> Floats:
    """Give Student's t of the difference of two groups of choir means, for many studies at once.

    Parameters
    ----------
    post : ndarray, shape (..., j)
        Means of the j choirs at the second test, those of the program group first.
    pre : ndarray, shape (..., j), or None
        Their means at the first test, for which the difference is adjusted.
    program : int
        Choirs in the program group.

    Returns
    -------
    ndarray, shape (...)
        Without unit; with j - 2 degrees of freedom, one fewer with a first test.
    """
    choirs = post.shape[-1]
    apart, away = _apart_and_away(post, program)
    squares = np.einsum("...j,...j->...", away, away)
    weight = 1 / program + 1 / (choirs - program)
    if pre is None:
        return apart / np.sqrt(squares / (choirs - 2) * weight)
    apart_before, away_before = _apart_and_away(pre, program)
    squares_before = np.einsum("...j,...j->...", away_before, away_before)
    products = np.einsum("...j,...j->...", away_before, away)
    slope = products / squares_before
    left = (squares - slope * products) / (choirs - 3)
    return (apart - slope * apart_before) / np.sqrt(left * (weight + apart_before**2 / squares_before))


def _apart_and_away(means: Floats, program: int) -> tuple[Floats, Floats]:
    """Difference of the two groups, and every choir's distance from the mean of its group."""
    one, other = means[..., :program], means[..., program:]
    first, second = one.mean(axis=-1, keepdims=True), other.mean(axis=-1, keepdims=True)
    return (first - second)[..., 0], np.concatenate([one - first, other - second], axis=-1)


def _means(
    sizes: Floats, icc: float, correlations: tuple[float, float] | None, rng: np.random.Generator, studies: int
) -> tuple[Floats | None, Floats]:
    """Draw the means of choirs at the first test (if there is one) and at the second, shape (studies, choirs)."""
    shape = (studies, sizes.size)
    if (sizes != sizes[0]).any():
        sizes = rng.permuted(np.broadcast_to(sizes, shape), axis=1)
    spread = np.sqrt(icc + (1 - icc) / sizes)
    post = rng.standard_normal(shape)
    if correlations is None:
        return None, post * spread
    pre = rng.standard_normal(shape)
    between, within = correlations
    r = (icc * between + (1 - icc) * within / sizes) / spread**2
    post *= np.sqrt(1 - r**2)
    post += r * pre
    return pre * spread, post * spread


def _sizes(choirs: tuple[int, int], students: ArrayLike) -> Floats:
    """Give the size of every choir; refuse sizes that cannot be."""
    sizes = np.asarray(students, dtype=float)
    if not (sizes >= 1).all() or np.isinf(sizes).any() or sizes.shape not in ((), (sum(choirs),)):
        raise ValueError(
            f"power_simulated: students must be one number from 1, or one for each of {sum(choirs)} choirs. "
            f"Got {students!r}."
        )
    return np.broadcast_to(sizes, sum(choirs)).copy()


def _check(icc: float, difference: float, correlations: tuple[float, float] | None, draws: int) -> None:
    """Refuse what cannot be."""
    proportion("power_simulated", "icc", icc)
    if not math.isfinite(difference):
        raise ValueError(f"power_simulated: difference must be finite. Got {difference!r}.")
    if correlations is not None and not all(-1 < r < 1 for r in correlations):
        raise ValueError(f"power_simulated: correlations must lie between -1 and 1. Got {correlations!r}.")
    if draws < 100:
        raise ValueError(f"power_simulated: draws must be at least 100. Got {draws!r}.")
