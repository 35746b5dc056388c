"""What a study of whole choirs could have seen, and how many choirs it needs: a plan in, one Estimate out."""

from __future__ import annotations

import math
from collections.abc import Callable

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.stats.complete import need, proportion
from kit.stats.power.noncentral import noncentrality_needed

FOLLOWS_FROM_PLAN = "This follows from the plan and from what it assumes of choirs, so it has no interval."
TAKEN_TO_START_ALIKE = (
    "The formula takes both groups to start alike. By chance they do not, so with a first test and few choirs a study "
    "notices less often than asked for: with 8 choirs about 73 times in 100 where 80 were asked for, with 20 choirs 78."
)
FEWEST_DF = 4
"""Degrees of freedom that must be left for a choir-level covariate: below, it costs more than it can explain."""
MOST_CHOIRS = 1_000_000
"""Choirs in each group beyond which no plan is looked for."""


def detectable_difference_clusters(
    *,
    choirs: tuple[int, int],
    students: int,
    icc: float,
    about: str,
    explained_between: float = 0.0,
    explained_within: float = 0.0,
    covariates: int = 0,
    power: float = 0.80,
    level: float = 0.95,
) -> Estimate:
    r"""Find the smallest difference that a study of whole choirs would probably notice.

    It assumes choirs that were assigned at random as wholes, of one size and with normal scores, and one spread in
    both groups.

    Parameters
    ----------
    choirs : tuple of int
        Choirs in the program and in the comparison group.
    students : int
        Students tested in each choir (the harmonic mean where choirs differ); there are no missing values here.
    icc : float
        Share of the variance of scores that lies between choirs, 0 to 1.
    about : str
        Whom the number is about, in words.
    explained_between : float, optional
        Share of the variance between choirs that choir-level covariates (a first test's mean) explain, 0 to below 1.
    explained_within : float, optional
        Share of the variance within choirs that student-level covariates (a first test) explain, 0 to below 1.
    covariates : int, optional
        Choir-level covariates; each takes a degree of freedom.
    power : float, optional
        How probable it must be to notice the difference, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must lie on one side of zero, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"SD"`` of all students' unadjusted scores; without an interval.

    Raises
    ------
    ValueError
        If a share or a count cannot be, or `explained_between` is given without a choir-level covariate.
    TooFewError
        If a group has fewer than 2 choirs, or choir-level covariates would leave fewer than 4 degrees of freedom.

    Notes
    -----
    :math:`\delta\sqrt{(1/J_1 + 1/J_2)(\rho(1-R^2_2) + (1-\rho)(1-R^2_1)/n)}` with :math:`J_1 + J_2 - 2 - g` degrees
    of freedom; :math:`\delta` as in `detectable_gain`. With a covariate it leaves out what chance
    differences of the groups at the first test cost: for power 0.80 the true power is 0.73 with 8 choirs, 0.76 with
    12, 0.78 with 20; `kit.stats.power.simulation.power_simulated` allows for them.

    References
    ----------
    .. [1] Keys ``dong-maynard-2013``, ``bloom-1995``.

    Examples
    --------
    >>> found = detectable_difference_clusters(choirs=(10, 10), students=15, icc=0.17, about="the plan")
    >>> round(found.value, 3), found.df
    (0.629, 18.0)
    """
    name = "detectable_difference_clusters"
    noise = _noise(name, students, icc, explained_between, explained_within)
    df = degrees_of_freedom(name, about, choirs, covariates=covariates, explained_between=explained_between)
    away = noncentrality_needed(name, df, power=power, level=level)
    return Estimate(
        about=about, name="detectable_difference_clusters", value=away * math.sqrt(noise * sum(1 / j for j in choirs)),
        unit="SD", n=sum(choirs), counted="choirs", clusters=sum(choirs), df=float(df), source="dong-maynard-2013",
        notes=_notes(covariates),
    )  # fmt: skip


