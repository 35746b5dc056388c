"""Counts of what is on file: nothing is estimated."""

from __future__ import annotations

import math

from kit.estimate import COUNTED_NOT_ESTIMATED, Estimate


def count(n: int, *, about: str, unit: str = "students", of: int | None = None) -> Estimate:
    """Report a count, optionally as part of a larger one.

    It assumes nothing: everyone on file is counted, so there is no interval.

    Parameters
    ----------
    n : int
        How many.
    about : str
        What was counted, in words.
    unit : str, optional
        What one of them is.
    of : int, optional
        How many there are in all, if `n` is a part; it becomes the estimate's ``n``.

    Returns
    -------
    Estimate
        In `unit`, without an interval.

    Raises
    ------
    ValueError
        If `n` is not a whole number of 0 or more, or is more than `of`.

    Notes
    -----
    No formula. Nothing can be missing: the caller counts what is there.

    References
    ----------
    .. [1] Key ``counting``.

    Examples
    --------
    >>> count(17, about="tested both times", of=24).value
    17.0
    """
    if not (math.isfinite(n) and n == int(n) and n >= 0):
        raise ValueError(f"count: n must be a whole number of 0 or more. Got {n!r}.")
    if of is not None and not (n <= of < math.inf):
        raise ValueError(f"count: n must not be more than of. Got {n!r} of {of!r}.")
    return Estimate(
        about=about, name="count", value=float(n), unit=unit, n=int(n if of is None else of), counted=unit,
        source="counting", notes=(COUNTED_NOT_ESTIMATED,),
    )  # fmt: skip
