"""How often ways to compare few choirs are wrong, by simulation: a stored table of long runs."""

from __future__ import annotations

from importlib.resources import files

import pandas as pd


def simulated() -> pd.DataFrame:
    """Give the stored table of simulations.

    Counted: simulated studies in which nothing differs in truth; see tests/reference/make_cluster_coverage.py.

    Returns
    -------
    DataFrame
        Columns choirs, sizes (``"equal"``: 25 students each; ``"unequal"``: 10 and 40), alike (share of the variance
        between choirs), way, draws, tested (draws with a p-value), false_positives (share of those at .05), covered
        (share of 95 % intervals that hold the truth), found (share of draws that find a difference of 0.3 SD).
    """
    with (files("kit.questions") / "cluster_coverage.csv").open(encoding="utf-8") as lines:
        return pd.read_csv(lines)
