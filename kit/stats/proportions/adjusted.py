"""Differences of shares drawn a little towards zero, with plain intervals: counts in, one Estimate out."""

from __future__ import annotations

import math

from scipy.special import ndtri

from kit.estimate import Estimate, Interval
from kit.stats.complete import need_counts, upper_tail

DRAWN = "The estimate is drawn a little towards zero: it is not the difference of the shares as counted."


def share_difference_agresti_caffo(
    hits: int, n: int, comparison_hits: int, comparison_n: int, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate by how much a share in the program group lies above that in the comparison group, drawn towards zero.

    Agresti and Caffo's adjusted interval. It assumes independent students. For the shares as counted use
    `share_difference_newcombe`.

    Parameters
    ----------
    hits, n : int
        Students of the program group for whom it holds, of n.
    comparison_hits, comparison_n : int
        The same for the comparison group.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values, both groups together.

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where the program group is higher; ``n`` counts both groups; the
        note must be printed. Limits are cut at -1 and 1.

    Raises
    ------
    ValueError
        If hits are not whole numbers from 0 to the size of their group, or `level` is not between 0 and 1.
    TooFewError
        If a group is empty.

    Notes
    -----
    With :math:`\tilde p_i = (x_i+1)/(n_i+2)`: :math:`\tilde p_1 - \tilde p_2 \pm z
    \sqrt{\sum \tilde p_i(1-\tilde p_i)/(n_i+2)}`.

    References
    ----------
    .. [1] Key ``agresti-caffo-2000``.

    Examples
    --------
    >>> found = share_difference_agresti_caffo(57, 100, 15, 100, about="all notes right")
    >>> round(found.value, 4), round(found.interval.low, 4), round(found.interval.high, 4)
    (0.4118, 0.2925, 0.531)
    """
    name = "share_difference_agresti_caffo"
    tail = upper_tail(name, level)
    need_counts(name, about, n, hits=hits)
    need_counts(name, about, comparison_n, comparison_hits=comparison_hits)
    one, two = (hits + 1) / (n + 2), (comparison_hits + 1) / (comparison_n + 2)
    error = math.sqrt(one * (1 - one) / (n + 2) + two * (1 - two) / (comparison_n + 2))
    return Estimate(
        about=about, name=name, value=one - two, unit="share", n=n + comparison_n, source="agresti-caffo-2000",
        interval=_cut(
            one - two, error, tail=tail, level=level, method="Agresti-Caffo", source="agresti-caffo-2000"
        ),
        dropped=dropped, notes=(DRAWN,),
    )  # fmt: skip


def share_change_bonett_price(
    both: int, lost: int, gained: int, neither: int, *, about: str, level: float = 0.95, dropped: int = 0
) -> Estimate:
    r"""Estimate by how much a share of the same students changed between two tests, drawn towards zero.

    Bonett and Price's adjusted interval. It assumes independent students. For the shares as counted use
    `share_change_newcombe`.

    Parameters
    ----------
    both, lost, gained, neither : int
        Students for whom it held at both tests, at the first only, at the second only, at neither.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    dropped : int, optional
        Students the caller left out for missing values.

    Returns
    -------
    Estimate
        In ``"share"``, -1 to 1, positive where more students gained than lost; the note must be printed.
        Limits are cut at -1 and 1.

    Raises
    ------
    ValueError
        If a count is not a whole number of 0 or more, or `level` is not between 0 and 1.
    TooFewError
        If there are no students.

    Notes
    -----
    With :math:`\tilde p_g = (g+1)/(n+2)` of the g who gained and :math:`\tilde p_l` likewise:
    :math:`\tilde p_g - \tilde p_l \pm z \sqrt{(\tilde p_g + \tilde p_l - (\tilde p_g - \tilde p_l)^2)/(n+2)}`.

    References
    ----------
    .. [1] Key ``bonett-price-2012``.

    Examples
    --------
    >>> round(share_change_bonett_price(12, 4, 26, 6, about="all notes right").value, 2)
    0.44
    """
    name = "share_change_bonett_price"
    tail = upper_tail(name, level)
    n = both + lost + gained + neither
    need_counts(name, about, n, both=both, lost=lost, gained=gained, neither=neither)
    up, down = (gained + 1) / (n + 2), (lost + 1) / (n + 2)
    error = math.sqrt((up + down - (up - down) ** 2) / (n + 2))
    return Estimate(
        about=about, name=name, value=up - down, unit="share", n=n, source="bonett-price-2012",
        interval=_cut(
            up - down, error, tail=tail, level=level, method="Bonett-Price", source="bonett-price-2012"
        ),
        dropped=dropped, notes=(DRAWN,),
    )  # fmt: skip


def _cut(value: float, error: float, *, tail: float, level: float, method: str, source: str) -> Interval:
    """Make the normal interval of a difference of shares, cut at -1 and 1."""
    half = float(ndtri(tail)) * error
    low, high = max(value - half, -1.0), min(value + half, 1.0)
    return Interval(low=low, high=high, level=level, method=method, source=source)
