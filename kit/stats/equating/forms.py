"""Two forms of one test put on one scale: by how much they differ in difficulty on average."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from kit.estimate import Estimate, Interval
from kit.stats.complete import spread_of, upper_tail
from kit.stats.equating.designs import Design, TwoForms, two_forms
from kit.stats.equating.equipercentile import equipercentile_forms
from kit.stats.equating.moments import influences, need_anchor, need_line, population
from kit.stats.student import t_interval, t_p

NO_SPREAD = "Everyone differs by the same amount between the forms, so there is no spread to make an interval from."
NO_DRAWS = "No source of random draws was given, so there is no bootstrap interval."
ROUGH = (
    "Fewer than 100 students took a form: equipercentile equating is rough with so few, mean or linear equating are "
    "safer."
)
SAME_IN_ALL = "The difference is the same whichever students are drawn, so there is no interval."


def equate_mean(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None,
    anchors: tuple[ArrayLike, ArrayLike] | None = None, about: str, unit: str, level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate what must be added to scores on form X to put them on the scale of form Y: mean equating.

    It assumes forms that measure the same thing and differ by the same number of points all along the scale, and
    independent students. Interval and p-value (for forms equally hard) are Student's t, with Welch's degrees of
    freedom where there are two groups. `mean_conversion` gives the table.

    Parameters
    ----------
    x, y : array_like, shape (n,) and (k,)
        Scores on form X and form Y, in `unit`, NaN where missing. Single group and counterbalanced: of the same
        students in the same order; a student with any number missing is left out and counted in ``dropped``.
    design : {"single group", "random groups", "counterbalanced", "anchor"}
        Everyone took X then Y; two groups drawn by lot took a form each; everyone took both, half of them X first;
        or two groups that may differ took a form each with items in common. In a single group practice counts as
        easier Y.
    x_first : array_like of bool, shape (n,), optional
        For ``"counterbalanced"``: True for a student who took X first.
    anchors : pair of array_like, shape (n,) and (k,), optional
        For ``"anchor"``: the same students' scores on the items in common.
    about, unit : str
        Whom and what the number is about, in words; unit of the scores, such as ``"points"``.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`, positive where X is harder. If all differ alike: no interval and no p, and a note says so.

    Raises
    ------
    UnknownChoiceError
        If `design` is another word.
    ValueError
        If scores are not flat lists of finite numbers, lists of the same students differ in length, `x_first` or
        `anchors` do not go with `design`, or `level` is not between 0 and 1.
    TooFewError
        If a group has fewer than 2 students, or the anchor does not differ.

    Notes
    -----
    :math:`\mu(Y) - \mu(X)` in one population: counterbalanced, both orders count half; anchor, Tucker's method
    for those who took X. Standard error by the delta method.

    References
    ----------
    .. [1] Key ``kolen-brennan-2004``, chapters 2 and 4; interval keys ``student-1908`` and ``welch-1947``.

    Examples
    --------
    >>> equate_mean([10, 12, 15], [9, 12, 12], design="single group", about="both forms", unit="points").value
    -1.3333333333333333
    """
    tail = upper_tail("equate_mean", level)
    forms = two_forms("equate_mean", x, y, design=design, x_first=x_first, anchors=anchors, about=about)
    need_anchor("equate_mean", forms, about)
    return _difference("equate_mean", forms, tail, about=about, unit=unit, level=level)


def equate_linear(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None,
    anchors: tuple[ArrayLike, ArrayLike] | None = None, about: str, unit: str, level: float = 0.95,
) -> Estimate:  # fmt: skip
    r"""Estimate by how much linear equating moves a score on form X on average to put it on the scale of form Y.

    Forms may differ more at one end of the scale than at the other, along a straight line. It assumes forms that
    measure the same thing, and independent students. The average move is that of `equate_mean`, with its interval;
    `linear_conversion` gives the table.

    Parameters
    ----------
    x, y : array_like, shape (n,) and (k,)
        Scores on form X and form Y, in `unit`, NaN where missing; who is left out, as in `equate_mean`.
    design : {"single group", "random groups", "counterbalanced", "anchor"}
        How the forms were given, as in `equate_mean`; for ``"anchor"`` this is Tucker's method.
    x_first : array_like of bool, shape (n,), optional
        For ``"counterbalanced"``: True for a student who took X first.
    anchors : pair of array_like, shape (n,) and (k,), optional
        For ``"anchor"``: the same students' scores on the items in common.
    about, unit : str
        Whom and what the number is about, in words; unit of the scores, such as ``"points"``.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In `unit`, positive where X is harder. If all differ alike: no interval and no p, and a note says so.

    Raises
    ------
    UnknownChoiceError
        If `design` is another word.
    ValueError
        As in `equate_mean`.
    TooFewError
        If a group has fewer than 2 students, or scores on a form or the anchor do not differ.

    Notes
    -----
    :math:`l(x) = \mu(Y) + \frac{\sigma(Y)}{\sigma(X)}(x - \mu(X))` moves scores by :math:`\mu(Y) - \mu(X)` on average.

    References
    ----------
    .. [1] Key ``kolen-brennan-2004``, chapters 2 and 4; interval keys ``student-1908`` and ``welch-1947``.

    Examples
    --------
    >>> equate_linear([10, 12, 15], [9, 12, 12], design="single group", about="both forms", unit="points").value
    -1.3333333333333333
    """
    tail = upper_tail("equate_linear", level)
    forms = two_forms("equate_linear", x, y, design=design, x_first=x_first, anchors=anchors, about=about)
    need_line("equate_linear", forms, about)
    return _difference("equate_linear", forms, tail, about=about, unit=unit, level=level)


