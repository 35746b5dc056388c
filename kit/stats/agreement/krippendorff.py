"""Agreement of any number of raters with gaps, on any kind of scale: Krippendorff's alpha."""

from __future__ import annotations

from itertools import combinations
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kit.errors import TooFewError, UnknownChoiceError
from kit.estimate import Estimate, Interval
from kit.stats.complete import Floats, need, upper_tail
from kit.stats.score_tables import whole_table

Codes = NDArray[np.intp]

Metric = Literal["nominal", "ordinal", "interval", "ratio"]

BLOCK = 1 << 18
"""Ratings of resampled students per block."""

DUST = 1e-12
"""Alphas that differ by less differ by rounding only."""

NO_DRAWS = "No source of random draws was given, so there is no bootstrap interval."
SAME_IN_ALL = "Agreement is the same whichever students are drawn, so there is no interval."
UNDEFINED_IN_SOME = (
    "In {found} of {draws} redrawn groups of students all ratings were the same and agreement has no value, so there "
    "is no interval."
)


def krippendorff_alpha(
    ratings: ArrayLike, *, metric: Metric, about: str, level: float = 0.95,
    rng: np.random.Generator | None = None, draws: int = 10_000,
) -> Estimate:  # fmt: skip
    r"""Estimate how far any number of raters agree beyond chance, missing ratings allowed: Krippendorff's alpha.

    The metric says how far apart two ratings are: ``"nominal"`` same or not; ``"ordinal"`` by rank;
    ``"interval"`` by difference; ``"ratio"`` by difference relative to size. It assumes independent
    students and interchangeable raters; a severe rater counts as disagreement.

    Parameters
    ----------
    ratings : array_like, shape (n, k)
        One row per student, one column per rater, NaN where missing. A student with fewer than 2 ratings
        is left out and counted in ``dropped``; other students keep the ratings that they have.
    metric : {"nominal", "ordinal", "interval", "ratio"}
        Kind of scale.
    about : str
        Whom and what the number is about, in words.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    rng : numpy.random.Generator, optional
        Source of the draws; its seed is printed in the report. Without it there is no interval.
    draws : int, optional
        How many times students are redrawn.

    Returns
    -------
    Estimate
        In ``"agreement"``, 1 at most; 0 as by chance.

    Raises
    ------
    UnknownChoiceError
        If `metric` is another word.
    ValueError
        If `ratings` is not a table of finite numbers, a rating on a ratio scale is below 0, `draws` is below
        100, or `level` is not between 0 and 1.
    TooFewError
        If there are fewer than 2 raters, fewer than 2 students with 2 ratings, or all ratings are the same.

    Notes
    -----
    :math:`1 - D_o/D_e`: mean squared distance of ratings of the same student over that of all paired
    ratings, a student with m ratings weighted by m. The interval is the percentile bootstrap over students.
    Simulated with two raters, 95 % intervals hold the truth 72 to 81 % of the time with 5 students, 83 to 89 % with 10,
    88 to 92 % with 20 and 92 to 94 % with 100.

    References
    ----------
    .. [1] Key ``krippendorff-2011``; bootstrap over students key ``zapf-2016``.

    Examples
    --------
    >>> ratings = [[0, 1], [1, 1], [0, 1], [0, 0], [0, 0], [0, 1], [0, 0], [0, 0], [1, 0], [0, 0]]
    >>> round(krippendorff_alpha(ratings, metric="nominal", about="two raters").value, 3)
    0.095
    """
    if metric not in get_args(Metric):
        raise UnknownChoiceError("krippendorff_alpha", "metric", metric, get_args(Metric))
    tail = upper_tail("krippendorff_alpha", level)
    if draws < 100:
        raise ValueError(f"krippendorff_alpha: draws must be at least 100. Got {draws!r}.")
    codes, values, dropped = _coded(ratings, metric, about)
    value = float(_alphas(codes[None], values, metric)[0])
    if not np.isfinite(value):
        raise TooFewError(f"krippendorff_alpha: needs ratings that differ. {about} has none that do.")
    drawn = _redrawn(codes, values, metric, rng, draws) if rng else None
    interval, notes = (None, (NO_DRAWS,)) if drawn is None else _bootstrap(drawn, tail, level)
    return Estimate(
        about=about, name="krippendorff_alpha", value=value, unit="agreement", n=len(codes),
        source="krippendorff-2011", interval=interval, dropped=dropped, notes=notes,
    )  # fmt: skip


