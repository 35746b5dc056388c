"""Averages of choirs from test to test, approach by approach, for students who took every one of these tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, names_of, of_units
from kit.questions.scale import measure_of, scale
from kit.stats.means import mean_score


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """Averages from test to test.

    Attributes
    ----------
    curves : tuple of tuple of Estimate
        For each approach the average over its choirs at each test.
    choirs : DataFrame
        Columns approach, choir, occasion, mean, students.
    names, occasions : tuple of str
        The approaches and the tests, in order.
    answers : Answers
        All estimates, and what could not be estimated.
    """

    curves: tuple[tuple[Estimate, ...], ...]
    choirs: pd.DataFrame
    names: tuple[str, str]
    occasions: tuple[str, ...]
    answers: Answers


def curves(compared: Mapping[str, pd.DataFrame], *, first: str, level: float = 0.95) -> Curves:
    """Average choirs at each test, each choir counting once.

    Counted: students with a mark of every one of the tests whose choir is named, so that averages differ because
    scores do, and not because other students were there.

    Parameters
    ----------
    compared : mapping of str to DataFrame
        Each later test's name -> `kit.questions.compared.between` of the first test and that one.
    first : str
        Name of the first test.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Curves
        Intervals are Student's over choirs.
    """
    tables = list(compared.values())
    occasions = (first, *compared)
    if not tables or tables[0].empty:
        return Curves(
            (), pd.DataFrame(), ("", ""), occasions, Answers([LeftOut("scores, test by test", NO_COMPARISON)])
        )
    marks, unit = _marks(tables, occasions)
    means = marks.groupby(["approach", "choir", "occasion"], sort=False)["mark"].agg(["mean", "size"]).reset_index()
    choirs = means.rename(columns={"size": "students"}).sort_values(["approach", "choir"], kind="stable")
    names, measure = names_of(tables[0]), measure_of(tables[0])
    found = [
        [
            ask(mean_score, choirs.loc[(choirs["approach"] == name) & (choirs["occasion"] == occasion), "mean"],
                about=f"{measure}, {name}, {occasion}", unit=unit, level=level)
            for occasion in occasions
        ]
        for name in names
    ]  # fmt: skip
    told = [[of_units(one, tables[0].attrs["units"]) for one in curve] for curve in found]
    answers = Answers([one for curve in told for one in curve])
    lines = () if answers.left_out else tuple(map(tuple, told))
    # an approach without a line leaves nothing to put beside each other
    return Curves(lines, choirs if lines else choirs.iloc[:0], names, occasions, answers)


def _marks(tables: list[pd.DataFrame], occasions: tuple[str, ...]) -> tuple[pd.DataFrame, str]:
    """Lay out the marks of students who have all of them, one row for each mark, on one scale."""
    units = {scale(table).unit for table in tables}
    unit = "points" if units == {"points"} else "share"
    wide = tables[0].set_index("student")[["approach", "cluster", f"pre_{unit}"]]
    wide = wide.rename(columns={"cluster": "choir", f"pre_{unit}": occasions[0]})
    for occasion, table in zip(occasions[1:], tables, strict=True):
        wide[occasion] = table.set_index("student")[f"post_{unit}"].reindex(wide.index)
    whole = wide[(wide["choir"] != "") & wide[list(occasions)].notna().all(axis=1)]
    return whole.melt(["approach", "choir"], list(occasions), "occasion", "mark"), unit
