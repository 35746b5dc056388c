"""Students or choirs lost from two groups, and whether the loss is small and even enough to keep them comparable."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from scipy.special import ndtri

from kit.errors import TooFewError, UnknownChoiceError
from kit.estimate import Estimate

Assumption = Literal["cautious", "optimistic"]
Rating = Literal["low", "borderline", "high"]

BOUNDARY = {
    "cautious": (
        5.7, 5.8, 5.9, 5.9, 6.0, 6.1, 6.2, 6.3, 6.3, 6.3,
        6.3, 6.2, 6.2, 6.1, 6.0, 5.9, 5.9, 5.8, 5.7, 5.5,
        5.4, 5.3, 5.2, 5.1, 4.9, 4.8, 4.7, 4.5, 4.4, 4.3,
        4.1, 4.0, 3.8, 3.6, 3.5, 3.3, 3.2, 3.1, 2.9, 2.8,
        2.6, 2.5, 2.3, 2.1, 2.0, 1.8, 1.6, 1.5, 1.3, 1.2,
        1.0, 0.9, 0.7, 0.6, 0.4, 0.3, 0.2, 0.0,
    ),
    "optimistic": (
        10.0, 10.1, 10.2, 10.3, 10.4, 10.5, 10.7, 10.8, 10.9, 10.9,
        10.9, 10.9, 10.9, 10.8, 10.8, 10.7, 10.6, 10.5, 10.3, 10.2,
        10.0, 9.9, 9.7, 9.5, 9.4, 9.2, 9.0, 8.8, 8.6, 8.4,
        8.2, 8.0, 7.8, 7.6, 7.4, 7.2, 7.0, 6.7, 6.5, 6.3,
        6.0, 5.8, 5.6, 5.3, 5.1, 4.9, 4.6, 4.4, 4.2, 3.9,
        3.7, 3.5, 3.2, 3.0, 2.8, 2.6, 2.3, 2.1, 1.9, 1.6,
        1.4, 1.1, 0.9, 0.7, 0.5, 0.3,
    ),
}  # fmt: skip
"""Highest difference in loss, in percentage points, that is still low, by overall loss in whole percent from 0."""

LINK = {"cautious": (0.20, 0.15), "optimistic": (0.075, 0.05)}
"""Squared correlation of the outcome with staying, in the program group and in the comparison group."""

DUST = 1e-9
"""Percentage points within which a loss or a difference equals a printed one."""

NOTES = {
    "low": "The groups lost so similar shares that the loss counts as low.",
    "borderline": "The loss counts as low or as high depending on how its overall share is rounded.",
    "high": "The groups lost so many or such different shares that the loss counts as high: they may no longer be "
    "comparable.",
}
NO_INTERVAL = "It is read from a published table, so it has no interval."


@dataclass(frozen=True, slots=True, kw_only=True)
class Attrition:
    """Loss from two groups since they were drawn by lot.

    Attributes
    ----------
    overall : float
        Share lost of both groups together.
    differential : float
        Share lost of the program group minus share lost of the comparison group.
    limit : float
        Highest difference, either way, that still counts as low, a share; read off between whole percents of
        `overall` along a straight line, and 0 beyond the end of the table.
    rating : {"low", "borderline", "high"}
        Borderline where the whole percents below and above `overall` disagree.
    bias : float or None
        How large a difference between the groups such a loss can make up, in standard deviations of the outcome,
        if losing students goes together with the outcome as assumed; None where a group lost everyone.
    """

    overall: float
    differential: float
    limit: float
    rating: Rating
    bias: float | None


def attrition(
    randomized: tuple[int, int], kept: tuple[int, int], *, about: str, assumption: Assumption = "cautious"
) -> Attrition:
    r"""Work out the loss from two groups and rate it against the published boundary.

    It assumes groups drawn by lot. Cautious, the default, if the program could influence who leaves, as it can in
    a subject that students choose; optimistic if that is unlikely. Decide before the outcome is known. For whole
    choirs drawn by lot rate the choirs first, then the students of the choirs that stayed.

    Parameters
    ----------
    randomized, kept : pair of int
        Students or choirs drawn into the program group and the comparison group, and how many of them have the
        outcome. Nobody is missing here: who has no outcome is lost.
    about : str
        Whom and what the number is about, in words.
    assumption : {"cautious", "optimistic"}, optional
        Which of the two boundaries.

    Returns
    -------
    Attrition
        Shares, and a bias in standard deviations.

    Raises
    ------
    UnknownChoiceError
        If `assumption` is another word.
    ValueError
        If a count is not a whole number, or more are kept than were drawn.
    TooFewError
        If a group was empty from the start.

    Notes
    -----
    The table is the authority. Bias: :math:`\max |\alpha_1\lambda(P_1) - \alpha_2\lambda(P_2)|` over both ways
    round, P the share kept, :math:`\lambda(P) = \phi(\Phi^{-1}(P))/P`, :math:`\alpha^2` as in `LINK`; the boundary
    is where it reaches 0.05, rounded.

    References
    ----------
    .. [1] Keys ``wwc-2020`` (table) and ``deke-chiang-2017`` (bias).

    Examples
    --------
    >>> attrition((30, 30), (27, 22), about="spring").rating
    'high'
    """
    if assumption not in get_args(Assumption):
        raise UnknownChoiceError("attrition", "assumption", assumption, get_args(Assumption))
    _check(randomized, kept, about)
    overall = (sum(randomized) - sum(kept)) / sum(randomized)
    lost = [(n - k) / n for n, k in zip(randomized, kept, strict=True)]
    table, percent = BOUNDARY[assumption], 100 * overall
    below, above = math.floor(percent + DUST), math.ceil(percent - DUST)
    inside = [at < len(table) and 100 * abs(lost[0] - lost[1]) <= table[at] + DUST for at in (below, above)]
    near, far = (table[at] if at < len(table) else 0.0 for at in (below, above))
    return Attrition(
        overall=overall, differential=lost[0] - lost[1], limit=(near + (far - near) * max(percent - below, 0.0)) / 100,
        rating="low" if all(inside) else "borderline" if any(inside) else "high",
        bias=_bias(1 - lost[0], 1 - lost[1], assumption),
    )  # fmt: skip


def attrition_boundary(
    randomized: tuple[int, int], kept: tuple[int, int], *, about: str, assumption: Assumption = "cautious",
    counted: str = "students",
) -> Estimate:  # fmt: skip
    r"""Look up how different the losses of two groups may be for the loss to count as low.

    It assumes groups drawn by lot; see `attrition` for the choice of boundary and for the loss itself.

    Parameters
    ----------
    randomized, kept : pair of int
        Students or choirs drawn into the program group and the comparison group, and how many of them have the
        outcome. Nobody is missing here: who has no outcome is lost.
    about : str
        Whom and what the number is about, in words.
    assumption : {"cautious", "optimistic"}, optional
        Which of the two boundaries.
    counted : str, optional
        What was drawn by lot, such as ``"choirs"``.

    Returns
    -------
    Estimate
        In ``"share"``: the limit at the overall loss found. A note says how the loss is rated; ``n`` counts those
        drawn. It has no interval.

    Raises
    ------
    UnknownChoiceError
        If `assumption` is another word.
    ValueError
        If a count is not a whole number, or more are kept than were drawn.
    TooFewError
        If a group was empty from the start.

    Notes
    -----
    Between whole percents of overall loss the limit is read off a straight line; 0 beyond the end of the table.

    References
    ----------
    .. [1] Key ``wwc-2020``.

    Examples
    --------
    >>> round(attrition_boundary((50, 50), (44, 40), about="spring").value, 4)
    0.059
    """
    loss = attrition(randomized, kept, about=about, assumption=assumption)
    return Estimate(
        about=about, name="attrition_boundary", value=loss.limit, unit="share", n=sum(randomized), source="wwc-2020",
        counted=counted, notes=(NO_INTERVAL, NOTES[loss.rating]),
    )  # fmt: skip


def _check(randomized: tuple[int, int], kept: tuple[int, int], about: str) -> None:
    """Refuse counts that cannot be, and a group that was empty from the start."""
    for group, n, k in zip(("program", "comparison"), randomized, kept, strict=True):
        if n != int(n) or n < 0 or k != int(k) or not 0 <= k <= n:
            raise ValueError(
                f"attrition: {group} group must keep a whole number from 0 to those drawn. Got {k!r} of {n!r}."
            )
        if n == 0:
            raise TooFewError(f"attrition: needs 1 drawn into each group. {about}, {group} group, has 0.")


def _bias(kept_program: float, kept_comparison: float, assumption: Assumption) -> float | None:
    """Difference that the loss can make up, the worse way round."""
    if not min(kept_program, kept_comparison):
        return None
    shift = [
        math.exp(-(float(ndtri(p)) ** 2) / 2) / math.sqrt(2 * math.pi) / p for p in (kept_program, kept_comparison)
    ]
    one, two = (math.sqrt(link) for link in LINK[assumption])
    return max(abs(one * shift[0] - two * shift[1]), abs(one * shift[1] - two * shift[0]))
