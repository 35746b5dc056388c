"""The smallest p that a permutation of choirs can reach, however far apart they end: a plan in, one Estimate out."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scipy.special import gammaln

from kit.estimate import Estimate
from kit.stats.complete import need

COUNTED_ARRANGEMENTS = "This counts the ways in which choirs could have been assigned, so it has no interval."


def smallest_permutation_p(schools: Sequence[Sequence[int]], *, about: str) -> Estimate:
    r"""Give the smallest p-value that shuffling choirs can give.

    It assumes that choirs were assigned at random as wholes, within schools or pairs where there are any, and that
    every way of assigning them was as likely as any other.

    Parameters
    ----------
    schools : sequence of sequence of int
        For each school or pair within which choirs were assigned, how many went to each approach (or starting date):
        ``[(4, 4)]`` for 8 choirs together, ``[(1, 1)] * 4`` for 4 pairs, ``[(1, 1, 1)]`` for 3 choirs that start at
        3 dates. One group without comparison, its gains' signs turned choir by choir, counts like as many pairs.
        There are no missing values here.
    about : str
        Whom the number is about, in words.

    Returns
    -------
    Estimate
        A ``"share"``: two-sided for two approaches, one-sided for more (starting dates have an order); without an
        interval. 1 where choirs could be assigned in one way only.

    Raises
    ------
    ValueError
        If a number is negative or not whole, or schools differ in how many approaches they list.
    TooFewError
        If no choir, or fewer than 2 approaches, are given.

    Notes
    -----
    :math:`c / \prod_s \frac{n_s!}{\prod_a n_{sa}!}`; c = 2 where every school has equally many choirs in both
    approaches, because the mirrored assignment is then as extreme, else 1.

    References
    ----------
    .. [1] Key ``edgington-onghena-2007``.

    Examples
    --------
    >>> round(smallest_permutation_p([(3, 3)], about="6 choirs").value, 3)
    0.1
    >>> round(smallest_permutation_p([(4, 4)], about="8 choirs").value, 4)
    0.0286
    >>> round(smallest_permutation_p([(1, 1)] * 5, about="5 pairs").value, 4)
    0.0625
    """
    counts = [tuple(school) for school in schools]
    choirs, approaches = _checked(counts, about)
    ways = sum(gammaln(sum(school) + 1) - sum(gammaln(part + 1) for part in school) for school in counts)
    mirrored = approaches == 2 and all(school[0] == school[1] for school in counts)
    return Estimate(
        about=about, name="smallest_permutation_p", value=min(1.0, math.exp((math.log(2) if mirrored else 0.0) - ways)),
        unit="share", n=choirs, counted="choirs", clusters=choirs, source="edgington-onghena-2007",
        notes=(COUNTED_ARRANGEMENTS,),
    )  # fmt: skip


def _checked(counts: list[tuple[int, ...]], about: str) -> tuple[int, int]:
    """Refuse what cannot be; give the numbers of choirs and of approaches."""
    name = "smallest_permutation_p"
    if any(part != int(part) or part < 0 for school in counts for part in school):
        raise ValueError(f"{name}: schools must hold whole numbers from 0. Got {counts!r}.")
    approaches = {len(school) for school in counts}
    if len(approaches) > 1:
        raise ValueError(f"{name}: schools must list the same approaches. Got {counts!r}.")
    choirs = int(sum(map(sum, counts)))
    need(name, about, choirs, least=1, what="choir")
    need(name, about, max(approaches), least=2, what="approaches")
    return choirs, max(approaches)
