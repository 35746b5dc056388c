"""Permutation of whole choirs: a tool that returns a p-value and says how small it could have been."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike

from kit.errors import TooFewError
from kit.stats.bootstrap_limits import TIE
from kit.stats.complete import Floats, complete_rows, need
from kit.stats.two_tests import is_program

ENUMERATED_UP_TO = 200_000
"""Assignments up to which every one is looked at; beyond, assignments are drawn."""

BLOCK = 1 << 14
"""Assignments looked at together."""

Bools = np.ndarray
ClusterStatistic = Callable[[Floats, Bools], Floats]


@dataclass(frozen=True, slots=True, kw_only=True)
class Permutation:
    """The result of a permutation test.

    Attributes
    ----------
    observed : float
        The statistic as choirs were assigned.
    p : float
        Two-sided p-value: share of assignments with a statistic at least as far from zero.
    smallest : float
        The smallest p that these choirs could have given, whatever had come out: it is known from these
        numbers and the way of assigning; if it is above the level asked for, the test cannot decide.
    assignments : int
        Assignments looked at.
    method : str
        How, in words.
    source : str
        Key in ``kit.sources``.
    """

    observed: float
    p: float
    smallest: float
    assignments: int
    method: str
    source: str


def permutation_clusters(
    values: ArrayLike,
    program: ArrayLike,
    *,
    rng: np.random.Generator,
    within: ArrayLike | None = None,
    statistic: ClusterStatistic | None = None,
    draws: int = 10_000,
) -> Permutation:
    r"""Test whether choirs of the program differ, by assigning the choirs in every other way that was possible.

    It assumes that whole choirs were assigned at random (in pairs or schools, if `within` says so), or might as
    well have been, and nothing about the scores. Signs of one group's gains are turned by giving each choir
    twice, first and second mean, within itself.

    Parameters
    ----------
    values : array_like, shape (G,) or (G, k)
        For each of the G choirs its mean (or k numbers), none missing.
    program : array_like of bool, shape (G,)
        True for a choir of the program group.
    rng : numpy.random.Generator
        Source of the draws where there are too many assignments to list.
    within : array_like, shape (G,), optional
        Pair or school within which choirs were assigned. Default: all choirs together.
    statistic : callable, optional
        Takes the values, shape (G, k), and assignments, shape (m, G), True for program; gives one number per
        assignment, 0 where nothing differs. Default: mean of the program choirs minus mean of the others.
    draws : int, optional
        How many assignments to draw where there are more than 200,000.

    Returns
    -------
    Permutation
        With the smallest p that could have been reached.

    Raises
    ------
    ValueError
        If a number is missing or infinite, lists differ in length, `program` holds anything but True and
        False, or `draws` is below 100.
    TooFewError
        If either group has no choir, choirs could not have been assigned in another way, or the statistic is
        undefined in an assignment.

    Notes
    -----
    Listed: :math:`p = \#\{|T| \ge |t|\}/\prod_s \binom{n_s}{m_s}` over strata s with :math:`m_s` of
    :math:`n_s` choirs in the program. Drawn: :math:`p = (1 + \#\{|T| \ge |t|\})/(1 + draws)`, never zero.

    References
    ----------
    .. [1] Keys ``edgington-onghena-2007`` (listed) and ``phipson-smyth-2010`` (drawn).

    Examples
    --------
    >>> gains = [3.1, 2.8, 3.9, 3.0, 1.2, 0.4, 0.9, 2.0]
    >>> found = permutation_clusters(gains, [True] * 4 + [False] * 4, rng=np.random.default_rng(1))
    >>> found.assignments, round(found.p, 4), round(found.smallest, 4)
    (70, 0.0286, 0.0286)
    """
    name = "permutation_clusters"
    table, marks, strata = _read(name, values, program, within)
    if draws < 100:
        raise ValueError(f"{name}: draws must be at least 100. Got {draws!r}.")
    count = math.prod(math.comb(places.size, int(marks[places].sum())) for places in strata)
    if count == 1:
        raise TooFewError(f"{name}: needs choirs that could have been assigned in another way. These could not.")
    listed = count <= ENUMERATED_UP_TO
    blocks = _listed(marks, strata) if listed else _drawn(marks, strata, rng, draws)
    compute = statistic or _mean_difference
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.concatenate([compute(table, block) for block in blocks])
        observed = float(compute(table, marks[None, :])[0])
    undefined = int((~np.isfinite(found)).sum())
    if undefined or not math.isfinite(observed):
        raise TooFewError(f"{name}: needs a statistic defined in every assignment. It is not in {undefined}.")
    return _result(found, observed, listed=listed, strata=len(strata))


def _result(found: Floats, observed: float, *, listed: bool, strata: int) -> Permutation:
    """Count how many assignments are as far from zero as the observed, and as the most extreme."""
    size, most = np.abs(found), max(float(np.abs(found).max()), abs(observed))
    tie, extra = TIE * most, 0 if listed else 1
    reached, top = (int((size >= limit - tie).sum()) + extra for limit in (abs(observed), most))
    whole = found.size + extra
    where = "" if strata == 1 else f" within {strata} pairs or schools"
    method = f"all {found.size} assignments of whole choirs{where}" if listed else (
        f"{found.size} assignments of whole choirs{where}, drawn"
    )  # fmt: skip
    return Permutation(
        observed=observed, p=reached / whole, smallest=top / whole if listed else 1 / whole, assignments=found.size,
        method=method, source="edgington-onghena-2007" if listed else "phipson-smyth-2010",
    )  # fmt: skip


def _read(
    function: str, values: ArrayLike, program: ArrayLike, within: ArrayLike | None
) -> tuple[Floats, Bools, list[np.ndarray]]:
    """Check the choirs; give their numbers, marks, and the places of each stratum."""
    table = np.asarray(values, dtype=float)
    table = table.reshape(len(table), math.prod(table.shape[1:]))
    (marks, *columns), missing = complete_rows(
        function, program=program, **{f"values_{i}": c for i, c in enumerate(table.T)}
    )
    if missing:
        raise ValueError(f"{function}: values must have no missing number. Got {missing} choirs with one.")
    chosen = is_program(function, marks)
    need(function, "The program group", int(chosen.sum()), least=1, what="choir in each group")
    need(function, "The comparison group", int((~chosen).sum()), least=1, what="choir in each group")
    labels = np.zeros(chosen.size) if within is None else np.asarray(within)
    if labels.shape != chosen.shape:
        raise ValueError(f"{function}: within must have one label per choir, {chosen.size}. Got {labels.size}.")
    return np.column_stack(columns), chosen, [np.flatnonzero(labels == label) for label in np.unique(labels)]


def _mean_difference(table: Floats, assigned: Bools) -> Floats:
    """Mean of the program choirs minus mean of the others, by one product."""
    values = table[:, 0] - table[:, 0].mean()
    total, inside = (assigned @ np.column_stack([values, np.ones_like(values)])).T
    return total * (1 / inside + 1 / (len(values) - inside))


def _listed(marks: Bools, strata: list[np.ndarray]) -> Iterator[Bools]:
    """List every assignment, block by block: each number is read as one choice for each stratum."""
    ways = [_choices(places.size, int(marks[places].sum())) for places in strata]
    count = math.prod(len(way) for way in ways)
    for start in range(0, count, BLOCK):
        if len(ways) == 1:
            yield ways[0][start : start + BLOCK]
            continue
        number = np.arange(start, min(start + BLOCK, count))
        block = np.zeros((number.size, marks.size), dtype=bool)
        for places, way in zip(strata, ways, strict=True):
            block[:, places] = way[number % len(way)]
            number //= len(way)
        yield block


@lru_cache(maxsize=4)
def _choices(n: int, chosen: int) -> Bools:
    """Every way to choose some of n, one row each; kept, since one report asks several times."""
    places = np.array(list(combinations(range(n), chosen)), dtype=np.intp).reshape(-1, chosen)
    ways = np.zeros((len(places), n), dtype=bool)
    np.put_along_axis(ways, places, values=True, axis=1)
    ways.flags.writeable = False
    return ways


def _drawn(marks: Bools, strata: list[np.ndarray], rng: np.random.Generator, draws: int) -> Iterator[Bools]:
    """Draw assignments, block by block: the choirs of each stratum in random order."""
    for start in range(0, draws, BLOCK):
        block = np.zeros((min(BLOCK, draws - start), marks.size), dtype=bool)
        for places in strata:
            block[:, places] = rng.permuted(np.tile(marks[places], (len(block), 1)), axis=1)
        yield block
