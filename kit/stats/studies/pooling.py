"""Several studies of one question taken together: effects with standard errors in, one Estimate out."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.complete import spread_of, upper_tail
from kit.stats.studies.between_studies import (
    Estimator,
    Studies,
    between_variance,
    studies_of,
    weighted_mean,
    weighted_squares,
)
from kit.stats.studies.error_ends import interval_around, quantile, two_sided_p

PooledInterval = Literal["hartung_knapp", "normal"]
PredictionEnds = Literal["t", "normal"]

ALL_ALIKE = "All studies gave the same effect, so their spread gives no interval."
NARROWER_THAN_NORMAL = (
    "The studies lie closer together than chance alone would have them, so this interval is narrower than their "
    "standard errors allow: read it beside the normal one."
)
ESTIMATORS = {
    "reml": "restricted maximum likelihood",
    "paule_mandel": "Paule-Mandel",
    "dersimonian_laird": "DerSimonian-Laird",
    "none": "one true effect",
}


def pooled_effect(
    effects: ArrayLike, errors: ArrayLike, *, about: str, unit: str, estimator: Estimator = "reml",
    interval: PooledInterval = "hartung_knapp", level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate the average effect of several studies, each weighted by its precision.

    It assumes independent studies whose true effects scatter normally around one mean (with ``estimator="none"``:
    that there is one true effect), and standard errors as good as known.

    Parameters
    ----------
    effects, errors : array_like, shape (k,)
        Effect of each study and its standard error, in `unit`. A study with either missing (NaN) is left out and
        counted in ``dropped``.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    estimator : {"reml", "paule_mandel", "dersimonian_laird", "none"}, optional
        How the scatter of the true effects is estimated.
    interval : {"hartung_knapp", "normal"}, optional
        Hartung-Knapp lets the observed scatter set the width; normal takes it as known and is too narrow with few
        studies.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`; ``n`` counts studies. With Hartung-Knapp and no scatter at all: no interval, and a note says so.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, the lists differ in length, or `level` is not
        between 0 and 1.
    UnknownChoiceError
        If `estimator` or `interval` is another word.
    TooFewError
        If fewer than 2 studies have an effect and its standard error.

    Notes
    -----
    :math:`\hat\mu = \sum w_i y_i/\sum w_i`, :math:`w_i = 1/(v_i+\hat\tau^2)`. Normal:
    :math:`\hat\mu \pm z/\sqrt{\sum w_i}`. Hartung-Knapp:
    :math:`\hat\mu \pm t_{k-1}\sqrt{\sum w_i (y_i-\hat\mu)^2/((k-1)\sum w_i)}`.

    References
    ----------
    .. [1] Keys ``dersimonian-laird-1986``, ``viechtbauer-2005`` and ``paule-mandel-1982`` (scatter),
       ``hartung-knapp-2001`` (interval).

    Examples
    --------
    >>> pooled = pooled_effect(
    ...     [0.5, 0.2], [0.2622, 0.2242], estimator="none", interval="normal", about="both", unit="SD"
    ... )
    >>> round(pooled.value, 3), round(pooled.interval.low, 3), round(pooled.interval.high, 3)
    (0.327, -0.007, 0.661)
    """
    tail = upper_tail("pooled_effect", level)
    if interval not in get_args(PooledInterval):
        raise UnknownChoiceError("pooled_effect", "interval", interval, get_args(PooledInterval))
    studies = studies_of("pooled_effect", effects, errors, about, least=2)
    between = between_variance("pooled_effect", studies, estimator)
    mean, error = weighted_mean(studies, between)
    ratio, knapp = _scatter_ratio(studies, between), interval == "hartung_knapp"
    value, error = mean * studies.scale, error * studies.scale * (ratio if knapp else 1.0)
    made = {"level": level, "source": "hartung-knapp-2001" if knapp else "dersimonian-laird-1986"}
    method = f"{'Hartung-Knapp' if knapp else 'normal'}, {ESTIMATORS[estimator]}"
    df = float(studies.k - 1) if knapp else None
    notes = (ALL_ALIKE,) if error == 0 else (NARROWER_THAN_NORMAL,) if knapp and ratio < 1 else ()
    return Estimate(
        about=about, name="pooled_effect", value=value, unit=unit, n=studies.k, counted="studies",
        source="dersimonian-laird-1986", dropped=studies.dropped, df=df, notes=notes,
        interval=interval_around(value, error, df, tail, method=method, **made), p=two_sided_p(value, error, df),
    )  # fmt: skip