def choirs_needed(
    *,
    difference: float,
    students: int,
    icc: float,
    about: str,
    explained_between: float = 0.0,
    explained_within: float = 0.0,
    covariates: int = 0,
    power: float = 0.80,
    level: float = 0.95,
) -> Estimate:
    r"""Find how many choirs a study needs to notice a difference, half of them in the program.

    It assumes choirs assigned at random as wholes, of one size and with normal scores and one spread in both groups,
    as `detectable_difference_clusters` does.

    Parameters
    ----------
    difference : float
        The difference to be noticed, above 0, in SD of all students' unadjusted scores.
    students : int
        Students tested in each choir (the harmonic mean where choirs differ); there are no missing values here.
    icc : float
        Share of the variance of scores that lies between choirs, 0 to 1.
    about : str
        Whom the number is about, in words.
    explained_between, explained_within : float, optional
        Shares of the variance between and within choirs that covariates explain, 0 to below 1.
    covariates : int, optional
        Choir-level covariates; each takes a degree of freedom.
    power : float, optional
        How probable it must be to notice the difference, a proportion in (0, 1).
    level : float, optional
        Confidence level of the interval that must lie on one side of zero, a proportion in (0, 1).

    Returns
    -------
    Estimate
        In ``"choirs"``, both groups together, an even number; without an interval.

    Raises
    ------
    ValueError
        If `difference` is not above 0, or so small that two million choirs are too few, or as
        `detectable_difference_clusters` raises it.

    Notes
    -----
    The smallest even :math:`J` for which :math:`\delta\sqrt{(4/J)(\rho(1-R^2_2) + (1-\rho)(1-R^2_1)/n)}` is at most the
    difference, with J - 2 - g degrees of freedom, as in `detectable_difference_clusters`.

    References
    ----------
    .. [1] Keys ``dong-maynard-2013``, ``bloom-1995``.

    Examples
    --------
    >>> choirs_needed(difference=0.4, students=25, icc=0.2, about="the plan").value
    48.0
    """
    name = "choirs_needed"
    if not 0 < difference < math.inf:
        raise ValueError(f"choirs_needed: difference must be above 0. Got {difference!r}.")
    noise = _noise(name, students, icc, explained_between, explained_within)
    fewest = math.ceil((FEWEST_DF + 2 + covariates) / 2) if covariates else 2
    degrees_of_freedom(name, about, (fewest, fewest), covariates=covariates, explained_between=explained_between)

    def seen(each: int) -> bool:
        """Say whether so many choirs in each group are enough."""
        away = noncentrality_needed(name, 2 * each - 2 - covariates, power=power, level=level)
        return away * math.sqrt(noise * 2 / each) <= difference

    each = _first(seen, fewest)
    if each is None:
        raise ValueError(
            f"choirs_needed: difference must be larger. Got {difference!r}; {2 * MOST_CHOIRS} choirs are too few."
        )
    return Estimate(
        about=about, name="choirs_needed", value=float(2 * each), unit="choirs", n=students,
        counted="students in each choir", clusters=2 * each, df=float(2 * each - 2 - covariates),
        source="dong-maynard-2013", notes=(FOLLOWS_FROM_PLAN,),
    )  # fmt: skip


def degrees_of_freedom(
    function: str, about: str, choirs: tuple[int, int], *, covariates: int, explained_between: float = 0.0
) -> int:
    """Give the degrees of freedom of a comparison of choirs, and refuse one that has too few.

    Parameters
    ----------
    function, about : str
        Who asks, and about whom.
    choirs : tuple of int
        Choirs in the program and in the comparison group.
    covariates : int
        Choir-level covariates.
    explained_between : float, optional
        What they explain.

    Returns
    -------
    int
        Choirs less 2 less covariates.

    Raises
    ------
    ValueError
        If there are fewer covariates than none, or none and they are said to explain something.
    TooFewError
        If a group has fewer than 2 choirs, or covariates would leave fewer than 4 degrees of freedom.
    """
    if covariates < 0 or (explained_between and not covariates):
        least = 1 if explained_between else 0
        raise ValueError(f"{function}: covariates must be at least {least}. Got {covariates!r}.")
    need(function, about, min(choirs), least=2, what="choirs in each group")
    df = sum(choirs) - 2 - covariates
    if covariates and df < FEWEST_DF:
        raise TooFewError(
            f"{function}: needs {FEWEST_DF} degrees of freedom beside the choir-level covariates. {about} has {df}; "
            "leave the covariates out."
        )
    return df


def _noise(function: str, students: int, icc: float, between: float, within: float) -> float:
    """Variance of one choir's adjusted mean, where the variance of all students is 1."""
    need(function, "Each choir", students, least=1, what="student in each choir")
    proportion(function, "icc", icc)
    for option, share in (("explained_between", between), ("explained_within", within)):
        if not 0 <= share < 1:
            raise ValueError(f"{function}: {option} must be at least 0 and below 1. Got {share!r}.")
    return icc * (1 - between) + (1 - icc) * (1 - within) / students


def _notes(covariates: int) -> tuple[str, ...]:
    """Give what must be printed with a plan's number."""
    return (FOLLOWS_FROM_PLAN, TAKEN_TO_START_ALIKE) if covariates else (FOLLOWS_FROM_PLAN,)


def _first(enough: Callable[[int], bool], fewest: int) -> int | None:
    """Find the smallest number that is enough: double until one is, then halve the distance."""
    high = fewest
    while not enough(high):
        if high >= MOST_CHOIRS:
            return None
        high = min(2 * high, MOST_CHOIRS)
    low = fewest - 1 if high == fewest else max(fewest, high // 2) - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
