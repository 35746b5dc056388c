"""Learning and forgetting: how the chance of a right try moves with practice done and with days gone by."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail
from kit.stats.learning.crossed_cells import Tries, coded, gathered
from kit.stats.learning.crossed_logistic import CrossedFit, fit_crossed

LEAST_TRIES = 20
FARTHEST = 12.0
"""Log-odds between two tries beyond which a fit means that practice parts right from wrong completely."""
ONE_SINGER = "All tries are of one student, so nothing is known about how students differ."
ONE_ITEM = "All tries are at one item, so nothing is known about how items differ."
DESCRIBES = "This describes how tries went; it does not show that practice is the reason."


@dataclass(frozen=True, slots=True)
class PracticeRates:
    """Learning and forgetting from one fit.

    Attributes
    ----------
    learning : Estimate
        Coefficient of log(1 + times practised), in log-odds.
    forgetting : Estimate or None
        Coefficient of log(1 + days since); None where the days do not differ.
    fit : CrossedFit
        The whole fit: constant, learning, forgetting.
    """

    learning: Estimate
    forgetting: Estimate | None
    fit: CrossedFit


def practice_rates(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, times: ArrayLike, days: ArrayLike, *, about: str,
    level: float = 0.95,
) -> PracticeRates:  # fmt: skip
    """Estimate learning and forgetting together, from one fit.

    Parameters
    ----------
    right, students, items, times, days : array_like, shape (n,)
        The tries, as for `learning_rate`; rules and formula are the same.
    about : str
        Whom and what the numbers are about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    PracticeRates
        Both rates.

    Raises
    ------
    TooFewError
        If there are fewer than 20 tries, all are right or all wrong, the times do not differ, times and days move
        together, or practice parts right from wrong completely.

    References
    ----------
    .. [1] Key ``bates-2015``.
    """
    return _rates("practice_rates", (right, students, items, times, days), about, level)


def learning_rate(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, times: ArrayLike, days: ArrayLike, *, about: str,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate how the chance of a right try rises with practice, days since the last practice held equal.

    It assumes that students and items differ by normal amounts in log-odds, learn at one rate, and that tries are
    independent given both.

    Parameters
    ----------
    right : array_like, shape (n,)
        1 where a first try was right, 0 where wrong; NaN where missing, which is left out.
    students, items : array_like, shape (n,)
        Of whom, and at what (pattern or degree).
    times : array_like, shape (n,)
        How often it was practised before the try; NaN is left out.
    days : array_like, shape (n,)
        Days since it was last practised; not looked at where `times` is 0, else NaN is left out.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"log-odds"`` for each unit of log(1 + times), positive where practice goes with more right tries; p is
        that of no relation.

    Raises
    ------
    TooFewError
        If there are fewer than 20 tries, all are right or all wrong, the times do not differ, times and days move
        together, or practice parts right from wrong completely.
    ValueError
        If lists differ in length, `right` is not 0 or 1, times or days are below 0, or `level` is not between 0 and 1.

    Notes
    -----
    :math:`\mathrm{logit}\,p = \beta_0 + \beta_1\log(1+\mathrm{times}) + \beta_2\log(1+\mathrm{days}) + u + v`, with u
    and v normal deviations of student and item; maximum likelihood by Laplace's approximation, Wald interval. Twice
    the practice multiplies the odds by about :math:`2^{\beta_1}`. Where the days do not differ, their term is left
    out. A student who learns faster than others is not modelled.

    References
    ----------
    .. [1] Key ``bates-2015``.

    Examples
    --------
    >>> right = [0, 0, 1, 0, 1, 1, 0, 1, 1, 1] * 4
    >>> who = [name for name in "abcd" for _ in range(10)]
    >>> rate = learning_rate(right, who, ["d"] * 40, list(range(10)) * 4, [2] * 40, about="the example")
    >>> round(rate.value, 3), rate.interval.low > 0
    (2.365, True)
    """
    return _rates("learning_rate", (right, students, items, times, days), about, level).learning


