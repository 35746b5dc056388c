"""The captions of the checks of methods: what stands under each picture, and what a blind reader is told."""

from __future__ import annotations

import pandas as pd

from kit.figures.coverage import KINDS
from kit.report.names_of_ways import NAMES
from kit.report.numbers import percent_level
from kit.report.said import Caption
from kit.report.tables.checks import Coverage, held


def named(found: Coverage) -> pd.DataFrame:
    """Give the rows of a run with the name of each interval, for a drawing.

    Parameters
    ----------
    found : Coverage
        A run.

    Returns
    -------
    DataFrame
        With a column label.
    """
    return found.rows.assign(label=found.rows["way"].map(NAMES))


def coverage_caption(found: Coverage, *, what: str) -> Caption:
    """Describe the picture of a run.

    Parameters
    ----------
    found : Coverage
        What is drawn.
    what : str
        Which intervals, in words.

    Returns
    -------
    Caption
    """
    told = [
        f"{NAMES[way]}: " + ", ".join(f"{KINDS[row.scores]} {held(row)}" for row in rows.itertuples())
        for way, rows in found.rows.groupby("way", sort=False)
    ]
    return Caption(
        f"How often intervals hold the truth: {what}",
        f"Marks with bars in a column for each kind of scores. {'; '.join(told)}. An upright line marks what is "
        f"promised, {percent_level(found.level)}.",
        "Bars: how far chance in the simulation may have moved a mark. Squares: clearly too seldom. Triangles: clearly "
        "more often than promised. Upright line: what is promised.",
    )


def sizes_caption(found: Coverage) -> Caption:
    """Describe the picture of long runs by size.

    Parameters
    ----------
    found : Coverage
        What is drawn.

    Returns
    -------
    Caption
    """
    told = [
        f"{NAMES[way]}, {KINDS[scores]}: " + ", ".join(f"n {row.n} {held(row)}" for row in rows.itertuples())
        for (way, scores), rows in found.rows.groupby(["way", "scores"], sort=False)
    ]
    return Caption(
        "Intervals that hold the truth too seldom somewhere, by size of the study",
        f"Small pictures, one for each interval, with a line for each kind of scores. {'; '.join(told)}.",
        "Level line: what is promised. Short upright bars: chance in the simulation.",
    )
