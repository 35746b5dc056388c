"""What published sums give away of hidden counts, and which sums to leave out so that no small count can be told."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from kit.errors import TooFewError
from kit.stats.complete import Floats

Flags = np.ndarray[tuple[int], np.dtype[np.bool_]]
_DUST = 1e-6
"""How far from a whole number a solver's answer may lie, and below which a dual value is none."""
_UNBOUNDED = 3
"""How the solver says that a range has no end."""


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums of counts, and what a reader knows of each.

    Attributes
    ----------
    members : ndarray, shape (sums, cells)
        1 where a cell is part of a sum, 0 where it is not.
    truth : ndarray, shape (sums,)
        The sums, whole numbers.
    low, high : ndarray, shape (sums,)
        Between which ends a reader knows a sum that is not told exactly: 0 and infinity where it is left out, the
        ends of the step where it is rounded.
    cost : ndarray, shape (sums,)
        What is lost with each sum that is not told exactly; an infinite one always is told.
    """

    members: Floats
    truth: Floats
    low: Floats
    high: Floats
    cost: Floats


def feasible_ranges(members: Floats, low: Floats, high: Floats, wanted: Floats) -> Floats:
    r"""Give the smallest and the largest value that sums of hidden counts can have, given what is known.

    Parameters
    ----------
    members : ndarray, shape (sums, cells)
        Weight of each count (cell) in each known sum: 0 or 1 for plain totals.
    low, high : ndarray, shape (sums,)
        Ends between which each sum is known to lie; equal where it is known exactly. No missing values.
    wanted : ndarray, shape (questions, cells)
        Whole weights of the sums that are asked for.

    Returns
    -------
    ndarray, shape (questions, 2)
        Smallest and largest value; infinite where nothing bounds it.

    Raises
    ------
    TooFewError
        If no counts fit what is said to be known.

    Notes
    -----
    Two whole-number programs for each question: :math:`\min` and :math:`\max` of :math:`w^T x` subject to
    :math:`l \le M x \le h`, :math:`x \ge 0` whole. The audit of a pattern of left-out cells as the handbooks on
    disclosure control describe it (there mostly without the demand for whole numbers, which gives wider ranges).
    Assumed: a reader knows that the cells are counts, and nothing of them but the sums.

    References
    ----------
    .. [1] Key ``hundepool-2012``.

    Examples
    --------
    Four voices and their total; the third is asked for.

    >>> known = np.array([[1.0, 0, 0, 0], [0, 1.0, 0, 0], [1.0, 1.0, 1.0, 1.0]])
    >>> sums = np.array([14.0, 12.0, 41.0])
    >>> feasible_ranges(known, sums, sums, np.array([[0, 0, 1.0, 0]])).tolist()
    [[0.0, 15.0]]
    """
    kept = _different(members, wanted)
    known, asked = members[:, kept], wanted[:, kept]
    return np.array([[_end(known, low, high, row * side) * side for side in (1, -1)] for row in asked])


def leave_out(sums: Sums, secrets: Floats, *, width: Floats, already: Flags | None = None) -> Flags:
    """Choose which sums are not told exactly, so that what they give away of each small count is a wide range.

    Parameters
    ----------
    sums : Sums
        What would be published.
    secrets : ndarray, shape (secrets, cells)
        1 where a cell is part of a small count, 0 where it is not.
    width : ndarray, shape (secrets,)
        How far apart the ends of the range of each small count must lie.
    already : ndarray of bool, shape (sums,), optional
        True where a sum is not told exactly in any case.

    Returns
    -------
    ndarray of bool, shape (sums,)
        True where a sum is not told exactly.

    Raises
    ------
    TooFewError
        If even with all sums left out that may be, a small count can be told.

    Notes
    -----
    As long as a range is too narrow, the cheapest of the sums that make it so (those with a dual value in the
    linear program of the end that lies nearer to the truth) is left out; at the end each that turns out to be
    unnecessary is told again, the dearest first. What is left is not the cheapest choice there is, but none of it
    could be told. Assumed: as for `feasible_ranges`.

    References
    ----------
    .. [1] Key ``hundepool-2012``.
    """
    always = np.zeros(len(sums.truth), dtype=bool) if already is None else already
    hidden, ends, cause = always.copy(), [], {}
    for asked, (secret, apart) in enumerate(zip(secrets, width, strict=True)):
        while (found := _wide(sums, hidden, secret, apart)) is None:
            out = _cheapest(sums, hidden, secret)
            hidden[out], cause[out] = True, asked
        ends.append(found)
    for at in sorted(cause, key=lambda at: -sums.cost[at]):
        # the one that it was left out for first: most likely it is still needed
        order = sorted(range(len(secrets)), key=lambda asked: asked != cause[at])
        fewer = hidden & (np.arange(len(hidden)) != at)
        again = _all_wide(sums, fewer, [(secrets[asked], ends[asked], width[asked]) for asked in order])
        if again is not None:
            hidden, ends = (
                fewer,
                [found for _, found in sorted(zip(order, again, strict=True), key=lambda pair: pair[0])],
            )
    return hidden


def known_ends(sums: Sums, hidden: Flags) -> tuple[Floats, Floats]:
    """Give the ends between which a reader knows each sum.

    Parameters
    ----------
    sums : Sums
        What is published.
    hidden : ndarray of bool, shape (sums,)
        True where a sum is not told exactly.

    Returns
    -------
    low, high : ndarray, shape (sums,)
    """
    return np.where(hidden, sums.low, sums.truth), np.where(hidden, sums.high, sums.truth)


def _wide(sums: Sums, hidden: Flags, secret: Floats, width: float) -> Floats | None:
    """Give the cells at both ends of the range of a small count, None where the range is too narrow."""
    low, high = known_ends(sums, hidden)
    # nobody is helped by a range wider than that, and a solver likes bounds
    most = sums.truth.max(initial=0) + width
    quick = [_relaxed(sums.members, low, high, secret * side) for side in (1, -1)]
    if None not in quick and -sum(quick) < width - _DUST:
        return None
    ends = np.array([_solved(sums.members, low, high, secret * side, most) for side in (1, -1)])
    return ends if (ends[1] - ends[0]) @ secret >= width - _DUST else None


def _all_wide(sums: Sums, hidden: Flags, secrets: list[tuple[Floats, Floats, float]]) -> list[Floats] | None:
    """Give the cells at the ends of all ranges, None where one is too narrow; those known before may still do."""
    low, high = known_ends(sums, hidden)
    ends = []
    for secret, before, width in secrets:
        told = before @ sums.members.T
        still = ((told >= low - _DUST) & (told <= high + _DUST)).all()
        found = before if still else _wide(sums, hidden, secret, width)
        if found is None:
            return None
        ends.append(found)
    return ends


def _relaxed(members: Floats, low: Floats, high: Floats, aim: Floats) -> float | None:
    """Give the smallest value of one sum if counts need not be whole; None where nothing bounds it."""
    solved = linprog(aim, *_as_limits(members, low, high), bounds=(0, None))
    return solved.fun if solved.status == 0 else None


def _cheapest(sums: Sums, hidden: Flags, secret: Floats) -> int:
    """Find the cheapest of the sums that make a range narrow."""
    low, high = known_ends(sums, hidden)
    guilty = [_guilty(sums.members, low, high, secret * side) for side in (-1, 1)]
    open_ = ~hidden & np.isfinite(sums.cost)
    for found in (guilty[0] | guilty[1], (sums.members @ secret) > 0, np.ones(len(hidden), dtype=bool)):
        if (found & open_).any():
            return int(min(np.flatnonzero(found & open_), key=lambda at: (sums.cost[at], at)))
    raise TooFewError("leave_out: needs sums that may be left out. A small count can be told from the others.")


def _guilty(members: Floats, low: Floats, high: Floats, aim: Floats) -> Flags:
    """Find the sums with a dual value at one end of a range."""
    real = np.isfinite(np.concatenate([high, -low]))
    solved = linprog(aim, *_as_limits(members, low, high), bounds=(0, None))
    found = np.zeros(len(real), dtype=bool)
    if solved.status == 0:
        found[real] = np.abs(solved.ineqlin.marginals) > _DUST
    return found[: len(low)] | found[len(low) :]


def _different(members: Floats, wanted: Floats) -> np.ndarray:
    """Keep one of the cells that stand in the same sums and questions: together they are one count."""
    return np.sort(np.unique(np.vstack([members, wanted]), axis=1, return_index=True)[1])


def _end(members: Floats, low: Floats, high: Floats, aim: Floats) -> float:
    """Give the smallest value of one sum."""
    if linprog(aim, *_as_limits(members, low, high), bounds=(0, None)).status == _UNBOUNDED:
        return -np.inf
    return float(np.round(aim @ _solved(members, low, high, aim, np.inf)))


def _solved(members: Floats, low: Floats, high: Floats, aim: Floats, most: float) -> Floats:
    """Give the counts that make one sum as small as it can be."""
    solved = milp(
        aim, constraints=LinearConstraint(members, low, high), integrality=np.ones(len(aim)), bounds=Bounds(0, most)
    )
    if solved.x is None:
        raise TooFewError("feasible_ranges: needs sums that counts can have. No counts fit these.")
    return np.round(solved.x)


def _as_limits(members: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Write ends as upper limits, without those that are none."""
    rows, ends = np.vstack([members, -members]), np.concatenate([high, -low])
    return rows[np.isfinite(ends)], ends[np.isfinite(ends)]
