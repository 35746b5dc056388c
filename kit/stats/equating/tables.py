"""Two forms of one test put on one scale: the table from raw scores on form X to scores on the scale of form Y."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kit.stats.complete import Floats, spread_of
from kit.stats.equating.designs import Design, TwoForms, two_forms
from kit.stats.equating.equipercentile import equipercentile_forms
from kit.stats.equating.moments import influences, need_anchor, need_line, population


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """Raw scores on form X and what they are worth on the scale of form Y.

    Attributes
    ----------
    about : str
        Whom the table is made from, in words.
    scores, equated : ndarray, shape (s,)
        Raw scores on form X, and the same on the scale of form Y; neither is rounded nor cut at the ends of the test.
    errors : ndarray, shape (s,) or None
        Standard errors of `equated`: how much they would change with other students. None where none could be made.
    slope, intercept : float or None
        ``equated = intercept + slope * scores``; None for equipercentile equating.
    n, dropped : int
        Students behind the table, and students left out for missing values.
    method : str
        How equated and how the standard errors were made, in words.
    source : str
        Key in ``kit.sources``.
    """

    about: str
    scores: Floats
    equated: Floats
    errors: Floats | None
    slope: float | None
    intercept: float | None
    n: int
    dropped: int
    method: str
    source: str = "kolen-brennan-2004"

    def convert(self, scores: ArrayLike) -> Floats:
        """Put scores on form X on the scale of form Y.

        Parameters
        ----------
        scores : array_like
            Scores on form X; NaN where missing stays NaN.

        Returns
        -------
        ndarray
            In points of form Y, in the same shape.

        Raises
        ------
        ValueError
            If the table has no line and a score is not one of its scores.
        """
        given = np.asarray(scores, dtype=float)
        if self.slope is not None and self.intercept is not None:
            return self.intercept + self.slope * given
        odd = given[~(np.isin(given, self.scores) | np.isnan(given))]
        if odd.size:
            raise ValueError(f"convert: scores must be scores of the table. Got {float(odd.flat[0])!r}.")
        return np.interp(given, self.scores, self.equated)


def mean_conversion(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None,
    anchors: tuple[ArrayLike, ArrayLike] | None = None, about: str, scores: ArrayLike | None = None,
) -> Conversion:  # fmt: skip
    """Make the table of mean equating: every score moves by the same number of points.

    Parameters
    ----------
    x, y, design, x_first, anchors, about
        As in `kit.stats.equating.forms.equate_mean`.
    scores : array_like, shape (s,), optional
        Scores on form X to convert; if left out, every one that occurs.

    Returns
    -------
    Conversion
        Standard errors by the delta method, the same for every score.

    Raises
    ------
    ValueError, TooFewError
        As in `kit.stats.equating.forms.equate_mean`.

    Examples
    --------
    >>> mean_conversion([10, 12, 15], [9, 12, 12], design="single group", about="both forms").convert(12).round(2)
    np.float64(10.67)
    """
    forms = two_forms("mean_conversion", x, y, design=design, x_first=x_first, anchors=anchors, about=about)
    need_anchor("mean_conversion", forms, about)
    return _line("mean", forms, about, scores)


def linear_conversion(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None,
    anchors: tuple[ArrayLike, ArrayLike] | None = None, about: str, scores: ArrayLike | None = None,
) -> Conversion:  # fmt: skip
    """Make the table of linear equating: means and spreads are matched; Tucker's method with an anchor.

    Parameters
    ----------
    x, y, design, x_first, anchors, about
        As in `kit.stats.equating.forms.equate_linear`.
    scores : array_like, shape (s,), optional
        Scores on form X to convert; if left out, every one that occurs.

    Returns
    -------
    Conversion
        Standard errors by the delta method, smallest near the mean.

    Raises
    ------
    ValueError, TooFewError
        As in `kit.stats.equating.forms.equate_linear`.

    Examples
    --------
    >>> linear_conversion([10, 12, 14], [9, 12, 15], design="single group", about="both forms").convert(11).round(2)
    np.float64(10.5)
    """
    forms = two_forms("linear_conversion", x, y, design=design, x_first=x_first, anchors=anchors, about=about)
    need_line("linear_conversion", forms, about)
    return _line("linear", forms, about, scores)


def equipercentile_conversion(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None, about: str,
    rng: np.random.Generator | None = None, draws: int = 1_000,
) -> Conversion:  # fmt: skip
    """Make the table of equipercentile equating: scores with the same percentile rank are worth the same.

    Parameters
    ----------
    x, y, design, x_first, about
        As in `kit.stats.equating.forms.equate_equipercentile`.
    rng : numpy.random.Generator, optional
        Source of the draws; its seed is printed in the report. Without it there are no standard errors.
    draws : int, optional
        How many times students are redrawn.

    Returns
    -------
    Conversion
        Every whole score from the lowest to the highest on form X; bootstrap standard errors.

    Raises
    ------
    ValueError, TooFewError
        As in `kit.stats.equating.forms.equate_equipercentile`.

    Examples
    --------
    >>> x, y = [0, 0, 1, 1, 1, 2, 2, 3, 3, 4], [0, 1, 1, 2, 2, 3, 3, 3, 4, 4]
    >>> equipercentile_conversion(x, y, design="random groups", about="both forms").equated.round(4).tolist()
    [0.5, 1.75, 2.8333, 3.5, 4.25]
    """
    whole = equipercentile_forms(
        "equipercentile_conversion", x, y, design=design, x_first=x_first, about=about, draws=draws
    )
    errors = None
    if rng is not None:
        drawn = [whole.equated(whole.x, *shares) for shares in zip(*whole.resampled(rng, draws), strict=True)]
        errors = np.std(drawn, axis=0, ddof=1)
    method = "equipercentile" if errors is None else f"equipercentile, bootstrap standard errors of {draws} resamples"
    return Conversion(
        about=about, scores=whole.x, equated=whole.equated(whole.x, *whole.shares(list(whole.counts))), errors=errors,
        slope=None, intercept=None, n=whole.forms.n, dropped=whole.forms.dropped, method=method,
    )  # fmt: skip


def _line(method: str, forms: TwoForms, about: str, scores: ArrayLike | None) -> Conversion:
    """Table of a line, with standard errors by the delta method."""
    raw = np.unique(np.concatenate(forms.scores("x"))) if scores is None else np.asarray(scores, dtype=float)
    centres, centred = forms.centres(), forms.centred()

    def steepness(variance_x: complex, variance_y: complex) -> complex:
        return (variance_y / variance_x) ** 0.5 if method == "linear" else 1.0

    def worth(at: float, mean_x: complex, variance_x: complex, mean_y: complex, variance_y: complex) -> complex:
        return mean_y + steepness(variance_x, variance_y) * (at - mean_x)

    errors = []
    for at in raw - centres["x"]:
        moved = influences(centred, lambda *found, at=at: worth(at, *found))
        errors.append(sum(spread_of(part, *forms.groups) ** 2 / part.size for part in moved) ** 0.5)
    mean_x, variance_x, mean_y, variance_y = population(centred)
    slope = float(steepness(variance_x, variance_y))
    intercept = centres["y"] + mean_y - slope * (centres["x"] + mean_x)
    return Conversion(
        about=about, scores=raw, equated=intercept + slope * raw, errors=np.array(errors), slope=slope,
        intercept=intercept, n=forms.n, dropped=forms.dropped, method=f"{method}, delta standard errors",
    )  # fmt: skip
