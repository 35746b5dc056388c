"""Students who had both approaches: they moved between the tests, or sing in two choirs."""

from __future__ import annotations

import pandas as pd

from kit.estimate import Estimate
from kit.questions.scale import tested_both
from kit.stats.counts import count


def in_two_choirs(compared: pd.DataFrame) -> tuple[Estimate, Estimate]:
    """Count students listed in two choirs, and those of them in choirs of both approaches.

    Counted: students tested both times, with those who were left out for that reason.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.

    Returns
    -------
    tuple of Estimate
        Counts about ``"in two choirs"`` and ``"in choirs of both approaches"``.
    """
    known = compared.attrs
    twice, both_ways = known.get("twice", 0), known.get("both_ways", 0)
    everyone = int(tested_both(compared).sum()) + (twice if known.get("two_choirs") == "left_out" else 0)
    return (
        count(twice, about="in two choirs", of=everyone),
        count(both_ways, about="in choirs of both approaches", of=everyone),
    )


def listed_twice(pairs: pd.DataFrame, chosen: pd.DataFrame) -> tuple[pd.Series, int]:
    """Tell who is listed in two choirs, and how many of them in choirs of both approaches.

    Counted: for the number, students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    chosen : DataFrame
        Those of the two approaches that are compared.

    Returns
    -------
    twice : Series of bool
        For each of `chosen`.
    both_ways : int
        How many.
    """
    second = chosen["student"].map(pairs.attrs.get("second_choirs", {})).astype(object).fillna("")
    there = _taught(pairs, second)
    other = (there != "") & (there != chosen["approach"]) & there.isin(set(chosen["approach"]))
    return second != "", int((other & tested_both(chosen)).sum())


def crossed_over(pairs: pd.DataFrame) -> pd.Series:
    """Tell whose second mark stands in a choir of another approach than the student's.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Series of bool
        For each of `pairs`.
    """
    there = _taught(pairs, pairs["post_choir"])
    return (there != "") & (pairs["approach"] != "") & (there != pairs["approach"]) & tested_both(pairs)


def _taught(pairs: pd.DataFrame, choir: pd.Series) -> pd.Series:
    """Say how each of these choirs is taught; empty where it is not known or there are several ways."""
    given = pairs[(pairs["approach"] != "") & (pairs["choir"] != "")]
    ways = given.drop_duplicates(["choir", "approach"])
    taught = ways[~ways["choir"].duplicated(keep=False)].set_index("choir")["approach"]
    return choir.map(taught).astype(object).fillna("")