def equate_equipercentile(
    x: ArrayLike, y: ArrayLike, *, design: Design, x_first: ArrayLike | None = None, about: str, unit: str,
    level: float = 0.95, rng: np.random.Generator | None = None, draws: int = 1_000,
) -> Estimate:  # fmt: skip
    r"""Estimate by how much equipercentile equating moves a score on form X on average.

    A score on form X becomes the score on form Y with the same percentile rank, whatever the shape of either
    distribution. It assumes forms that measure the same thing, and independent students; below about 100 students a
    form it is rough and a note says so. Nothing is smoothed. `equipercentile_conversion` gives the table.

    Parameters
    ----------
    x, y : array_like, shape (n,) and (k,)
        Whole points on form X and form Y, NaN where missing; who is left out, as in `equate_mean`.
    design : {"single group", "random groups", "counterbalanced"}
        How the forms were given, as in `equate_mean`.
    x_first : array_like of bool, shape (n,), optional
        For ``"counterbalanced"``: True for a student who took X first.
    about, unit : str
        Whom and what the number is about, in words; unit of the scores, such as ``"points"``.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    rng : numpy.random.Generator, optional
        Source of the draws; its seed is printed in the report. Without it there is no interval.
    draws : int, optional
        How many times students are redrawn.

    Returns
    -------
    Estimate
        In `unit`, positive where X is harder.

    Raises
    ------
    UnknownChoiceError
        If `design` is another word.
    ValueError
        If scores are not whole points, `draws` is below 100, or as in `equate_mean`.
    TooFewError
        If a group has fewer than 2 students.

    Notes
    -----
    :math:`e(x) = G^{-1}(F(x))`, each whole score spread over half a point on either side; the mean of
    :math:`e(x) - x` over those who took X. Percentile bootstrap, students redrawn within groups.

    References
    ----------
    .. [1] Keys ``kolen-brennan-2004``, section 2.5, and ``efron-tibshirani-1993``.

    Examples
    --------
    >>> x, y = [0, 0, 1, 1, 1, 2, 2, 3, 3, 4], [0, 1, 1, 2, 2, 3, 3, 3, 4, 4]
    >>> round(equate_equipercentile(x, y, design="random groups", about="both forms", unit="points").value, 2)
    0.62
    """
    tail = upper_tail("equate_equipercentile", level)
    whole = equipercentile_forms(
        "equate_equipercentile", x, y, design=design, x_first=x_first, about=about, draws=draws
    )
    of_x, of_y = whole.shares(list(whole.counts))
    value = float(of_x @ (whole.equated(whole.x, of_x, of_y) - whole.x))
    interval, notes = None, (NO_DRAWS,)
    if rng is not None:
        drawn = [of_x @ (whole.equated(whole.x, of_x, of_y) - whole.x) for of_x, of_y in
                 zip(*whole.resampled(rng, draws), strict=True)]  # fmt: skip
        low, high = map(float, np.quantile(drawn, [1 - tail, tail]))
        method, source = f"percentile bootstrap, {draws} resamples", "efron-tibshirani-1993"
        interval = Interval(low=low, high=high, level=level, method=method, source=source) if low < high else None
        notes = () if interval else (SAME_IN_ALL,)
    smallest = min(sum(map(len, whole.forms.scores(form))) for form in ("x", "y"))
    return Estimate(
        about=about, name="equate_equipercentile", value=value, unit=unit, n=whole.forms.n, source="kolen-brennan-2004",
        interval=interval, dropped=whole.forms.dropped, notes=notes if smallest >= 100 else (*notes, ROUGH),
    )  # fmt: skip


def _difference(name: str, forms: TwoForms, tail: float, *, about: str, unit: str, level: float) -> Estimate:
    """Difference of the means of two forms in one population, with Student's or Welch's t."""
    centres, centred = forms.centres(), forms.centred()
    mean_x, _, mean_y, _ = population(centred)
    moved = influences(centred, lambda mean_x, _, mean_y, __: mean_y - mean_x)
    parts = [spread_of(part, *forms.groups) ** 2 / part.size for part in moved]
    error = float(np.sqrt(sum(parts)))
    value = float(centres["y"] - centres["x"] + (mean_y - mean_x))
    df = float(sum(parts) ** 2 / sum(v**2 / (p.size - 1) for v, p in zip(parts, moved, strict=True))) if error else None
    method = "Student's t, delta method" if len(parts) == 1 else "Welch's t, delta method"
    return Estimate(
        about=about, name=name, value=value, unit=unit, n=forms.n, source="kolen-brennan-2004",
        interval=t_interval(value, error, df, tail, level=level, method=method,
                            source="student-1908" if len(parts) == 1 else "welch-1947"),
        p=t_p(value, error, df), df=df, dropped=forms.dropped, notes=() if error else (NO_SPREAD,),
    )  # fmt: skip
