"""How a panel's ratings make one: the rules that bodies use, and how often two rules disagree."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from statistics import mean, median
from typing import get_args

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.load.declared_music import PanelRule

RULES: tuple[PanelRule, ...] = tuple(rule for rule in get_args(PanelRule) if rule)
"""Rules of a panel (common practice, no source; rule sheets seen use each of them)."""

_CLOSE = 1e-9
_FEWEST_TRIMMED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """What the rules of one panel need.

    Attributes
    ----------
    bands : tuple of float
        Lowest sum of points of each rating, from best to worst (``sum_bands``).
    chart : mapping of str to float
        Ratings of the judges, in any order, such as ``"1 1 2"`` -> rating of the panel (``lookup_table``).
    """

    bands: tuple[float, ...] = ()
    chart: Mapping[str, float] = field(default_factory=dict)


def panel_rating(ratings: Sequence[float], rule: PanelRule, panel: Panel | None = None) -> float | None:
    """Combine the ratings of the judges of one panel.

    Parameters
    ----------
    ratings : sequence of float
        One for each judge.
    rule : str
        ``median``: the middle one, or halfway between the middle two. ``mean_round_half_up``: the mean, rounded to
        a whole number, halves upward. ``sum_bands``: the sum, placed among the bands; ratings count 1, 2... from
        the best. ``trimmed_mean``: the mean without the highest and the lowest, not rounded. ``lookup_table``: as
        the chart says.
    panel : Panel, optional
        Bands or chart.

    Returns
    -------
    float or None
        None where the rule says nothing: no ratings, fewer than 3 to trim, a sum below all bands, ratings that the
        chart does not have.

    Raises
    ------
    UnknownChoiceError
        If there is no such rule.
    """
    if rule not in RULES:
        raise UnknownChoiceError("panel_rating", "rule", rule, RULES)
    panel = panel or Panel()
    if not ratings:
        return None
    if rule == "median":
        return float(median(ratings))
    if rule == "mean_round_half_up":
        return float(math.floor(mean(ratings) + 0.5 + _CLOSE))
    if rule == "trimmed_mean":
        inner = sorted(ratings)[1:-1]
        return float(mean(inner)) if len(ratings) >= _FEWEST_TRIMMED else None
    if rule == "sum_bands":
        return _band(sum(ratings), panel.bands)
    found = _written(panel.chart).get(tuple(sorted(ratings)))
    return None if found is None else float(found)


def follows(final: float, ratings: Sequence[float], rule: PanelRule, panel: Panel | None = None) -> bool | None:
    """Say whether a panel's result follows its rule.

    Parameters
    ----------
    final : float
        The result as the file gives it.
    ratings, rule, panel
        As for `panel_rating`.

    Returns
    -------
    bool or None
        None where the rule says nothing. A mean that was written with fewer digits follows where it is the mean
        rounded to those digits.
    """
    expected = panel_rating(ratings, rule, panel)
    if expected is None:
        return None
    if rule != "trimmed_mean":
        return abs(final - expected) < _CLOSE
    digits = len(f"{final:.10f}".rstrip("0").partition(".")[2])
    return abs(final - expected) <= 0.5 * 10**-digits + _CLOSE


def rules_disagree(ratings: pd.DataFrame, panel: Panel | None = None) -> pd.DataFrame:
    """Count how often two rules give one panel two results.

    Parameters
    ----------
    ratings : DataFrame
        The ratings table; rows of the judge ``"panel"`` are left out.
    panel : Panel, optional
        Bands and chart; without them their rules are left out.

    Returns
    -------
    DataFrame
        A row for each pair of rules: ``rule``, ``other_rule``, the ``panels`` for which both give a result, for how
        many of them they ``disagree``, and the ``share``.
    """
    panel = panel or Panel()
    judges = ratings[ratings.judge != "panel"]
    panels = [list(each) for _, each in judges.groupby(["file", "date", "choir", "part"], dropna=False).rating]
    usable = [rule for rule in RULES if rule not in _needs(panel)]
    rows = []
    for rule, other in combinations(usable, 2):
        pairs = [(panel_rating(each, rule, panel), panel_rating(each, other, panel)) for each in panels]
        both = [(one, two) for one, two in pairs if one is not None and two is not None]
        apart = sum(abs(one - two) > _CLOSE for one, two in both)
        rows.append((rule, other, len(both), apart, apart / len(both) if both else math.nan))
    return pd.DataFrame(rows, columns=["rule", "other_rule", "panels", "disagree", "share"])


def _needs(panel: Panel) -> set[PanelRule]:
    """List the rules that lack their bands or chart."""
    return {rule for rule, given in (("sum_bands", panel.bands), ("lookup_table", panel.chart)) if not given}


def _band(total: float, bands: Sequence[float]) -> float | None:
    """Place a sum among the bands."""
    return next((float(at) for at, lowest in enumerate(bands, 1) if total >= lowest - _CLOSE), None)


def _written(chart: Mapping[str, float]) -> dict[tuple[float, ...], float]:
    """Write the chart with the ratings of each panel in order."""
    return {tuple(sorted(map(float, ratings.split()))): final for ratings, final in chart.items()}