def _redrawn(codes: Codes, values: Floats, metric: Metric, rng: np.random.Generator, draws: int) -> Floats:
    """Alpha of redrawn groups of students, block by block."""
    n, step = len(codes), max(1, BLOCK // (codes.size + values.size))
    blocks = (min(step, draws - start) for start in range(0, draws, step))
    return np.concatenate([_alphas(codes[rng.integers(0, n, (block, n))], values, metric) for block in blocks])


def _bootstrap(drawn: Floats, tail: float, level: float) -> tuple[Interval | None, tuple[str, ...]]:
    """Make the percentile interval, or say why there is none."""
    undefined = int(np.isnan(drawn).sum())
    if undefined:
        return None, (UNDEFINED_IN_SOME.format(found=undefined, draws=drawn.size),)
    if np.ptp(drawn) <= DUST:
        return None, (SAME_IN_ALL,)
    low, high = np.quantile(drawn, [1 - tail, tail])
    method = f"percentile bootstrap, {drawn.size} resamples of students"
    return Interval(low=float(low), high=float(high), level=level, method=method, source="zapf-2016"), ()


def _coded(ratings: ArrayLike, metric: Metric, about: str) -> tuple[Codes, Floats, int]:
    """Keep students with two ratings or more: codes (n, k), c where missing; the c values; how many were left out."""
    table = whole_table("krippendorff_alpha", "ratings", ratings)
    need("krippendorff_alpha", about, table.shape[1], least=2, what="raters")
    kept = table[(~np.isnan(table)).sum(axis=1) >= 2]
    need("krippendorff_alpha", about, len(kept), least=2, what="students with 2 ratings")
    there = ~np.isnan(kept)
    values, found = np.unique(kept[there], return_inverse=True)
    if metric == "ratio" and values[0] < 0:
        raise ValueError(f"krippendorff_alpha: ratings on a ratio scale must be 0 or more. Got {float(values[0])!r}.")
    codes = np.full(kept.shape, values.size)
    codes[there] = found
    return codes, values, len(table) - len(kept)


def _alphas(codes: Codes, values: Floats, metric: Metric) -> Floats:
    """Alpha of each of b tables of codes, shape (b, n, k); NaN where all ratings of a table are the same."""
    b, c = len(codes), values.size
    rows = np.arange(b)[:, None, None]
    seen = np.bincount((codes + rows * (c + 1)).ravel(), minlength=b * (c + 1)).reshape(b, c + 1)[:, :c].astype(float)
    places = np.cumsum(seen, axis=1) - seen / 2 if metric == "ordinal" else np.tile(values, (b, 1))
    scores, there = np.column_stack([places, np.zeros(b)])[rows, codes], codes < c
    apart = np.zeros(codes.shape[:2])
    for i, j in combinations(range(codes.shape[2]), 2):
        apart += 2 * _distance(scores[..., i], scores[..., j], metric) * (there[..., i] & there[..., j])
    observed = (apart / (there.sum(axis=2) - 1)).sum(axis=1)
    expected = _expected(seen, places, metric)
    differ = (seen > 0).sum(axis=1) > 1
    return 1 - (seen.sum(axis=1) - 1) * np.divide(observed, expected, out=np.full(b, np.nan), where=differ)


def _expected(seen: Floats, places: Floats, metric: Metric) -> Floats:
    """Sum the squared distance of all ordered pairs of ratings, whoever they are of."""
    total = seen.sum(axis=1)
    if metric == "nominal":
        return total**2 - (seen**2).sum(axis=1)
    if metric == "ratio":
        to_all = (
            seen[:, i] * (seen * _distance(places[:, [i]], places, metric)).sum(axis=1) for i in range(seen.shape[1])
        )
        return np.add.reduce(list(to_all))
    middle = (seen * places).sum(axis=1) / total
    return 2 * total * (seen * (places - middle[:, None]) ** 2).sum(axis=1)


def _distance(one: Floats, two: Floats, metric: Metric) -> Floats:
    """Squared distance of two ratings."""
    if metric == "nominal":
        return (one != two).astype(float)
    if metric == "ratio":
        return np.divide(one - two, one + two, out=np.zeros(np.broadcast_shapes(one.shape, two.shape)),
                         where=one + two > 0) ** 2  # fmt: skip
    return (one - two) ** 2
