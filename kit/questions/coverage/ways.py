"""Every way of making an interval that is tried on invented towns, with what is true of the whole town."""

from __future__ import annotations

import numpy as np

from kit.estimate import Estimate
from kit.questions.coverage.choirs import OF_CHOIRS
from kit.questions.coverage.draws import Draw, Way, counted, one_group, redrawn, two_groups, two_groups_twice
from kit.questions.coverage.raters import OF_TESTS
from kit.questions.coverage.worlds import Floats, World
from kit.stats.association import correlation
from kit.stats.dominance import dominance
from kit.stats.effects.between import d_average_groups, glass_delta
from kit.stats.effects.normalized_gain import normalized_gain
from kit.stats.effects.prepost import adjusted_g, gain_difference_g, prepost_control_d
from kit.stats.effects.sizes import d_average, d_change, d_pre, hedges_g
from kit.stats.means import mean_difference, mean_difference_welch, mean_gain, mean_score, median_gain
from kit.stats.median_difference import median_difference
from kit.stats.moment_bootstrap import Moments
from kit.stats.pair_order import typical_average, typical_difference
from kit.stats.proportions.adjusted import share_change_bonett_price, share_difference_agresti_caffo
from kit.stats.proportions.shares import share_change_newcombe, share_difference_newcombe, share_exact, share_wilson
from kit.stats.resampling import bootstrap_bca, bootstrap_percentile
from kit.stats.superiority import cliffs_delta, probability_of_superiority, probability_of_superiority_paired


def _gain(town: World) -> float:
    """Average the gains of everybody."""
    return float((town.post - town.pre).mean())


def _apart(town: World) -> float:
    """Give the difference of everybody's average with and without the program."""
    return float(town.post.mean() - town.without.mean())


def _spread(one: Floats, two: Floats) -> float:
    """Give the average SD of two columns."""
    return float(np.sqrt((one.var() + two.var()) / 2))


def _g(town: World) -> float:
    """Give the difference of averages in SD of second scores."""
    return _apart(town) / _spread(town.post, town.without)


def _linked(town: World) -> float:
    """Give the correlation of both tests."""
    return float(np.corrcoef(town.pre.ravel(), town.post.ravel())[0, 1])


def _share(town: World, scores: Floats) -> float:
    """Give the share of everybody at the mark or above."""
    return float((scores >= town.mark).mean())


def _dominance(town: World) -> float:
    """Say how much more often a student with the program lies above one without than below."""
    return dominance(town.post.ravel(), town.without.ravel()).delta


def _gain_of(moments: Moments) -> Floats:
    """Give the mean gain of resamples."""
    return moments.mean[..., 1] - moments.mean[..., 0]


def _correlation_of(moments: Moments) -> Floats:
    """Give the correlation of resamples."""
    spread = moments.covariance
    return spread[..., 0, 1] / np.sqrt(spread[..., 0, 0] * spread[..., 1, 1])


def _possible(town: World) -> float:
    """Give the share of the gain that was possible which everybody together made."""
    return _gain(town) / float(town.maximum - town.pre.mean())


def _of_possible(town: World, draw: Draw) -> Estimate:
    """Ask which share of the gain that was possible a group made."""
    both = draw.pairs_of(town.pre, town.post)
    return normalized_gain(*both, maximum=town.maximum, about="draw", level=draw.level)


def _reached(town: World, draw: Draw) -> tuple[int, int]:
    """Count who reached the mark, and all."""
    return int((draw.of(town.post) >= town.mark).sum()), draw.students


def _reached_in_both(town: World, draw: Draw) -> tuple[int, int, int, int]:
    """Count who reached the mark, and all, in two groups."""
    other = int((draw.of(town.without) >= town.mark).sum())
    return *_reached(town, draw), other, draw.students


def _crossed(town: World, draw: Draw) -> tuple[int, ...]:
    """Count who reached the mark at both tests, at the first only, at the second only, at neither."""
    before, after = (scores >= town.mark for scores in draw.pairs_of(town.pre, town.post))
    return tuple(int(part.sum()) for part in (before & after, before & ~after, ~before & after, ~before & ~after))


