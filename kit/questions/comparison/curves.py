"""From test to test, approach by approach: averages of choirs, and the lines along which students grow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, names_of, of_units
from kit.questions.comparison import why_no_difference
from kit.questions.comparison.ways import BOTH_IN_ONE
from kit.questions.design import Design
from kit.questions.scale import measure_of, scale
from kit.stats.means import mean_score
from kit.stats.models import growth_model

TWO_TESTS = "A line through two tests says no more than the gain; three are needed."
EVEN_STEPS = "Tests are taken as evenly spaced in time."


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


def paces(compared: Mapping[str, pd.DataFrame], *, first: str, design: Design, level: float = 0.95) -> Answers:
    """Estimate how much more students of the first approach gained from each test to the next, along straight lines.

    Counted: students with a mark of at least one of the tests whose choir is named.

    Parameters
    ----------
    compared : mapping of str to DataFrame
        As for `curves`.
    first : str
        Name of the first test.
    design : Design
        From `kit.questions.design.classify` of a comparison.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        One ``growth_model``, with a line for every student and every choir, or the reason why there is none; without
        a p-value where the design makes no test.
    """
    tables = list(compared.values())
    if not tables or tables[0].empty:
        return Answers([LeftOut("growth from test to test", NO_COMPARISON)])
    names = names_of(tables[0])
    about = f"{measure_of(tables[0])}, {names[0]} minus {names[1]}, from test to test"
    marks, unit = _marks(tables, (first, *compared), whole=False)
    why = why_no_difference(tables[0], design) or (TWO_TESTS if len(tables) < 2 else "")
    if not why and marks.groupby("choir")["approach"].nunique().max() > 1:
        why = BOTH_IN_ONE
    if why:
        return Answers([LeftOut(about, why)])
    found = ask(
        growth_model, marks["mark"], marks["student"], marks["at"], clusters=marks["choir"],
        program=marks["approach"] == names[0], about=about, unit=unit, level=level,
    )  # fmt: skip
    if isinstance(found, LeftOut):
        return Answers([found])
    tested = design.may_test and design.code != "D3b"
    return Answers([replace(found, p=found.p if tested else None, notes=(*found.notes, EVEN_STEPS))])


def _marks(tables: list[pd.DataFrame], occasions: tuple[str, ...], *, whole: bool = True) -> tuple[pd.DataFrame, str]:
    """Lay out marks on one scale, one row for each; only of students who have all of them where these are asked for."""
    units = {scale(table).unit for table in tables}
    unit = "points" if units == {"points"} else "share"
    wide = tables[0].set_index("student")[["approach", "cluster", f"pre_{unit}"]]
    wide = wide.rename(columns={"cluster": "choir", f"pre_{unit}": occasions[0]})
    for occasion, table in zip(occasions[1:], tables, strict=True):
        wide[occasion] = table.set_index("student")[f"post_{unit}"].reindex(wide.index)
    there = wide[list(occasions)].notna()
    kept = wide[(wide["choir"] != "") & (there.all(axis=1) if whole else there.any(axis=1))].reset_index()
    marks = kept.melt(["student", "approach", "choir"], list(occasions), "occasion", "mark")
    return marks.assign(at=marks["occasion"].map(dict(zip(occasions, range(len(occasions)), strict=True)))), unit
