"""Sizes of a difference of two groups tested twice: arrays in, one Estimate out."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate
from kit.stats.complete import Floats, complete_rows, need, need_spread, spread_of, upper_tail
from kit.stats.noncentral import small_sample_correction
from kit.stats.student import bonett_interval, pooled_spread, t_interval, t_p
from kit.stats.two_tests import is_program, two_tests

NOTHING_MOVED = "Every student kept the same place, so there is no spread to make an interval or a test from."
FITS_EXACTLY = "First score and group give every second score exactly, so there is no spread to make an interval from."
COVARIATES = "first scores, or covariates, within a group"
DUST = 1e-9
"""Share of a spread below which what is left of it is rounding dust."""


def prepost_control_d(
    pre: ArrayLike, post: ArrayLike, program: ArrayLike, *, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate how much more the program group gained, in pooled standard deviations of the first test.

    Morris's :math:`d_{ppc2}`: teaching cannot have touched the spread of the first test. The interval lies
    around the uncorrected size; it assumes independent students, roughly normal scores and the same spread
    of both groups at the first test, but not at the second.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order, in one unit. A student with either score
        missing (NaN) is left out and counted in ``dropped``.
    program : array_like of bool, shape (n,)
        True for a student of the program group, False for one of the comparison group.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where the program group gained more; ``n`` counts both groups.

    Raises
    ------
    ValueError
        If the lists differ in length or hold infinite numbers, `program` holds anything but True and
        False, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with both scores, or first scores have no spread in either.

    Notes
    -----
    Value :math:`J(N-2)\, d`, :math:`d = (g_1-g_2)/s`, mean gains :math:`g_i`, :math:`s` pooled over first
    scores. Limits :math:`d \pm z \sqrt{d^2/(2(N-2)) + (v_1/(n_1-1) + v_2/(n_2-1))/s^2}`, :math:`v_i` the
    variance of gains in a group: Bonett's delta method for this contrast.

    References
    ----------
    .. [1] Keys ``morris-2008`` (size) and ``bonett-2008`` (way to the interval).

    Examples
    --------
    >>> pre, post = [8, 10, 12, 14, 9, 11, 13], [12, 13, 17, 18, 10, 11, 15]
    >>> round(prepost_control_d(pre, post, [True] * 4 + [False] * 3, about="spring").value, 3)
    1.066
    """
    name = "prepost_control_d"
    tail = upper_tail(name, level)
    tests = two_tests(name, pre, post, program, about)
    spread = tests.pooled(tests.pre)
    need_spread(name, about, spread, what="first scores within a group")
    d = (tests.difference(tests.post) - tests.difference(tests.pre)) / spread
    gains = [after - before for before, after in zip(tests.pre, tests.post, strict=True)]
    of_means = sum(part.var(ddof=1) / (part.size - 1) for part in gains) / spread**2
    error = math.sqrt(d**2 / (2 * tests.df) + of_means)
    return Estimate(
        about=about, name=name, value=d * small_sample_correction(tests.df), unit="SD", n=sum(tests.sizes),
        source="morris-2008", dropped=tests.dropped,
        interval=bonett_interval(d, error, tail, level=level, standardiser="pooled SD of the first test"),
    )  # fmt: skip


def gain_difference_g(
    pre: ArrayLike, post: ArrayLike, program: ArrayLike, *, about: str, level: float = 0.95
) -> Estimate:
    r"""Estimate the difference of the groups after, less that before, each in its own pooled standard deviation.

    Hedges' g of the second test minus that of the first. The interval assumes independent students,
    roughly normal scores and one spread of both groups at each test.

    Parameters
    ----------
    pre, post : array_like, shape (n,)
        Scores of the same n students in the same order; each test may have its own unit. A student with
        either score missing (NaN) is left out and counted in ``dropped``.
    program : array_like of bool, shape (n,)
        True for a student of the program group, False for one of the comparison group.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where the program group moved ahead; ``n`` counts both groups. If students
        kept their order exactly and nothing moved, there is no interval and no p, and a note says so.

    Raises
    ------
    ValueError
        If the lists differ in length or hold infinite numbers, `program` holds anything but True and
        False, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with both scores, or a test has no spread in either group.

    Notes
    -----
    :math:`g_2 - g_1`, both with the exact :math:`J(h)`, :math:`h = N-2`; standard error
    :math:`\sqrt{2(1-r)(1/n_1+1/n_2) + (g_2^2 + r^2 g_1^2 - 2 r^2 g_1 g_2)/(2h)}`, r the pooled correlation
    within groups; limits and p by t on h degrees of freedom.

    References
    ----------
    .. [1] Keys ``wwc-2022`` (size, standard error) and ``hedges-1981`` (J).

    Examples
    --------
    >>> pre, post = [8, 10, 12, 14, 9, 11, 13], [12, 13, 17, 18, 10, 11, 15]
    >>> round(gain_difference_g(pre, post, [True] * 4 + [False] * 3, about="spring").value, 3)
    0.892
    """
    name = "gain_difference_g"
    tail = upper_tail(name, level)
    tests = two_tests(name, pre, post, program, about)
    spreads = [tests.pooled(scores) for scores in (tests.pre, tests.post)]
    for spread, when in zip(spreads, ("first", "second"), strict=True):
        need_spread(name, about, spread, what=f"{when} scores within a group")
    factor, h, (n, k) = small_sample_correction(tests.df), tests.df, tests.sizes
    before, after = (
        factor * tests.difference(tests.pre) / spreads[0],
        factor * tests.difference(tests.post) / spreads[1],
    )
    r, value = tests.correlation, after - before
    of_spread = (after**2 + r**2 * before**2 - 2 * r**2 * before * after) / (2 * h)
    error = math.sqrt(max(2 * (1 - r) * (1 / n + 1 / k) + of_spread, 0.0))
    error = error if error > DUST else 0.0
    method = "t, standard error of a difference of sizes"
    return Estimate(
        about=about, name=name, value=value, unit="SD", n=n + k, source="wwc-2022", dropped=tests.dropped,
        interval=t_interval(value, error, h, tail, level=level, method=method, source="wwc-2022"),
        p=t_p(value, error, h), df=float(h), notes=() if error else (NOTHING_MOVED,),
    )  # fmt: skip


