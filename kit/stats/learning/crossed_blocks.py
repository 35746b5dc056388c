"""Equations with one unknown for each student and a few for all: solved at the cost of the few."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve, lapack

from kit.stats.complete import Floats

SMALL = 2**17
"""Multiplications in one stretch of a product."""


@dataclass(frozen=True, slots=True)
class Blocks:
    """A symmetric positive definite matrix whose larger block is diagonal, factored.

    Attributes
    ----------
    diagonal : ndarray, shape (s,)
        Block of the students.
    ratio : ndarray, shape (s, q)
        Block between students and the few, each row divided by its diagonal entry.
    factor : ndarray, shape (q, q)
        Lower Cholesky factor of what is left for the few once the students are eliminated.
    """

    diagonal: Floats
    ratio: Floats
    factor: Floats


def thin_product(one: Floats, two: Floats) -> Floats:
    """Multiply two long thin matrices, ``one.T @ two``, a stretch of rows at a time.

    Parameters
    ----------
    one, two : ndarray, shape (s, a) and (s, b)
        Matrices of the same length.

    Returns
    -------
    ndarray, shape (a, b)
        The product. Stretches are so short that the library keeps to one thread: its threads wait for each other
        much longer than these products take where other work shares the machine.
    """
    step = max(8, SMALL // max(1, one.shape[1] * two.shape[1]))
    total = np.zeros((one.shape[1], two.shape[1]))
    for start in range(0, len(one), step):
        total += one[start : start + step].T @ two[start : start + step]
    return total


def eliminate(diagonal: Floats, cross: Floats, dense: Floats) -> Blocks:
    """Factor a matrix made of a diagonal block, a small dense block and the block between them.

    Parameters
    ----------
    diagonal : ndarray, shape (s,)
        Positive.
    cross : ndarray, shape (s, q)
        Block between.
    dense : ndarray, shape (q, q)
        Small block.

    Returns
    -------
    Blocks
        The factored matrix.
    """
    ratio = cross / diagonal[:, None]
    return Blocks(diagonal, ratio, cho_factor(dense - thin_product(cross, ratio), lower=True, check_finite=False)[0])


def solve(blocks: Blocks, left: Floats, right: Floats) -> tuple[Floats, Floats]:
    """Solve the equations.

    Parameters
    ----------
    blocks : Blocks
        The factored matrix.
    left, right : ndarray, shape (s,) and (q,)
        Right-hand side, students and the few.

    Returns
    -------
    students, few : ndarray, shape (s,) and (q,)
        The solution.
    """
    few = cho_solve((blocks.factor, True), right - blocks.ratio.T @ left, check_finite=False)
    return left / blocks.diagonal - blocks.ratio @ few, few


def log_determinant(blocks: Blocks) -> float:
    """Give the logarithm of the determinant.

    Parameters
    ----------
    blocks : Blocks
        The factored matrix.

    Returns
    -------
    float
        Natural logarithm.
    """
    return float(np.log(blocks.diagonal).sum() + 2 * np.log(np.diagonal(blocks.factor)).sum())


def inverse_few(blocks: Blocks) -> Floats:
    """Give the block of the few of the inverse.

    Parameters
    ----------
    blocks : Blocks
        The factored matrix.

    Returns
    -------
    ndarray, shape (q, q)
        By way of the inverse of the factor, since solving for all columns at once wakes the library's threads.
    """
    half = np.tril(lapack.dtrtri(blocks.factor, lower=1)[0])
    return half.T @ half


def inverse_parts(blocks: Blocks) -> tuple[Floats, Floats, Floats]:
    """Give the parts of the inverse that are worth having.

    Parameters
    ----------
    blocks : Blocks
        The factored matrix.

    Returns
    -------
    diagonal, cross, dense : ndarray, shape (s,), (s, q) and (q, q)
        Diagonal of the students' block, block between, block of the few.
    """
    dense = inverse_few(blocks)
    step = max(8, SMALL // dense.size)
    cross = -np.concatenate([blocks.ratio[at : at + step] @ dense for at in range(0, len(blocks.ratio), step)])
    return 1 / blocks.diagonal - (cross * blocks.ratio).sum(axis=1), cross, dense
