"""Means and spreads of two forms of a test in one population, by design, and how each student moves them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from kit.stats.complete import Floats, need_spread, spread_of
from kit.stats.equating.designs import Design, TwoForms

STEP = 1e-30
"""Imaginary step of a derivative; so small that its square vanishes, and without any difference to lose digits in."""


def powers(group: Floats) -> Floats:
    """Lay out a group's columns and all their products; the means of these are all that a line needs.

    Parameters
    ----------
    group : ndarray, shape (n, c)
        One row per student.

    Returns
    -------
    ndarray, shape (n, c + c(c+1)/2)
        Columns, then products of columns.
    """
    first, second = np.triu_indices(group.shape[1])
    return np.hstack([group, group[:, first] * group[:, second]])


def moments(design: Design, means: list[np.ndarray]) -> tuple[complex, complex, complex, complex]:
    r"""Give means and variances of both forms in one population.

    Parameters
    ----------
    design : str
        How the forms were given.
    means : list of ndarray
        Means of `powers`, group by group; real, or with an imaginary step.

    Returns
    -------
    tuple of number
        Mean and variance of form X, mean and variance of form Y; variances with n in the denominator.

    Notes
    -----
    Counterbalanced: both orders count half, whatever their sizes. Anchor: Tucker's method for the population of
    those who took form X: with :math:`\gamma` the slope of Y on the anchor among those who took Y,
    :math:`\mu(Y) = \mu_2(Y) + \gamma(\mu_1(V) - \mu_2(V))` and
    :math:`\sigma^2(Y) = \sigma_2^2(Y) + \gamma^2(\sigma_1^2(V) - \sigma_2^2(V))`.

    References
    ----------
    .. [1] Key ``kolen-brennan-2004``, sections 2.2 and 4.2.
    """
    parts = [_unpacked(part) for part in means]
    if design == "single group":
        mean, spread = parts[0]
        return mean[0], spread[0, 0], mean[1], spread[1, 1]
    (one, spread_one), (two, spread_two) = parts
    if design == "random groups":
        return one[0], spread_one[0, 0], two[0], spread_two[0, 0]
    if design == "anchor":
        slope = spread_two[0, 1] / spread_two[1, 1]
        mean = two[0] + slope * (one[1] - two[1])
        return one[0], spread_one[0, 0], mean, spread_two[0, 0] + slope**2 * (spread_one[1, 1] - spread_two[1, 1])
    mean = (one + two) / 2
    spread = (spread_one + spread_two) / 2 + np.outer(one - two, one - two) / 4
    return mean[0], spread[0, 0], mean[1], spread[1, 1]


def _unpacked(means: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Turn means of columns and products into means and covariances."""
    columns = {2: 1, 5: 2}[means.size]
    mean, square = means[:columns], np.empty((columns, columns), dtype=means.dtype)
    first, second = np.triu_indices(columns)
    square[first, second] = square[second, first] = means[columns:]
    return mean, square - np.outer(mean, mean)


def influences(forms: TwoForms, value: Callable[..., complex]) -> list[Floats]:
    """Work out by how much each student moves a number made from the moments: the delta method.

    Parameters
    ----------
    forms : TwoForms
        Centred scores.
    value : callable
        Takes what `moments` gives, gives one number.

    Returns
    -------
    list of ndarray, shape (n,)
        Group by group; their variances over n add up to the squared standard error.
    """
    laid = [powers(group) for group in forms.groups]
    means = [part.mean(axis=0) for part in laid]
    moved = []
    for at, part in enumerate(laid):
        slopes = np.empty(part.shape[1])
        for column in range(part.shape[1]):
            pushed = [mean.astype(complex) for mean in means]
            pushed[at][column] += 1j * STEP
            slopes[column] = np.imag(value(*moments(forms.design, pushed))) / STEP
        moved.append((part - means[at]) @ slopes)
    return moved


def population(forms: TwoForms) -> tuple[float, float, float, float]:
    """Give means and variances of both forms in one population.

    Parameters
    ----------
    forms : TwoForms
        Centred scores.

    Returns
    -------
    tuple of float
        As `moments`.
    """
    found = moments(forms.design, [powers(group).mean(axis=0) for group in forms.groups])
    mean_x, variance_x, mean_y, variance_y = (float(part) for part in found)
    return mean_x, variance_x, mean_y, variance_y


def need_anchor(function: str, forms: TwoForms, about: str) -> None:
    """Refuse an anchor that does not differ within a group.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    forms : TwoForms
        The scores.

    Raises
    ------
    TooFewError
        If all students of a group have the same anchor score.
    """
    if forms.design == "anchor":
        for scores in forms.scores("anchor"):
            need_spread(function, about, spread_of(scores), what="scores on the items in common")


def need_line(function: str, forms: TwoForms, about: str) -> None:
    """Refuse scores through which no line can be laid.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    forms : TwoForms
        The scores.

    Raises
    ------
    TooFewError
        If scores on a form, or on the anchor, do not differ.
    """
    need_anchor(function, forms, about)
    _, variance_x, _, variance_y = population(forms.centred())
    for form, variance in (("X", variance_x), ("Y", variance_y)):
        scores = np.concatenate(forms.scores(form.lower()))
        spread = 0.0 if variance <= 0 else spread_of(scores)
        need_spread(function, about, spread, what=f"scores on form {form}")