def adjusted_g(pre: ArrayLike, post: ArrayLike, program: ArrayLike, *, about: str, level: float = 0.95) -> Estimate:
    r"""Estimate the difference of two groups adjusted for first scores, in pooled standard deviations of the second.

    The adjusted difference comes from least squares with one slope per covariate in both groups; the
    standard deviation is that of the scores as they are, never of what the covariates leave. It assumes
    independent students, parallel lines and one spread around them.

    Parameters
    ----------
    pre : array_like, shape (n,) or (n, q)
        First score of each of the n students, or q covariates, in any units. A student with any number
        missing (NaN) is left out and counted in ``dropped``.
    post : array_like, shape (n,)
        Second scores of the same students in the same order.
    program : array_like of bool, shape (n,)
        True for a student of the program group, False for one of the comparison group.
    about : str
        Whom the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"``, positive where the program group is higher; ``n`` counts both groups; p is that of the
        adjusted difference.

    Raises
    ------
    ValueError
        If the lists differ in length or hold infinite numbers, `program` holds anything but True and
        False, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students with all numbers, there are fewer than 2 students more than
        numbers to fit, second scores have no spread within groups, or the covariates fix the group.

    Notes
    -----
    :math:`g = J(N-2)\, b/s`, b the coefficient of the group, s the pooled SD of second scores; standard
    error :math:`\sqrt{(SE_b/s)^2 + g^2/(2h)}`, limits by t on :math:`h = N-2-q` degrees of freedom.

    References
    ----------
    .. [1] Keys ``wwc-2022`` (size, standard error) and ``hedges-1981`` (J).

    Examples
    --------
    >>> pre, post = [8, 10, 12, 14, 9, 11, 13], [12, 13, 17, 18, 10, 11, 15]
    >>> round(adjusted_g(pre, post, [True] * 4 + [False] * 3, about="spring").value, 3)
    0.892
    """
    tail = upper_tail("adjusted_g", level)
    covariates = np.atleast_1d(np.asarray(pre, dtype=float))
    covariates = covariates.reshape(len(covariates), -1 if covariates.size else 1).T
    columns = {f"pre_{i}" if i else "pre": column for i, column in enumerate(covariates)}
    (after, marks, *kept), dropped = complete_rows("adjusted_g", post=post, program=program, **columns)
    inside, h = is_program("adjusted_g", marks), after.size - 2 - len(kept)
    for group, members in {"program": inside, "comparison": ~inside}.items():
        what = "students with all numbers in each group"
        need("adjusted_g", f"{about}, {group} group,", int(members.sum()), least=2, what=what)
    need("adjusted_g", about, after.size, least=4 + len(kept), what="students with all numbers")
    sizes = int(inside.sum()), int((~inside).sum())
    spread = pooled_spread(sizes[0], spread_of(after[inside]), sizes[1], spread_of(after[~inside]))
    need_spread("adjusted_g", about, spread, what="second scores within a group")
    b, error_of_b = _adjusted(after, inside, kept, h, about)
    value = small_sample_correction(after.size - 2) * b / spread
    error = math.sqrt((error_of_b / spread) ** 2 + value**2 / (2 * h))
    return Estimate(
        about=about, name="adjusted_g", value=value, unit="SD", n=after.size, source="wwc-2022", dropped=dropped,
        interval=t_interval(value, error, h, tail, level=level, method="t, adjusted difference", source="wwc-2022"),
        p=t_p(b, error_of_b, h), df=float(h), notes=() if error else (FITS_EXACTLY,),
    )  # fmt: skip


def _adjusted(after: Floats, inside: np.ndarray, kept: list[Floats], h: int, about: str) -> tuple[float, float]:
    """Coefficient of the group and its standard error by least squares, zero where the fit is exact."""
    away = [(column - column.mean()) / (spread_of(column) or 1.0) for column in kept]
    design = np.column_stack([np.ones(after.size), *away, inside])  # the group last: its coefficient is solved first
    q, r = np.linalg.qr(design)
    least = float(np.abs(np.diag(r)).min())
    need_spread("adjusted_g", about, 0.0 if least <= DUST * math.sqrt(after.size) else least, what=COVARIATES)
    on_axes = q.T @ (after - after.mean())
    left = float(np.linalg.norm(after - after.mean() - q @ on_axes))
    left = 0.0 if left <= DUST * float(np.linalg.norm(after - after.mean())) else left
    return float(on_axes[-1] / r[-1, -1]), left / math.sqrt(h) / abs(float(r[-1, -1]))
