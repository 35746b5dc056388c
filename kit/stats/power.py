"""What a study of a given size could have seen: numbers in, one Estimate out."""

from __future__ import annotations

import math

from scipy.special import stdtrit

from kit.estimate import Estimate
from kit.stats.complete import need, upper_tail

FOLLOWS_FROM_SIZE = "This follows from the number of students and the correlation, so it has no interval."


def detectable_gain(*, n: int, correlation: float, about: str, power: float = 0.80, level: float = 0.95) -> Estimate:
    r"""Find the smallest gain of one group that a study of this size would probably notice.

    It assumes independent students, normal gains and the same spread at both tests.

    Parameters
    ----------
    n : int
        Students tested twice; there are no missing values here.
    correlation : float
        Correlation of the two tests, -1 to 1.
    about : str
        Whom the number is about, in words.
    power : float, optional
        How probable it must be to notice the gain, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must leave zero out, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of the first test; without an interval.

    Raises
    ------
    ValueError
        If `power` or `level` is not between 0 and 1, or `correlation` not between -1 and 1.
    TooFewError
        If `n` is below 2.

    Notes
    -----
    :math:`(t_{(1+level)/2,\,n-1} + t_{power,\,n-1})\sqrt{2(1-r)/n}`, an approximation to the
    noncentral-t power that is right to about 0.01 in power from 10 students on.

    References
    ----------
    .. [1] Key ``bloom-1995``.

    Examples
    --------
    >>> round(detectable_gain(n=20, correlation=0.7, about="Treble 1").value, 2)
    0.51
    """
    tail = upper_tail("detectable_gain", level)
    if not 0 < power < 1:
        raise ValueError(f"detectable_gain: power must be between 0 and 1. Got {power!r}.")
    if not -1 <= correlation <= 1:
        raise ValueError(f"detectable_gain: correlation must be between -1 and 1. Got {correlation!r}.")
    need("detectable_gain", about, n, least=2, what="students tested twice")
    multiplier = float(stdtrit(n - 1, tail) + stdtrit(n - 1, power))
    return Estimate(
        about=about, name="detectable_gain", value=multiplier * math.sqrt(2 * (1 - correlation) / n), unit="SD", n=n,
        source="bloom-1995", notes=(FOLLOWS_FROM_SIZE,),
    )  # fmt: skip
