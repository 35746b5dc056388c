"""Published worked examples, computed again at reading and set beside what was printed."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers
from kit.stats.agreement.categories import kappa_weighted
from kit.stats.agreement.intraclass import icc_average, icc_single
from kit.stats.agreement.krippendorff import krippendorff_alpha
from kit.stats.agreement.limits import agreement_bias
from kit.stats.association import correlation
from kit.stats.consistency import cronbach_alpha
from kit.stats.effects.sizes import d_change, hedges_g
from kit.stats.means import mean_difference, mean_difference_welch, mean_gain, median_gain
from kit.stats.median_difference import median_difference
from kit.stats.power.clusters import detectable_difference_clusters
from kit.stats.power.detectable import detectable_difference
from kit.stats.proportions.adjusted import share_change_bonett_price, share_difference_agresti_caffo
from kit.stats.proportions.shares import (
    share_change_midp,
    share_change_newcombe,
    share_difference_newcombe,
    share_exact,
    share_wilson,
)
from kit.stats.series import nap
from kit.stats.studies.equivalence import equivalence
from kit.stats.studies.from_printed import d_average_from_summary, hedges_g_from_t
from kit.stats.studies.heterogeneity import heterogeneity
from kit.stats.studies.pooling import pooled_effect
from kit.stats.superiority import cliffs_delta, probability_of_superiority

COLUMNS = ("statistic", "about", "source", "status", "part", "printed", "ours", "same")
ROUNDING = 0.5 + 1e-9
"""How far from the printed number, in units of its last digit, a number may lie that is printed so."""
STATISTICS: Mapping[str, Callable[..., Estimate]] = {
    statistic.__name__: statistic
    for statistic in (
        agreement_bias, cliffs_delta, correlation, cronbach_alpha, d_average_from_summary, d_change,
        detectable_difference, detectable_difference_clusters, equivalence, hedges_g, hedges_g_from_t, heterogeneity,
        icc_average, icc_single, kappa_weighted, krippendorff_alpha, mean_difference, mean_difference_welch, mean_gain,
        median_difference, median_gain, nap, pooled_effect, probability_of_superiority, share_change_bonett_price,
        share_change_midp, share_change_newcombe, share_difference_agresti_caffo, share_difference_newcombe,
        share_exact, share_wilson,
    )
}  # fmt: skip
"""The statistics of the examples, by their names."""


@dataclass(frozen=True, slots=True)
class SideBySide:
    """What was printed, and what the kit makes of the same data.

    Attributes
    ----------
    rows : DataFrame
        A row for each printed number. Columns: statistic, about, source, status (whether the text was seen), part
        (value, low, high or p), printed (as text, with its digits), ours (never rounded), same (whether ours would
        be printed so).
    estimates : Answers
        Ours, one for each example, in order.
    """

    rows: pd.DataFrame
    estimates: Answers


def published_examples() -> SideBySide:
    """Compute published examples again.

    Counted: what the texts count.

    Returns
    -------
    SideBySide

    Examples
    --------
    >>> found = published_examples().rows.iloc[0]
    >>> found["about"], found["printed"], round(float(found["ours"]), 6)
    ('Student (1908), hours of sleep', '1.58', 1.58)
    """
    examples = json.loads((files("kit.questions") / "published_examples.json").read_text(encoding="utf-8"))
    estimates = Answers(
        STATISTICS[one["statistic"]](**one["data"], **one["options"], about=one["about"]) for one in examples
    )
    rows = [
        (one["statistic"], one["about"], one["source"], one["status"], part, printed, ours, same(printed, ours))
        for one, estimate in zip(examples, estimates, strict=True)
        for part, printed in one["printed"].items()
        for ours in [estimate.as_row()[part]]
    ]
    return SideBySide(pd.DataFrame(rows, columns=list(COLUMNS)), estimates)


def same(printed: str, ours: float) -> bool:
    """Say whether a number would be printed so, with so many digits.

    Counted: nobody.

    Parameters
    ----------
    printed : str
        The number as it was printed.
    ours : float
        The number.

    Returns
    -------
    bool

    Examples
    --------
    >>> same("0.29", 0.28976), same("0.290", 0.28949)
    (True, False)
    """
    return abs(ours - float(printed)) <= ROUNDING * 10.0 ** -len(printed.partition(".")[2])