def forgetting_rate(
    right: ArrayLike, students: ArrayLike, items: ArrayLike, times: ArrayLike, days: ArrayLike, *, about: str,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate how the chance of a right try falls with days since the last practice, times practised held equal.

    It assumes what `learning_rate` does: students and items that differ by normal amounts in log-odds, one rate for
    all, and tries that are independent given both.

    Parameters
    ----------
    right, students, items, times, days : array_like, shape (n,)
        The tries, as for `learning_rate`; missing ones are left out as there.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"log-odds"`` for each unit of log(1 + days), negative where right tries fade.

    Raises
    ------
    TooFewError
        As for `learning_rate`, and if the days do not differ.
    ValueError
        As for `learning_rate`.

    Notes
    -----
    :math:`\beta_2` of the formula of `learning_rate`.

    References
    ----------
    .. [1] Key ``bates-2015``.

    Examples
    --------
    >>> right = [1, 1, 1, 0, 1, 0, 0, 1, 0, 0] * 4
    >>> who = [name for name in "abcd" for _ in range(10)]
    >>> times = [3, 5, 4, 6, 3, 5, 6, 4, 5, 3] * 4
    >>> rate = forgetting_rate(right, who, ["d"] * 40, times, list(range(10)) * 4, about="the example")
    >>> rate.value < 0
    True
    """
    found = _rates("forgetting_rate", (right, students, items, times, days), about, level).forgetting
    if found is None:
        raise TooFewError(f"forgetting_rate: needs days since practice that differ. {about} has none that do.")
    return found


def _rates(function: str, columns: tuple[ArrayLike, ...], about: str, level: float) -> PracticeRates:
    """Check, fit, and lay out."""
    tail = upper_tail(function, level)
    tries, practised, since = _practised(function, *columns)
    _need_enough(function, about, tries, practised)
    again = since[practised > 0]
    covariates = [practised, since] if again.size and np.ptp(again) > 0 else [practised]
    if len(covariates) == 2 and abs(np.corrcoef(practised, since)[0, 1]) > 1 - 1e-9:
        raise TooFewError(f"{function}: needs times and days that do not move together. Those of {about} do.")
    fit = fit_crossed(gathered(tries, *covariates))
    if _is_parted(fit, covariates):
        raise TooFewError(
            f"{function}: needs right and wrong tries after the same practice. {about} has almost none, so any steep "
            "rate fits."
        )
    notes = (DESCRIBES, *_notes_on(tries))
    made = [
        _estimate(name, fit, at, about=about, level=level, tail=tail, dropped=tries.dropped, notes=notes)
        for at, name in enumerate(("learning_rate", "forgetting_rate")[: len(covariates)], start=1)
    ]
    return PracticeRates(made[0], made[1] if len(made) == 2 else None, fit)


def _is_parted(fit: CrossedFit, covariates: list[Floats]) -> bool:
    """Whether practice parts right from wrong so well that the rate could be anything steep."""
    variances = np.diag(fit.covariance)[1:]
    if not np.isfinite(variances).all() or (variances <= 0).any():
        return True
    most = np.maximum(np.abs(fit.coefficients[1:]), np.sqrt(variances))
    return bool((most * [np.ptp(column) for column in covariates] > FARTHEST).any())


def _practised(function: str, *columns: ArrayLike) -> tuple[Tries, Floats, Floats]:
    """Keep tries whose practice is known, and take logarithms."""
    right, students, items, times, days = columns
    done, since = np.asarray(times, dtype=float), np.asarray(days, dtype=float)
    if done.shape == since.shape:
        since = np.where(done == 0, 0.0, since)
    for name, values in {"times": done, "days": since}.items():
        if (values < 0).any():
            raise ValueError(f"{function}: {name} must be 0 or more. Got {float(np.nanmin(values)):g}.")
    tries = coded(function, right, students, items, times=done, days=since)
    return tries, np.log1p(done[tries.rows]), np.log1p(since[tries.rows])


def _need_enough(function: str, about: str, tries: Tries, practised: Floats) -> None:
    """Refuse what no rate can be read from."""
    need(function, about, tries.right.size, least=LEAST_TRIES, what="tries with known practice")
    if np.ptp(tries.right) == 0:
        word = "right" if tries.right[0] else "wrong"
        raise TooFewError(f"{function}: needs right and wrong tries. All of {about} are {word}.")
    if np.ptp(practised) == 0:
        raise TooFewError(f"{function}: needs tries after different practice. {about} has none.")


def _notes_on(tries: Tries) -> tuple[str, ...]:
    """Say which spread is not there."""
    lone = (ONE_SINGER, len(tries.student_labels)), (ONE_ITEM, len(tries.item_labels))
    return tuple(note for note, size in lone if size == 1)


def _estimate(name: str, fit: CrossedFit, at: int, *, level: float, tail: float, **told) -> Estimate:  # noqa: ANN003
    """Lay out one coefficient with its Wald interval and p-value."""
    value, error = float(fit.coefficients[at]), float(np.sqrt(fit.covariance[at, at]))
    half = float(ndtri(tail)) * error
    method = "mixed logistic regression, Laplace's approximation, Wald interval"
    return Estimate(
        name=name, value=value, unit="log-odds", n=fit.n, counted="tries", source="bates-2015",
        interval=Interval(low=value - half, high=value + half, level=level, method=method, source="bates-2015"),
        p=float(2 * ndtr(-abs(value) / error)), **told,
    )  # fmt: skip
