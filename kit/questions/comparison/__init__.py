"""How far apart two approaches ended: the one answer that the design calls for, and how it was chosen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, Rows, choir_means, names_of, of_units, rows_of
from kit.questions.comparison.ways import (
    APART,
    Model,
    choir_means_difference,
    one_by_one,
    sandwich,
    shuffled,
    uneven_schools,
)
from kit.questions.design import FEW_CHOIRS, Design
from kit.questions.scale import measure_of, scale
from kit.stats.means import mean_score

Method = Literal["choir means", "students in choirs", "students"]
Schools = Literal["", "held apart", "left in"]
WAYS = {"choir means": choir_means_difference, "students in choirs": sandwich}
"""What counts as one, where choirs were assigned -> how the difference is computed."""
MANY_CHOIRS = 20
"""Choirs from which on students are counted, with an interval that knows their choirs (our rule: below, averages of
choirs keep the level more surely and are easier to check by hand)."""
FEWEST_DF = 4
"""Degrees of freedom that must be left beside the choirs' first averages, and beside schools (Tipton 2015, from
memory)."""
TOO_FEW = "There are {units} {what}, and the kit makes no test below {least}: an estimate is given, without a test."
SINGLE = "An approach has a single {what}, which cannot be told from the approach, so no difference is given."
WHOLE_SCALE = "The range would hold the whole scale of the test, so none is given."
NO_TEST_HERE = "A study of this kind carries no test of a difference."


@dataclass(frozen=True, slots=True, kw_only=True)
class Primary:
    """The answer.

    Attributes
    ----------
    main : Estimate or None
        The difference, first approach minus second.
    shuffled : Estimate or None
        The same with a p-value from dealing out the approaches in every other way.
    program_first, comparison_first, program, comparison : Estimate or None
        First and second averages of both, each choir counting once; of students where these were assigned one by one.
    names : tuple of str
        The two approaches.
    units : {"choirs", "schools", "students"}
        What was assigned.
    method : str
        What counts as one: choir means, students in choirs, students.
    model : str
        How the first test is used.
    schools : {"", "held apart", "left in"}
        What became of schools that gave different shares of their choirs to the approaches; empty where none did.
    tested : bool
        Whether there was a test.
    why_not : str
        Why there was none, or no difference; empty otherwise.
    smallest : float or None
        The smallest p-value that dealing out could have reached.
    answers : Answers
        All of these, and what was left out.
    """

    main: Estimate | None
    shuffled: Estimate | None
    program_first: Estimate | None
    comparison_first: Estimate | None
    program: Estimate | None
    comparison: Estimate | None
    names: tuple[str, str]
    units: str
    method: Method
    model: Model
    schools: Schools
    tested: bool
    why_not: str
    smallest: float | None
    answers: Answers


def model_for(design: Design) -> Model:
    """Choose how the first test is used: adjusted for where the lot decided and choirs suffice, else by gains.

    Counted: nothing. Groups that existed before differ for reasons that adjusting cannot see, so their gains are
    compared (Van Breukelen 2006); groups made by lot differ by chance, which adjusting takes out.

    Parameters
    ----------
    design : Design
        From `kit.questions.design.classify` of the two approaches.

    Returns
    -------
    {"gain", "adjusted"}
    """
    enough = design.analysed == "students" or design.units - 3 >= FEWEST_DF
    return "adjusted" if design.code in ("D4", "D5", "D5b") and enough else "gain"


def method_for(design: Design) -> Method:
    """Choose what counts as one.

    Counted: nothing.

    Parameters
    ----------
    design : Design
        From `kit.questions.design.classify` of the two approaches.

    Returns
    -------
    {"choir means", "students in choirs", "students"}
    """
    if design.analysed == "students":
        return "students"
    return "students in choirs" if design.units >= MANY_CHOIRS else "choir means"


def schools_of(rows: Rows, design: Design) -> Schools:
    """Say what becomes of schools that gave different shares of their choirs to the approaches.

    Counted: choirs. Where chances differed from school to school, what sets schools apart is taken for the approach
    unless schools are held apart; federal evidence reviews ask for that (WWC Standards Handbook 4.1, chapter II, from
    memory). It is done where at least `FEWEST_DF` degrees of freedom remain.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.
    design : Design
        From `kit.questions.design.classify` of the two approaches.

    Returns
    -------
    {"", "held apart", "left in"}
        Empty where choirs were not assigned inside schools, or in equal shares.
    """
    method = method_for(design)
    if method == "students" or not uneven_schools(rows):
        return ""
    apart = WAYS[method](rows, model=model_for(design), about="schools held apart", level=0.95, schools=True)
    enough = isinstance(apart, Estimate) and (apart.df is None or apart.df >= FEWEST_DF)
    return "held apart" if enough else "left in"


def about_of(compared: pd.DataFrame) -> str:
    """Name a difference: ``"pitch, ear-first minus page-first"``."""
    names = names_of(compared)
    return f"{measure_of(compared)}, {names[0]} minus {names[1]}"


def primary(compared: pd.DataFrame, *, design: Design, seed: int, level: float = 0.95) -> Primary:
    """Answer how far apart the approaches ended, in the way that the design calls for.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    seed : int
        Seed of draws, printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Primary
        Without a difference where an approach has a single choir; without p-values below six choirs, and where the
        approaches did not start close together.
    """
    model, method = model_for(design), method_for(design)
    about, rows = about_of(compared) if len(compared) else measure_of(compared), rows_of(compared)
    why, schools = why_no_difference(compared, design), schools_of(rows, design)
    asked = {"model": model, "schools": schools == "held apart"}
    main = LeftOut(about, why) if why else difference(rows, method=method, about=about, level=level, **asked)
    tested = design.may_test and design.code != "D3b"
    by_lot, found = (
        shuffled(rows, rng=np.random.default_rng(seed), about=f"{about}, by shuffling choirs", **asked)
        if not why and tested and method != "students"
        else (None, None)
    )
    if isinstance(main, Estimate) and not tested:
        why = _why_no_test(design)
        main = replace(main, p=None, notes=(*main.notes, why))
    sides = _sides(compared, method, level)
    answers = Answers([main, *([] if by_lot is None else [by_lot]), *sides])
    units = design.analysed or "choirs"
    return Primary(
        main=main if isinstance(main, Estimate) else None, **_there(sides),
        shuffled=by_lot if isinstance(by_lot, Estimate) else None, names=names_of(compared), units=units,
        method=method, model=model, schools=schools,
        tested=tested and isinstance(main, Estimate), why_not=why if isinstance(main, Estimate) else main.why,
        smallest=None if found is None else found.smallest, answers=answers,
    )  # fmt: skip


def difference(
    rows: Rows, *, model: Model, method: Method, about: str, level: float, schools: bool = False
) -> Estimate | LeftOut:
    """Compute one difference by the chosen method and model.

    Counted: everyone in `rows`.

    Parameters
    ----------
    rows : Rows
        From `kit.questions.compared.rows_of`.
    model : {"gain", "adjusted"}
        How the first test is used.
    method : {"choir means", "students in choirs", "students"}
        What counts as one.
    about : str
        Whom and what the number is about, in words.
    level : float
        Confidence level, a proportion in (0, 1).
    schools : bool, optional
        Whether schools within which choirs were assigned are held apart.

    Returns
    -------
    Estimate or LeftOut
    """
    options = {"model": model, "about": about, "level": level}
    if method == "students":
        return one_by_one(rows, **options)
    found = WAYS[method](rows, schools=schools, **options)
    return replace(found, notes=(*found.notes, APART)) if schools and isinstance(found, Estimate) else found


def why_no_difference(compared: pd.DataFrame, design: Design) -> str:
    """Say why no difference is given, if so."""
    if compared.empty:
        return NO_COMPARISON
    what = (design.analysed or "choirs").removesuffix("s")
    return SINGLE.format(what="choir" if what == "student" else what) if design.code == "D2" else ""


def _why_no_test(design: Design) -> str:
    """Say why there is an estimate and no test."""
    if design.analysed != "students" and design.units < FEW_CHOIRS:
        return TOO_FEW.format(units=design.units, what=design.analysed or "choirs", least=FEW_CHOIRS)
    return NO_TEST_HERE


def _sides(compared: pd.DataFrame, method: Method, level: float) -> list[Estimate | LeftOut]:
    """Average both tests of both approaches, each choir counting once, or each student where students do."""
    if compared.empty:
        return []
    rows, found = rows_of(compared), []
    units = "students" if method == "students" else compared.attrs["units"]
    each = pd.DataFrame({"pre": rows.pre, "post": rows.post, "program": rows.program})
    means = each if units == "students" else choir_means(compared)
    for which, column in (("first", "pre"), ("second", "post")):
        for name, side in zip(names_of(compared), (True, False), strict=True):
            marks = means.loc[means["program"] == side, column]
            about = f"{measure_of(compared)}, {which} test of {units}, {name}"
            one = ask(mean_score, marks, about=about, unit=rows.unit, level=level)
            one = one if units == "students" else of_units(one, units)
            found.append(_on_scale(one, scale(compared).maximum))
    return found


def _on_scale(answer: Estimate | LeftOut, most: float | None) -> Estimate | LeftOut:
    """Take away a range that holds the whole scale and says nothing."""
    ends = answer.interval if isinstance(answer, Estimate) else None
    if ends is None or most is None or ends.low > 0 or ends.high < most:
        return answer
    return replace(answer, interval=None, notes=(*answer.notes, WHOLE_SCALE))


def _there(sides: list[Estimate | LeftOut]) -> dict[str, Estimate | None]:
    """Name the averages of both approaches, None for one that cannot be told."""
    names = ("program_first", "comparison_first", "program", "comparison")
    return dict.fromkeys(names) | {
        name: one for name, one in zip(names, sides, strict=False) if isinstance(one, Estimate)
    }