def prediction_interval(
    effects: ArrayLike, errors: ArrayLike, *, about: str, unit: str, estimator: Estimator = "reml",
    ends: PredictionEnds = "t", level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate where the true effect of one more study like these would lie.

    It assumes independent studies whose true effects scatter normally around one mean, and standard errors as good
    as known. With few studies it is wide because it must be.

    Parameters
    ----------
    effects, errors : array_like, shape (k,)
        Effect of each study and its standard error, in `unit`. A study with either missing (NaN) is left out and
        counted in ``dropped``.
    about, unit : str
        What the number is about, in words; unit of the effects, such as ``"SD"``.
    estimator : {"reml", "paule_mandel", "dersimonian_laird", "none"}, optional
        How the scatter of the true effects is estimated.
    ends : {"t", "normal"}, optional
        Student's t with k - 2 degrees of freedom, as first proposed, or normal ends, too narrow with few studies.
    level : float, optional
        Probability that the interval is made for, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`: the average effect, around it the interval for the next study; ``n`` counts studies.

    Raises
    ------
    ValueError
        If a number is infinite, a standard error not above zero, the lists differ in length, or `level` is not
        between 0 and 1.
    UnknownChoiceError
        If `estimator` or `ends` is another word.
    TooFewError
        If fewer than 3 studies have an effect and its standard error.

    Notes
    -----
    :math:`\hat\mu \pm t_{k-2}\sqrt{\hat\tau^2 + 1/\sum w_i}`, :math:`w_i = 1/(v_i+\hat\tau^2)`.

    References
    ----------
    .. [1] Key ``higgins-2009``, equation 12.

    Examples
    --------
    >>> ahead = prediction_interval([0.1, 0.5, 0.3, 0.8], [0.1, 0.2, 0.1, 0.2], about="four studies", unit="SD")
    >>> round(ahead.value, 2), ahead.df
    (0.39, 2.0)
    """
    tail = upper_tail("prediction_interval", level)
    if ends not in get_args(PredictionEnds):
        raise UnknownChoiceError("prediction_interval", "ends", ends, get_args(PredictionEnds))
    studies = studies_of("prediction_interval", effects, errors, about, least=3)
    between = between_variance("prediction_interval", studies, estimator)
    mean, error = weighted_mean(studies, between)
    df = float(studies.k - 2) if ends == "t" else None
    half = quantile(tail, df) * float(np.hypot(error, np.sqrt(between)))
    named = f"Student's t, {studies.k - 2} df" if df else "normal"
    return Estimate(
        about=about, name="prediction_interval", value=mean * studies.scale, unit=unit, n=studies.k,
        counted="studies", source="higgins-2009", dropped=studies.dropped, df=df,
        interval=Interval(
            low=float((mean - half) * studies.scale), high=float((mean + half) * studies.scale), level=level,
            method=f"prediction for one more study, {named}, {ESTIMATORS[estimator]}", source="higgins-2009",
        ),
    )  # fmt: skip


def _scatter_ratio(studies: Studies, between: float) -> float:
    """Hartung-Knapp's factor on the standard error: observed scatter over what the standard errors expect."""
    if spread_of(studies.effects) == 0:
        return 0.0
    return float(np.sqrt(weighted_squares(studies, between) / (studies.k - 1)))
