"""An original study and its replication side by side: two effects with standard errors in, one Estimate out."""

from __future__ import annotations

import math

from scipy.special import chdtrc

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.complete import upper_tail
from kit.stats.studies.error_ends import interval_around, two_sided_p
from kit.stats.studies.heterogeneity import A_TEST_NUMBER


def replication_prediction(
    original: float, original_error: float, replication_error: float, *, about: str, unit: str, between: float = 0.0,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate where a replication's result would lie if it and the original studied the same effect.

    Wide where either study is small: then nearly every result would agree. It assumes that both results are normal
    around one true effect (or effects that scatter by `between`), with standard errors as good as known, and that
    the original was not picked for its result.

    Parameters
    ----------
    original, original_error : float
        Effect of the original study and its standard error, in `unit`; NaN where missing, which is refused.
    replication_error : float
        Standard error of the replication, in `unit`.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    between : float, optional
        Standard deviation of true effects between studies, in `unit`; 0 for one true effect.
    level : float, optional
        Probability that the interval is made for, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`: the original effect, around it the interval for the replication's; ``n`` counts the two studies.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, `between` below zero, or `level` not between 0
        and 1.
    TooFewError
        If an effect or standard error is missing.

    Notes
    -----
    :math:`y_o \pm z\sqrt{e_o^2+e_r^2+2\tau^2}`.

    References
    ----------
    .. [1] Key ``patil-2016``.

    Examples
    --------
    >>> ahead = replication_prediction(0.5, 0.2622, 0.2242, about="original", unit="SD")
    >>> round(ahead.interval.low, 3), round(ahead.interval.high, 3)
    (-0.176, 1.176)
    """
    tail = upper_tail("replication_prediction", level)
    usable("replication_prediction", about, effects=(original,), errors=(original_error, replication_error))
    if not (math.isfinite(between) and between >= 0):
        raise ValueError(f"replication_prediction: between must be a number from zero on. Got {between!r}.")
    error = math.hypot(original_error, replication_error, math.sqrt(2) * between)
    return Estimate(
        about=about, name="replication_prediction", value=float(original), unit=unit, n=2, counted="studies",
        source="patil-2016",
        interval=interval_around(
            original, error, None, tail, level=level, method="prediction for a replication, normal",
            source="patil-2016",
        ),
    )  # fmt: skip


def replication_difference(
    original: float, original_error: float, replication: float, replication_error: float, *, about: str, unit: str,
    level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate by how much the effect of a replication lies above that of the original.

    It assumes that both results are normal, from different students, with standard errors as good as known.

    Parameters
    ----------
    original, original_error : float
        Effect of the original study and its standard error, in `unit`; NaN where missing, which is refused.
    replication, replication_error : float
        The same of the replication.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`, negative where the replication found less; ``n`` counts the two studies. Its p is that of
        `replication_q`.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, or `level` not between 0 and 1.
    TooFewError
        If an effect or standard error is missing.

    Notes
    -----
    :math:`y_r - y_o \pm z\sqrt{e_o^2+e_r^2}`.

    References
    ----------
    .. [1] Key ``hedges-schauer-2019``.

    Examples
    --------
    >>> apart = replication_difference(0.5, 0.2622, 0.2, 0.2242, about="ours and original", unit="SD")
    >>> round(apart.value, 3), round(apart.p, 3)
    (-0.3, 0.385)
    """
    tail = upper_tail("replication_difference", level)
    errors = (original_error, replication_error)
    usable("replication_difference", about, effects=(original, replication), errors=errors)
    value, error = float(replication - original), math.hypot(*errors)
    return Estimate(
        about=about, name="replication_difference", value=value, unit=unit, n=2, counted="studies",
        source="hedges-schauer-2019", p=two_sided_p(value, error, None),
        interval=interval_around(
            value, error, None, tail, level=level, method="normal, two independent studies",
            source="hedges-schauer-2019",
        ),
    )  # fmt: skip


def replication_q(
    original: float, original_error: float, replication: float, replication_error: float, *, about: str
) -> Estimate:
    r"""Test whether original and replication differ by more than chance: Q of the two.

    Two small studies rarely differ by more than chance, so a large p is no evidence of one effect. It assumes that
    both results are normal, from different students, with standard errors as good as known.

    Parameters
    ----------
    original, original_error : float
        Effect of the original study and its standard error; NaN where missing, which is refused.
    replication, replication_error : float
        The same of the replication, in the same unit.
    about : str
        What the number is about, in words.

    Returns
    -------
    Estimate
        Q, without unit and interval, with p and ``df`` = 1; ``n`` counts the two studies.

    Raises
    ------
    ValueError
        If a number is infinite or a standard error not above zero.
    TooFewError
        If an effect or standard error is missing.

    Notes
    -----
    :math:`Q = (y_o-y_r)^2/(e_o^2+e_r^2)` against :math:`\chi^2_1`. It is below the critical value just where the
    replication lies within `replication_prediction`.

    References
    ----------
    .. [1] Key ``hedges-schauer-2019``.

    Examples
    --------
    >>> test = replication_q(0.5, 0.2622, 0.2, 0.2242, about="ours and original")
    >>> round(test.value, 3), round(test.p, 3)
    (0.756, 0.385)
    """
    errors = (original_error, replication_error)
    usable("replication_q", about, effects=(original, replication), errors=errors)
    value = float((replication - original) ** 2 / (original_error**2 + replication_error**2))
    return Estimate(
        about=about, name="replication_q", value=value, unit="Q", n=2, counted="studies", source="hedges-schauer-2019",
        df=1.0, p=float(chdtrc(1, value)), notes=(A_TEST_NUMBER,),
    )  # fmt: skip


def usable(function: str, about: str, *, effects: tuple[float, ...], errors: tuple[float, ...]) -> None:
    """Refuse missing, infinite or impossible numbers.

    Parameters
    ----------
    function, about : str
        Who asks, and about what.
    effects, errors : tuple of float
        Effects and standard errors that are needed.

    Raises
    ------
    ValueError
        If a number is infinite or a standard error not above zero.
    TooFewError
        If a number is missing.
    """
    if any(math.isnan(number) for number in (*effects, *errors)):
        raise TooFewError(f"{function}: needs each effect with its standard error. {about} lacks one.")
    if any(math.isinf(number) for number in (*effects, *errors)):
        raise ValueError(f"{function}: effects and errors must be finite. Got {effects!r} and {errors!r}.")
    if min(errors) <= 0:
        raise ValueError(f"{function}: errors must be above zero. Got {min(errors)!r}.")
