"""What missing marks could change: those with both marks, marks filled in many times over, and the two limits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, Rows, names_of, rows_of
from kit.questions.comparison import schools_of
from kit.questions.comparison.ways import APART, Model, choir_means_difference
from kit.questions.design import Design
from kit.questions.scale import measure_of, scale
from kit.stats.complete import upper_tail
from kit.stats.counts import count
from kit.stats.missing import FILLED_HIGH, FILLED_LOW, imputed
from kit.stats.studies.error_ends import quantile

MAXIMUM_UNKNOWN = "The limits need the most points that can be earned, which are not known."
SINGLE = "An approach has no second choir."
FILLED = (
    "Filled in from the other mark and the choir, for everyone on the roster of a choir; computed as the complete "
    "cases are, in each of the completed tables."
)
ONE_BY_ONE = (
    "Students were assigned one by one, and marks are filled in here by choirs that have one approach each, "
    "so none are."
)
LIMITS = "Of students with at least one of both marks; by gains, since a filled first mark could not be adjusted for."


def missing(
    compared: pd.DataFrame, *, design: Design, model: Model, seed: int, level: float = 0.95, draws: int | None = None
) -> Answers:
    """Compute the difference of choir means four times: as it is, with marks filled in, and at both limits.

    Counted: students tested both times; then everyone on the roster of a named choir; then everyone with a mark.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    model : {"gain", "adjusted"}
        By gains, or by second tests adjusted for the first.
    seed : int
        Seed of the draws, printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        How many completed tables; by default 20, or the percentage of incomplete students if that is more.

    Returns
    -------
    Answers
        About ``"..., complete cases"``, ``"..., filled in"``, ``"..., worst case"``, ``"..., best case"``; worst and
        best are meant for the first approach. Where no mark is missing, only a count about ``"..., marks missing"``.
    """
    names = names_of(compared)
    about = f"{measure_of(compared)}, {names[0]} minus {names[1]}"
    if compared.empty or design.code == "D2":
        return Answers([LeftOut(f"{about}, filled in", SINGLE if len(compared) else NO_COMPARISON)])
    if design.analysed == "students":
        return Answers([LeftOut(f"{about}, filled in", ONE_BY_ONE)])
    rows = rows_of(compared)
    known = compared.loc[compared["cluster"] != "", [f"pre_{rows.unit}", f"post_{rows.unit}"]].notna()
    if known.all(axis=None):
        return Answers([count(0, about=f"{about}, marks missing", of=len(known))])
    apart = schools_of(rows, design) == "held apart"
    asked = {"model": model, "level": level, "schools": apart}
    complete = choir_means_difference(rows, about=f"{about}, complete cases", **asked)
    options = {"about": f"{about}, filled in", **asked}
    tested = design.may_test and design.code != "D3b"
    if isinstance(complete, Estimate) and not tested:
        complete = replace(complete, p=None)
    filled = _filled_in(compared, rows.unit, rng=np.random.default_rng(seed), draws=draws, tested=tested, **options)
    answers = [complete, filled, *_limits(compared, rows.unit, about, level, schools=apart)]
    return Answers([_held_apart(one) for one in answers] if apart else answers)


def _held_apart(answer: Estimate | LeftOut) -> Estimate | LeftOut:
    """Say that schools are held apart."""
    return replace(answer, notes=(*answer.notes, APART)) if isinstance(answer, Estimate) else answer


def _filled_in(
    compared: pd.DataFrame, unit: str, *, model: Model, about: str, level: float, schools: bool,
    rng: np.random.Generator, draws: int | None, tested: bool,
) -> Estimate | LeftOut:  # fmt: skip
    """Fill missing marks in from the other mark and the choir, many times over."""
    everyone = compared[(compared["cluster"] != "") & compared["enrolled"].astype(bool)]
    choirs = pd.get_dummies(everyone["cluster"], dtype=float)
    program, block = everyone["program"].to_numpy(dtype=float), everyone["block"].to_numpy(dtype=object).astype(str)
    marks = everyone[[f"pre_{unit}", f"post_{unit}"]].to_numpy(dtype=float)
    table = np.column_stack([marks, program, choirs.to_numpy()])

    def difference(completed: np.ndarray) -> tuple[float, float]:
        rows = Rows(
            pre=completed[:, 0], post=completed[:, 1], program=program > 0, unit=unit, nameless=0,
            choir=choirs.columns.to_numpy(dtype=str)[completed[:, 3:].argmax(axis=1)], block=block,
        )  # fmt: skip
        return _with_error(choir_means_difference(rows, model=model, about=about, level=level, schools=schools))

    units = choirs.shape[1]
    df = units - 2 - (model == "adjusted") - (len(np.unique(block)) - 1 if schools else 0)
    if df < 1:
        return LeftOut(about, SINGLE)
    found = ask(
        imputed, table, difference, rng=rng, about=about, unit=unit, level=level, complete_df=float(df), draws=draws
    )
    if isinstance(found, LeftOut):
        return found
    p = found.p if tested else None
    return replace(found, clusters=units, p=p, notes=(*found.notes, FILLED))


def _with_error(answer: Estimate | LeftOut) -> tuple[float, float]:
    """Give a difference and its standard error, from half its interval; no error where there is no interval."""
    if isinstance(answer, LeftOut) or answer.interval is None:
        return (0.0, 0.0) if isinstance(answer, LeftOut) else (answer.value, 0.0)
    half = (answer.interval.high - answer.interval.low) / 2
    return answer.value, half / quantile(upper_tail("imputed", answer.interval.level), answer.df)


def _limits(compared: pd.DataFrame, unit: str, about: str, level: float, *, schools: bool) -> list[Estimate | LeftOut]:
    """Set every missing mark as bad, and as good, as it can be for the first approach."""
    top = scale(compared).maximum
    if top is None:
        return [LeftOut(f"{about}, {which} case", MAXIMUM_UNKNOWN) for which in ("worst", "best")]
    marks = compared[[f"pre_{unit}", f"post_{unit}"]]
    some = compared[marks.notna().any(axis=1) & (compared["cluster"] != "")]
    answers = []
    for which, note in (("worst", FILLED_LOW), ("best", FILLED_HIGH)):
        up = some["program"].to_numpy(dtype=bool) == (which == "best")
        rows = Rows(
            pre=some[f"pre_{unit}"].fillna(pd.Series(np.where(up, 0.0, top), some.index)).to_numpy(dtype=float),
            post=some[f"post_{unit}"].fillna(pd.Series(np.where(up, top, 0.0), some.index)).to_numpy(dtype=float),
            program=some["program"].to_numpy(dtype=bool), choir=some["cluster"].to_numpy(dtype=object).astype(str),
            block=some["block"].to_numpy(dtype=object).astype(str), unit=unit, nameless=0,
        )  # fmt: skip
        options = {"model": "gain", "about": f"{about}, {which} case", "level": level, "schools": schools}
        found = choir_means_difference(rows, **options)
        answers.append(
            found if isinstance(found, LeftOut) else replace(found, p=None, notes=(*found.notes, note, LIMITS))
        )
    return answers