OF_ONE_GROUP: dict[str, Way] = {
    "mean_score": Way(
        "mean_score", "students",
        lambda town, draw: mean_score(draw.of(town.post), about="draw", unit="points", level=draw.level),
        lambda town: float(town.post.mean()),
    ),
    "mean_gain": one_group(mean_gain, _gain, unit="points"),
    "mean_gain_bca": redrawn(bootstrap_bca, _gain_of, _gain),
    "mean_gain_percentile": redrawn(bootstrap_percentile, _gain_of, _gain),
    "median_gain": one_group(
        median_gain, lambda town: typical_average((town.post - town.pre).ravel(), 0)[0], unit="points"
    ),
    "d_pre": one_group(d_pre, lambda town: _gain(town) / town.pre.std()),
    "d_pre_jackknife": one_group(d_pre, lambda town: _gain(town) / town.pre.std(), method="jackknife"),
    "d_average": one_group(d_average, lambda town: _gain(town) / _spread(town.pre, town.post)),
    "d_average_jackknife": one_group(
        d_average, lambda town: _gain(town) / _spread(town.pre, town.post), method="jackknife"
    ),
    "d_change": one_group(d_change, lambda town: _gain(town) / (town.post - town.pre).std()),
    "normalized_gain": Way("normalized_gain", "students", _of_possible, _possible),
    "probability_of_superiority_paired": one_group(
        probability_of_superiority_paired, lambda town: float((1 + np.sign(town.post - town.pre).mean()) / 2)
    ),
    "correlation": one_group(correlation, _linked),
    "correlation_jackknife": one_group(correlation, _linked, method="jackknife"),
    "correlation_bca": redrawn(bootstrap_bca, _correlation_of, _linked),
    "correlation_percentile": redrawn(bootstrap_percentile, _correlation_of, _linked),
    "share_wilson": counted(share_wilson, _reached, lambda town: _share(town, town.post)),
    "share_exact": counted(share_exact, _reached, lambda town: _share(town, town.post)),
    "share_change_newcombe": counted(
        share_change_newcombe, _crossed, lambda town: _share(town, town.post) - _share(town, town.pre)
    ),
    "share_change_bonett_price": counted(
        share_change_bonett_price, _crossed, lambda town: _share(town, town.post) - _share(town, town.pre)
    ),
}  # fmt: skip
"""Ways that ask one group."""

OF_TWO_GROUPS: dict[str, Way] = {
    "mean_difference": two_groups(mean_difference, _apart, unit="points"),
    "mean_difference_welch": two_groups(mean_difference_welch, _apart, unit="points"),
    "median_difference": two_groups(
        median_difference, lambda town: typical_difference(town.post.ravel(), town.without.ravel(), 0)[0],
        unit="points",
    ),
    "hedges_g": two_groups(hedges_g, _g),
    "glass_delta": two_groups(glass_delta, lambda town: _apart(town) / town.without.std()),
    "d_average_groups": two_groups(d_average_groups, _g),
    "prepost_control_d": two_groups_twice(prepost_control_d, lambda town: _apart(town) / town.pre.std()),
    "gain_difference_g": two_groups_twice(gain_difference_g, _g),
    "adjusted_g": two_groups_twice(adjusted_g, _g),
    "probability_of_superiority": two_groups(probability_of_superiority, lambda town: (1 + _dominance(town)) / 2),
    "cliffs_delta": two_groups(cliffs_delta, _dominance),
    "share_difference_newcombe": counted(
        share_difference_newcombe, _reached_in_both,
        lambda town: _share(town, town.post) - _share(town, town.without), counts="students in each group",
    ),
    "share_difference_agresti_caffo": counted(
        share_difference_agresti_caffo, _reached_in_both,
        lambda town: _share(town, town.post) - _share(town, town.without), counts="students in each group",
    ),
}  # fmt: skip
"""Ways that ask two groups of the same size."""

WAYS: dict[str, Way] = {**OF_ONE_GROUP, **OF_TWO_GROUPS, **OF_TESTS, **OF_CHOIRS}
"""Every way by its name: the statistic, with what it is made from where there are several ways."""
