"""Sizes in standard deviations: arrays in, one Estimate out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate
from kit.stats.complete import gains_of, need_spread, spread_of, two_groups, upper_tail
from kit.stats.noncentral import noncentral_interval, small_sample_correction
from kit.stats.student import bonett_interval, pooled_spread

NOT_A_SIZE = "This says how alike the students' gains are, not how large they are."


def d_pre(pre: ArrayLike, post: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the mean gain in standard deviations of the first test.

    The headline size of a one-group gain: teaching cannot have touched the spread of the first test.
    Bonett's interval, first measurement as standardiser, lies around the uncorrected size and lets the
    tests differ in spread. It assumes independent students and roughly normal scores.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score
        missing (NaN) is left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where scores rose.

    Raises
    ------
    ValueError
        If `pre` and `post` differ in length or hold infinite numbers, or `level` is not between 0 and 1.
    TooFewError
        If fewer than 3 students have both scores, or first scores do not differ.

    Notes
    -----
    Value :math:`J(n-1)\, d` with :math:`d = m/s_1` and the exact J; limits
    :math:`d \pm z \sqrt{d^2/(2(n-1)) + s_g^2/((n-1) s_1^2)}`, :math:`s_g` the SD of the gains.
    Simulated, 95 % intervals hold the truth 94 to 97 % of the time with normal scores or many at the ceiling, but 90 %
    with skewed scores (skewness 1.75), however many the students.

    References
    ----------
    .. [1] Keys ``becker-1988`` (size), ``hedges-1981`` (J) and ``bonett-2008`` (interval).

    Examples
    --------
    >>> round(d_pre([8, 10, 12, 14], [11, 12, 16, 17], about="Treble 1").value, 3)
    0.841
    """
    tail = upper_tail("d_pre", level)
    before, after, dropped = gains_of("d_pre", pre, post, about, least=3)
    spread = spread_of(before)
    need_spread("d_pre", about, spread, what="first scores")
    df, d = before.size - 1, float((after - before).mean()) / spread
    error = np.sqrt(d**2 / (2 * df) + (after - before).var(ddof=1) / (df * spread**2))
    return Estimate(
        about=about, name="d_pre", value=d * small_sample_correction(df), unit="SD", n=before.size,
        source="becker-1988", dropped=dropped,
        interval=bonett_interval(d, error, tail, level=level, standardiser="SD of the first test"),
    )  # fmt: skip


