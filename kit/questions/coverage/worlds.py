"""Towns of invented singers whose every true value is known, to see whether intervals hold it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from kit.errors import UnknownChoiceError

Scores = Literal["normal", "skewed", "ceiling"]
"""Normal scores; a few students far ahead of the rest; normal scores with many at the top of the scale."""

Floats = NDArray[np.float64]
CHOIRS, EACH = 600, 100
"""Choirs of a town, and singers of each."""
GAIN = 0.5
"""What everybody gains on average, in SD of the first test."""
CORRELATION = 0.7
"""Of the two tests of a student, before scores are cut."""
SKEW = 0.5
"""Sigma of the lognormal scores: their skewness is 1.75."""
MELODIES, MELODY_NOISE = 6, 1.5
"""Melodies of a test, and the variance of the noise of one, that of singers being 1: an alpha of 0.80."""
RATERS, SEVERITY, SLIP = 50, 0.09, 0.25
"""Raters of a town; variances of their severity and of their slips."""
BELOW_THE_MARK = 0.2
"""Share of students who miss the mark that is set, where scores are not cut."""
SEED = 20261125


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """A town: 600 choirs of 100 singers, two tests, six melodies, fifty raters.

    Attributes
    ----------
    scores : str
        One of `Scores`.
    pre, post, without : ndarray, shape (choirs, singers)
        First test, second test, and what the second test would have shown without any average gain; in SD of the
        uncut first test.
    melodies : ndarray, shape (choirs * singers, melodies)
        Marks of each melody of one test.
    ratings : ndarray, shape (singers, raters)
        Marks that each rater would give each singer.
    mark : float
        A mark at the second test that most students reach.
    maximum : float
        The highest score that anybody has.
    """

    scores: str
    pre: Floats
    post: Floats
    without: Floats
    melodies: Floats
    ratings: Floats
    mark: float
    maximum: float


@lru_cache(maxsize=6)
def world(scores: Scores, *, ceiling: float = 0.3, alike: float = 0.1) -> World:
    """Make a town; the same one every time.

    Counted: nobody; the singers are invented.

    Parameters
    ----------
    scores : {"normal", "skewed", "ceiling"}
        How scores are spread.
    ceiling : float, optional
        Where scores are cut: share of singers at the top of the second test.
    alike : float, optional
        Share of the variance of scores, and of gains, that lies between choirs.

    Returns
    -------
    World

    Raises
    ------
    UnknownChoiceError
        If `scores` is another word.
    ValueError
        If `ceiling` is not from 0 to below 1, or `alike` not from 0 to 1.
    """
    if scores not in get_args(Scores):
        raise UnknownChoiceError("world", "scores", scores, get_args(Scores))
    if not 0 <= ceiling < 1:
        raise ValueError(f"world: ceiling must be from 0 to below 1. Got {ceiling!r}.")
    if not 0 <= alike <= 1:
        raise ValueError(f"world: alike must be from 0 to 1. Got {alike!r}.")
    rng = np.random.default_rng(SEED)
    first, other = _singers(alike, rng), _singers(alike, rng)
    of_gains = np.sqrt(2 - 2 * CORRELATION)
    if scores == "skewed":
        pre = _skew(first)
        without = pre + of_gains * _skew(other)
    else:
        pre, without = first, CORRELATION * first + np.sqrt(1 - CORRELATION**2) * other
    post = without + GAIN
    melodies, ratings = _melodies(scores, rng), _ratings(scores, rng)
    mark = float(np.quantile(post, BELOW_THE_MARK))
    if scores == "ceiling":
        top = np.quantile(post, 1 - ceiling)
        pre, post, without, mark = (*(np.minimum(part, top) for part in (pre, post, without)), min(mark, float(top)))
        melodies, ratings = (np.minimum(part, np.quantile(part, 1 - ceiling)) for part in (melodies, ratings))
    maximum = float(max(pre.max(), post.max()))
    return World(scores, pre, post, without, melodies, ratings, mark, maximum)


def _singers(alike: float, rng: np.random.Generator) -> Floats:
    """Draw standard normal numbers of which a share of the variance lies between choirs."""
    between, within = rng.normal(size=(CHOIRS, 1)), rng.normal(size=(CHOIRS, EACH))
    return np.sqrt(alike) * between + np.sqrt(1 - alike) * within


def _skew(deviates: Floats) -> Floats:
    """Turn standard normal numbers into lognormal ones of mean 0 and SD 1."""
    square = np.exp(SKEW**2)
    return (np.exp(SKEW * deviates) - np.sqrt(square)) / np.sqrt(square * (square - 1))


def _melodies(scores: Scores, rng: np.random.Generator) -> Floats:
    """Draw marks of each melody: what a singer can do, and noise."""
    able, noise = rng.normal(size=(CHOIRS * EACH, 1)), rng.normal(size=(CHOIRS * EACH, MELODIES))
    if scores == "skewed":
        able, noise = _skew(able), _skew(noise)
    return able + np.sqrt(MELODY_NOISE) * noise


def _ratings(scores: Scores, rng: np.random.Generator) -> Floats:
    """Draw marks of each rater: what a singer can do, how severe the rater is, and slips."""
    singers = CHOIRS * EACH // RATERS
    able, severe, slips = (rng.normal(size=size) for size in ((singers, 1), (1, RATERS), (singers, RATERS)))
    if scores == "skewed":
        able, slips = _skew(able), _skew(slips)
    return able + np.sqrt(SEVERITY) * severe + np.sqrt(SLIP) * slips
