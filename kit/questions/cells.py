"""A row for each approach with what a later meta-analysis needs: n, choirs, means, spreads, correlation, likeness."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from kit.questions.scale import paired_marks, tested_both

COLUMNS = (
    "approach", "measure", "unit", "choirs", "n", "mean_first", "sd_first", "mean_second", "sd_second", "correlation",
    "between_choirs_first", "between_choirs_second",
)  # fmt: skip
"""Columns of `cells`."""


def cells(pairs: pd.DataFrame) -> pd.DataFrame:
    """Lay out n, choirs, means, SDs, correlation and the share of variance between choirs for each approach.

    Counted: students tested both times; those without an approach under the empty name.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    DataFrame
        `COLUMNS`; missing where too few students or choirs give no such number.
    """
    chosen, pre, post = paired_marks(pairs)
    marks = pd.DataFrame({
        "approach": pairs["approach"], "choir": pairs["choir"], "pre": pre, "post": post
    })[tested_both(pairs)].dropna(subset=["pre", "post"])  # fmt: skip
    measure = pairs.attrs.get("measure", "")
    rows = [
        {"approach": approach, "measure": measure, "unit": chosen.unit, **dict(_numbers(group))}
        for approach, group in marks.groupby("approach", sort=True)
    ]
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _numbers(group: pd.DataFrame) -> Iterator[tuple[str, float]]:
    """Give the numbers of one approach."""
    yield "choirs", group.loc[group["choir"] != "", "choir"].nunique()
    yield "n", len(group)
    for side, which in (("pre", "first"), ("post", "second")):
        yield f"mean_{which}", group[side].mean()
        yield f"sd_{which}", group[side].std()
        yield f"between_choirs_{which}", _between(group, side)
    yield "correlation", group["pre"].corr(group["post"]) if len(group) > 2 else float("nan")


def _between(group: pd.DataFrame, side: str) -> float:
    """Share of variance between choirs, where there are two and one of them has two students."""
    # imported here: only this number needs it
    from kit.errors import TooFewError  # noqa: PLC0415
    from kit.stats.clusters.choirs import icc_clusters  # noqa: PLC0415

    named = group[group["choir"] != ""]
    try:
        return icc_clusters(named[side], named["choir"], about="choirs").value
    except TooFewError:
        return float("nan")