def d_average(pre: ArrayLike, post: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the mean gain in standard deviations averaged over both tests.

    Bonett's interval lies around the uncorrected size and lets the tests differ in spread. It assumes
    independent students and roughly normal scores.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score
        missing (NaN) is left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where scores rose.

    Raises
    ------
    ValueError
        If `pre` and `post` differ in length or hold infinite numbers, or `level` is not between 0 and 1.
    TooFewError
        If fewer than 3 students have both scores, or neither test has any spread.

    Notes
    -----
    :math:`d = m/s`, :math:`s^2 = (s_1^2+s_2^2)/2`; value :math:`\sqrt{(n-2)/(n-1)}\, d`; limits
    :math:`d \pm z \sqrt{d^2 (s_1^4 + s_2^4 + 2 s_{12}^2)/(8(n-1)s^4) + s_g^2/((n-1) s^2)}`,
    covariance :math:`s_{12}`, SD of gains :math:`s_g`. Simulated with skewed scores, 95 % intervals hold the truth
    91 % of the time with 5 to 10 students, 94 % with 100.

    References
    ----------
    .. [1] Key ``bonett-2008``.

    Examples
    --------
    >>> round(d_average([8, 10, 12, 14], [11, 12, 16, 17], about="Treble 1").value, 3)
    0.885
    """
    tail = upper_tail("d_average", level)
    before, after, dropped = gains_of("d_average", pre, post, about, least=3)
    one, two = spread_of(before), spread_of(after)
    need_spread("d_average", about, one + two, what="scores")
    spread, df = float(np.sqrt((one**2 + two**2) / 2)), before.size - 1
    d = float((after - before).mean()) / spread
    shared = float(np.cov(before, after)[0, 1])
    of_spread = d**2 * (one**4 + two**4 + 2 * shared**2) / (8 * df * spread**4)
    error = np.sqrt(of_spread + (after - before).var(ddof=1) / (df * spread**2))
    return Estimate(
        about=about, name="d_average", value=float(d * np.sqrt((df - 1) / df)), unit="SD", n=before.size,
        source="bonett-2008", dropped=dropped,
        interval=bonett_interval(d, error, tail, level=level, standardiser="average SD of both tests"),
    )  # fmt: skip


def d_change(pre: ArrayLike, post: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate how consistent the change is: the mean gain in standard deviations of the gains.

    Never a size: with the same gain in points it grows as students change more alike. The noncentral-t
    interval assumes independent students and roughly normal gains.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score
        missing (NaN) is left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD of gains"``, positive where scores rose; the note must be printed.

    Raises
    ------
    ValueError
        If `pre` and `post` differ in length or hold infinite numbers, or `level` is not between 0 and 1.
    TooFewError
        If fewer than 2 students have both scores, or everyone changed by the same amount.

    Notes
    -----
    :math:`d_z = m/s_g`, uncorrected; limits: noncentralities that put :math:`\sqrt{n}\, d_z` at either end.

    References
    ----------
    .. [1] Keys ``lakens-2013`` (size) and ``steiger-fouladi-1997`` (interval).

    Examples
    --------
    >>> d_change([8, 10, 12, 14], [11, 12, 16, 17], about="Treble 1").unit
    'SD of gains'
    """
    tail = upper_tail("d_change", level)
    before, after, dropped = gains_of("d_change", pre, post, about, least=2)
    spread, n = spread_of(after - before, before, after), before.size
    need_spread("d_change", about, spread, what="gains")
    value = float((after - before).mean()) / spread
    return Estimate(
        about=about, name="d_change", value=value, unit="SD of gains", n=n, source="lakens-2013",
        interval=noncentral_interval(value, n - 1, per_t=1 / np.sqrt(n), tail=tail, level=level),
        dropped=dropped, notes=(NOT_A_SIZE,),
    )  # fmt: skip


def hedges_g(program: ArrayLike, comparison: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the difference of two groups in pooled standard deviations.

    Hedges' g, exactly corrected; the noncentral-t interval lies around the uncorrected size. It
    assumes independent students, roughly normal scores and the same spread in both groups.

    Parameters
    ----------
    program, comparison : array_like, shape (n,) and (k,)
        One number per student, in one unit; NaN where missing, left out and counted in ``dropped``.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where the program group is higher; ``n`` counts both groups.

    Raises
    ------
    ValueError
        If a group is not a flat list of finite numbers, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with a score, or neither has any spread.

    Notes
    -----
    :math:`g = J(n+k-2)\, (m_1-m_2)/s_p`; limits :math:`\lambda\sqrt{1/n+1/k}` with the
    noncentralities under which the pooled t lies at either end.

    References
    ----------
    .. [1] Keys ``hedges-1981`` (size) and ``steiger-fouladi-1997`` (interval).

    Examples
    --------
    >>> round(hedges_g([14, 18, 16, 17], [11, 16, 12, 15], about="spring").value, 3)
    1.153
    """
    tail = upper_tail("hedges_g", level)
    one, two, dropped = two_groups("hedges_g", program, comparison, about)
    spread = pooled_spread(one.size, spread_of(one), two.size, spread_of(two))
    need_spread("hedges_g", about, spread, what="scores within a group")
    d, df = float(one.mean() - two.mean()) / spread, one.size + two.size - 2
    per_t = np.sqrt(1 / one.size + 1 / two.size)
    return Estimate(
        about=about, name="hedges_g", value=d * small_sample_correction(df), unit="SD", n=one.size + two.size,
        source="hedges-1981", interval=noncentral_interval(d, df, per_t=per_t, tail=tail, level=level), dropped=dropped,
    )  # fmt: skip
