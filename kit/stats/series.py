"""One choir or student observed often, before and after a change: how far two phases lie apart."""

from __future__ import annotations

from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from kit.estimate import Estimate, Interval
from kit.stats.complete import upper_tail
from kit.stats.phases import Better, phases_of

SEPARATION = (
    "It shows how far the two phases lie apart, not how large the change is or where it came from, and takes "
    "observations close in time as independent."
)
PART_OF_THE_TREND = (
    "The correction takes off only part of a steady trend: points that rise along one line throughout still come out "
    "above zero."
)


def nap(before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95) -> Estimate:
    r"""Estimate how often an observation after the change is better than one before: nonoverlap of all pairs.

    Level pairs count half. Interval and p-value (for one half) assume independent observations; a trend
    that was there before the change counts as if it came with it.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, above one half where observations after the change are better.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`A = P(\text{after} > \text{before}) + P(\text{level})/2` over all pairs. Limits solve
    :math:`(A-x)^2 nk = z^2 x(1-x)\left(1 + h\left(\frac{1-x}{2-x} + \frac{x}{1+x}\right)\right)`,
    :math:`h = (n+k)/2 - 1` (Newcombe's method 5). p counts every split of the observations into two phases
    (100 observations at most; the normal approximation with ties beyond).
    Simulated with independent normal observations, a 95 % interval covers 94 to 98 % with 5 to 20 a phase and 90 %
    with 3 that do not change; observations that follow the one before make it too narrow.

    References
    ----------
    .. [1] Keys ``parker-vannest-2009`` (size), ``newcombe-2006`` (interval), ``mann-whitney-1947`` (p).

    Examples
    --------
    >>> round(nap([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29], about="Treble 1").value, 4)
    0.9167
    """
    phases = phases_of("nap", before, after, about, better)
    low, high = phases.newcombe_limits(upper_tail("nap", level))
    return Estimate(
        about=about, name="nap", value=(1 + phases.delta) / 2, unit="share", n=phases.n, source="parker-vannest-2009",
        interval=_newcombe(low, high, level), p=phases.p, counted="observations", dropped=phases.dropped,
        notes=(SEPARATION,),
    )  # fmt: skip


def tau(before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95) -> Estimate:
    r"""Estimate how much more often an observation after the change is better than worse, pair by pair.

    The same as `nap` on a scale from -1 to 1. Interval and p-value (for zero) assume independent
    observations; a trend that was there before the change counts as if it came with it.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where observations after the change are better.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`2A - 1` with A, its limits and its p as in `nap`.

    References
    ----------
    .. [1] Keys ``parker-2011`` (size), ``newcombe-2006`` (interval), ``mann-whitney-1947`` (p).

    Examples
    --------
    >>> round(tau([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29], about="Treble 1").value, 4)
    0.8333
    """
    phases = phases_of("tau", before, after, about, better)
    low, high = phases.newcombe_limits(upper_tail("tau", level))
    return Estimate(
        about=about, name="tau", value=phases.delta, unit="share", n=phases.n, source="parker-2011",
        interval=_newcombe(2 * low - 1, 2 * high - 1, level), p=phases.p, counted="observations",
        dropped=phases.dropped, notes=(SEPARATION,),
    )  # fmt: skip


def tau_trend_corrected(
    before: ArrayLike, after: ArrayLike, *, about: str, better: Better = "higher", level: float = 0.95
) -> Estimate:
    r"""Estimate how far two phases lie apart, less the trend that was there before the change: Tau-U.

    Interval and p-value (for zero) assume independent observations and use the spread that the number has
    when nothing changes and nothing drifts; where it is far from zero the interval is wider than needed.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (k,)
        Observations of the two phases in one unit, `before` in the order of time; NaN where missing, left
        out and counted in ``dropped``.
    about : str
        Whom and what the number is about, in words.
    better : {"higher", "lower"}, optional
        Which direction is better.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"share"``, positive where observations after the change are better. It can lie a little beyond
        -1 and 1; its notes say what the correction cannot do.

    Raises
    ------
    UnknownChoiceError
        If `better` is another word.
    ValueError
        If a phase is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a phase has fewer than 2 observations.

    Notes
    -----
    :math:`(S_{AB} - S_{AA})/(nk)`: pairs better minus worse between phases, less pairs rising minus falling
    within the first. :math:`\pm z \sqrt{nk(n+k+1)/3 + n(n-1)(2n+5)/18}/(nk)`, cut at the ends that can be
    reached; ties make it a little wide.

    References
    ----------
    .. [1] Keys ``parker-2011`` (size) and ``kendall-1970`` (spread of the two counts).

    Examples
    --------
    >>> tau_trend_corrected([3, 3, 4, 5], [4, 5, 6, 7, 7], about="Treble 1").value
    0.55
    """
    phases = phases_of("tau_trend_corrected", before, after, about, better)
    z, error = float(ndtri(upper_tail("tau_trend_corrected", level))), phases.error_if_nothing_changed
    value, end = phases.delta - phases.trend, 1 + (phases.before.size - 1) / (2 * phases.after.size)
    return Estimate(
        about=about, name="tau_trend_corrected", value=value, unit="share", n=phases.n, source="parker-2011",
        interval=Interval(
            low=max(value - z * error, -end), high=min(value + z * error, end), level=level,
            method="normal, spread as if nothing had changed", source="kendall-1970",
        ),
        p=float(2 * ndtr(-abs(value) / error)), counted="observations", dropped=phases.dropped,
        notes=(SEPARATION, PART_OF_THE_TREND),
    )  # fmt: skip


def _newcombe(low: float, high: float, level: float) -> Interval:
    """Name the method of Newcombe's limits."""
    return Interval(low=low, high=high, level=level, method="Newcombe's method 5", source="newcombe-2006")
