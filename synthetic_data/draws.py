"""Random draws that stay the same on every machine and with every library version: one seed, one stream per purpose."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

SEED = 20261125

FloatArray = np.ndarray
BoolArray = np.ndarray
IntArray = np.ndarray


class Draws:
    """A stream of random numbers of its own.

    Built on the raw bits of the generator, which numpy promises never to change; the ready-made
    distributions of numpy carry no such promise.

    Parameters
    ----------
    *purpose : str or int
        What the draws are for; each purpose has a stream of its own, so that adding a file leaves
        the others as they are.
    """

    def __init__(self, *purpose: str | int) -> None:
        key = [int.from_bytes(str(part).encode(), "big") for part in purpose]
        self._bits = np.random.PCG64(np.random.SeedSequence([SEED, *key]))

    def uniform(self, *shape: int) -> FloatArray:
        """Draw numbers in [0, 1)."""
        raw = self._bits.random_raw(int(np.prod(shape)))
        return ((raw >> np.uint64(11)) * 2.0**-53).reshape(shape)

    def normal(self, *shape: int, sd: float = 1.0) -> FloatArray:
        """Draw from a normal distribution around zero."""
        return sd * ndtri(self.uniform(*shape) + 2.0**-54)

    def chance(self, probability: ArrayLike) -> BoolArray:
        """Draw yes with these probabilities."""
        probability = np.asarray(probability)
        return self.uniform(*probability.shape) < probability

    def pick(self, choices: int, *shape: int) -> IntArray:
        """Draw whole numbers from 0 to ``choices - 1``, all equally likely."""
        return (self.uniform(*shape) * choices).astype(int)

    def order(self, size: int) -> IntArray:
        """Draw an order of ``size`` things."""
        return np.argsort(self.uniform(size), kind="stable")

    def gamma(self, shape: int, *size: int, mean: float) -> FloatArray:
        """Draw from a gamma distribution whose shape is a whole number: a sum of waiting times."""
        return -np.log1p(-self.uniform(*size, shape)).sum(axis=-1) * mean / shape


def logistic(logit: ArrayLike) -> FloatArray:
    """Turn logits into probabilities."""
    return 1.0 / (1.0 + np.exp(-np.asarray(logit)))
