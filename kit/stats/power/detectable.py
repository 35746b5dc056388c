"""What a study of a given size could have seen: numbers of students in, one Estimate out."""

from __future__ import annotations

import math

from kit.estimate import Estimate
from kit.stats.complete import need
from kit.stats.power.noncentral import noncentrality_needed

FOLLOWS_FROM_SIZE = "This follows from the number of students and the correlation, so it has no interval."
FOLLOWS_FROM_SPREAD = "This follows from the number and from how far gains lie apart, so it has no interval."


def detectable_gain(
    *,
    n: int,
    correlation: float | None = None,
    spread: float | None = None,
    about: str,
    unit: str = "points",
    power: float = 0.80,
    level: float = 0.95,
) -> Estimate:
    r"""Find the smallest gain of one group that a study of this size would probably notice.

    It assumes independent students, or choirs, and normal gains; with `correlation` also the same spread at both tests.

    Parameters
    ----------
    n : int
        Students tested twice, or choirs that each count once; there are no missing values here.
    correlation : float or None, optional
        Correlation of the two tests, -1 to 1.
    spread : float or None, optional
        In its place, the standard deviation of the gains, in `unit`.
    about : str
        Whom the number is about, in words.
    unit : str, optional
        Unit of the scores, where `spread` is given.
    power : float, optional
        How probable it must be to notice the gain, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must lie above zero, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of the first test, or with `spread` in `unit`; without an interval.

    Raises
    ------
    ValueError
        If `power` or `level` is not between 0 and 1, `correlation` not between -1 and 1, `spread` negative or not
        finite, or not exactly one of these two is given.
    TooFewError
        If `n` is below 2.

    Notes
    -----
    :math:`\delta\sqrt{2(1-r)/n}`, or :math:`\delta s/\sqrt{n}` with the spread s of the gains, where the noncentral
    t with n - 1 degrees of freedom and noncentrality :math:`\delta` exceeds :math:`t_{(1+level)/2}` with the
    probability `power`.

    References
    ----------
    .. [1] Keys ``cohen-1988``, ``bloom-1995``.

    Examples
    --------
    >>> round(detectable_gain(n=20, correlation=0.7, about="Treble 1").value, 2)
    0.51
    """
    if (correlation is None) == (spread is None):
        raise ValueError("detectable_gain: needs either correlation or spread, and not both.")
    if correlation is None and not 0 <= spread < math.inf:
        raise ValueError(f"detectable_gain: spread must be finite and not below 0. Got {spread!r}.")
    if correlation is not None:
        _check_correlation("detectable_gain", correlation)
        spread, unit, why = math.sqrt(2 * (1 - correlation)), "SD", FOLLOWS_FROM_SIZE
    else:
        why = FOLLOWS_FROM_SPREAD
    need("detectable_gain", about, n, least=2, what="students tested twice")
    away = noncentrality_needed("detectable_gain", n - 1, power=power, level=level)
    return Estimate(
        about=about, name="detectable_gain", value=away * spread / math.sqrt(n), unit=unit, n=n, source="cohen-1988",
        notes=(why,),
    )  # fmt: skip


def detectable_difference(
    *,
    program: int,
    comparison: int,
    about: str,
    correlation: float | None = None,
    power: float = 0.80,
    level: float = 0.95,
) -> Estimate:
    r"""Find the smallest difference of two groups of students that a study of this size would probably notice.

    It assumes students who were assigned one by one at random, and normal scores with one spread in both groups;
    for whole choirs use `kit.stats.power.clusters.detectable_difference_clusters`.

    Parameters
    ----------
    program, comparison : int
        Students tested in either group; there are no missing values here.
    about : str
        Whom the number is about, in words.
    correlation : float or None, optional
        Correlation of a first test with the second, -1 to 1, if results are adjusted for it; None: no first test.
    power : float, optional
        How probable it must be to notice the difference, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must lie on one side of zero, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of the second test; without an interval.

    Raises
    ------
    ValueError
        If `power` or `level` is not between 0 and 1, or `correlation` not between -1 and 1.
    TooFewError
        If a group has no student, or no degree of freedom is left.

    Notes
    -----
    :math:`\delta\sqrt{(1-r^2)(1/n + 1/k)}` with the noncentral t as in `detectable_gain` and n + k - 2 degrees of
    freedom, one fewer with a first test. A first test thus saves the share :math:`r^2` of the students.

    References
    ----------
    .. [1] Keys ``cohen-1988``, ``borm-2007``.

    Examples
    --------
    >>> round(detectable_difference(program=64, comparison=64, about="the plan").value, 2)
    0.5
    >>> round(detectable_difference(program=64, comparison=64, correlation=0.7, about="the plan").value, 2)
    0.36
    """
    _check_correlation("detectable_difference", correlation or 0.0)
    need("detectable_difference", about, min(program, comparison), least=1, what="student in each group")
    df = program + comparison - 2 - (correlation is not None)
    need("detectable_difference", about, df, least=1, what="degree of freedom")
    away = noncentrality_needed("detectable_difference", df, power=power, level=level)
    spared = 1 - (correlation or 0.0) ** 2
    return Estimate(
        about=about, name="detectable_difference", value=away * math.sqrt(spared * (1 / program + 1 / comparison)),
        unit="SD", n=program + comparison, df=float(df), source="cohen-1988" if correlation is None else "borm-2007",
        notes=(FOLLOWS_FROM_SIZE,),
    )  # fmt: skip


def _check_correlation(function: str, correlation: float) -> None:
    """Refuse what is no correlation."""
    if not -1 <= correlation <= 1:
        raise ValueError(f"{function}: correlation must be between -1 and 1. Got {correlation!r}.")
