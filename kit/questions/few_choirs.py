"""How often ways to compare few choirs are wrong, by simulation: stored tables of long runs."""

from __future__ import annotations

from importlib.resources import files

import pandas as pd


def simulated() -> pd.DataFrame:
    """Give the stored table of simulations.

    Counted: simulated studies in which nothing differs in truth; see tests/reference/make_cluster_coverage.py.

    Returns
    -------
    DataFrame
        Columns choirs, program (how many of them have it), sizes (``"equal"``: 25 students each; ``"unequal"``: 10 and
        40), alike (share of the variance between choirs), way, draws, tested (draws with a p-value), false_positives
        (share of those at .05), covered (share of 95 % intervals that hold the truth; for shuffling, of draws in which
        it is not refuted), found (share of draws that find a difference of 0.3 SD).
    """
    return _stored("cluster_coverage.csv")


def simulated_districts() -> pd.DataFrame:
    """Give the stored table of invented districts drawn again and again.

    Counted: districts drawn, see tests/reference/make_district_coverage.py; of their students those tested both times.

    Returns
    -------
    DataFrame
        Columns schools, choirs, outcome (``"pitch"``, which the approaches teach differently, and ``"rhythm"``, which
        they do not), truth (the true difference in points), way, draws, tested (draws with a p-value), positives (share
        of those at .05: wrong for rhythm, right for pitch), covered (share of 95 % intervals that hold the truth; empty
        for shuffling of pitch, which has no interval), mean and spread of the differences found.
    """
    return _stored("district_coverage.csv")


def _stored(name: str) -> pd.DataFrame:
    """Read a stored table."""
    with (files("kit.questions") / name).open(encoding="utf-8") as lines:
        return pd.read_csv(lines)
