"""Ways of making an interval where whole choirs are drawn, as they are tried on invented towns."""

from __future__ import annotations

import numpy as np

from kit.estimate import Estimate
from kit.questions.coverage.draws import Draw, Way
from kit.questions.coverage.worlds import World
from kit.stats.clusters.choirs import cluster_mean_difference, icc_clusters
from kit.stats.clusters.shares import share_clusters
from kit.stats.means import mean_gain


def _gain_of_choirs(town: World, draw: Draw) -> Estimate:
    """Test whole choirs twice; each counts once, by its averages."""
    choirs, students = draw.choirs_of(town)
    averages = (scores[choirs, students].mean(axis=1) for scores in (town.pre, town.post))
    return mean_gain(*averages, about="draw", unit="points", level=draw.level)


def _gain_choirs_ignored(town: World, draw: Draw) -> Estimate:
    """Test whole choirs twice, and treat their students as strangers."""
    choirs, students = draw.choirs_of(town)
    both = (scores[choirs, students].ravel() for scores in (town.pre, town.post))
    return mean_gain(*both, about="draw", unit="points", level=draw.level)


def _choirs_apart(town: World, draw: Draw, *, adjusted: bool = False) -> Estimate:
    """Set choirs with a gain beside choirs without, half and half."""
    choirs, students = draw.choirs_of(town)
    program = np.arange(draw.choirs) < draw.choirs // 2
    scores = np.where(program[:, None], town.post[choirs, students], town.without[choirs, students])
    choir, has = (np.repeat(column, draw.students) for column in (np.arange(draw.choirs), program))
    first = town.pre[choirs, students].ravel() if adjusted else None
    return cluster_mean_difference(
        scores.ravel(), choir, has, pretest=first, about="draw", unit="points", level=draw.level
    )


def _likeness(town: World, draw: Draw) -> Estimate:
    """Ask how alike the singers of a choir are."""
    choirs, students = draw.choirs_of(town)
    choir = np.repeat(np.arange(draw.choirs), draw.students)
    return icc_clusters(town.pre[choirs, students].ravel(), choir, about="draw", level=draw.level)


def _reached_in_choirs(town: World, draw: Draw) -> Estimate:
    """Ask which share of the singers of whole choirs reached the mark."""
    choirs, students = draw.choirs_of(town)
    choir = np.repeat(np.arange(draw.choirs), draw.students)
    return share_clusters(town.post[choirs, students].ravel() >= town.mark, choir, about="draw", level=draw.level)


def _gain(town: World) -> float:
    """Average the gains of everybody."""
    return float((town.post - town.pre).mean())


def _apart(town: World) -> float:
    """Give the difference of everybody's average with and without the program."""
    return float(town.post.mean() - town.without.mean())


OF_CHOIRS: dict[str, Way] = {
    "mean_gain_choirs": Way("mean_gain", "choirs", _gain_of_choirs, _gain),
    "mean_gain_choirs_ignored": Way("mean_gain", "choirs", _gain_choirs_ignored, _gain),
    "cluster_mean_difference": Way("cluster_mean_difference", "choirs", _choirs_apart, _apart),
    "cluster_mean_difference_adjusted": Way(
        "cluster_mean_difference", "choirs", lambda town, draw: _choirs_apart(town, draw, adjusted=True), _apart
    ),
    "icc_clusters": Way(
        "icc_clusters", "choirs", _likeness, lambda town: float(town.pre.mean(axis=1).var() / town.pre.var())
    ),
    "share_clusters": Way(
        "share_clusters", "choirs", _reached_in_choirs, lambda town: float((town.post >= town.mark).mean())
    ),
}  # fmt: skip
"""Ways by their names."""
