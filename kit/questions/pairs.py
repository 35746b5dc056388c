"""The scores table -> pairs: one row a student, with the mark that counts of the first and of the second test."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
import pandas as pd

from kit.errors import UnknownChoiceError

Attempt = Literal["first", "last", "best", "mean"]
COLUMNS = (
    "student", "choir", "school", "approach", "pre_points", "post_points", "pre_share", "post_share", "pre_max",
    "post_max", "pre_missing", "post_missing", "pre_form", "post_form", "pre_rater", "post_rater", "pre_choir",
    "post_choir", "enrolled",
)  # fmt: skip
_TEST = ["student", "occasion"]


def line_up(
    students: pd.DataFrame,
    scores: pd.DataFrame,
    *,
    measure: str,
    pre: str,
    post: str,
    attempt: Attempt = "first",
    rater: str = "",
) -> pd.DataFrame:
    """Line up the first and the second mark of every student.

    Counted: everyone in the students table and everyone with a score row of this measure at either
    occasion, except students whose consent is refused; those are counted in ``attrs``.

    Parameters
    ----------
    students, scores : DataFrame
        The normalised tables ``kit.tables.STUDENTS`` and ``SCORES``.
    measure : str
        What was marked.
    pre, post : str
        The two occasions.
    attempt : {"first", "last", "best", "mean"}, optional
        Which mark counts where a student has several of one occasion. A mark goes before an
        absence; the best has the highest share, or the most points where a share is not known.
    rater : str, optional
        Whose mark counts where several raters marked one student at one occasion; where only one
        rater did, that mark counts whoever it is from.

    Returns
    -------
    DataFrame, one row a student
        Columns ``COLUMNS``: points and share are NaN where there is no mark, and then ``missing``
        holds a reason (``"unspecified"`` without any record). The choir is the roster's, else the one
        beside the first mark, else beside the second; ``pre_choir`` and ``post_choir`` are the ones
        beside the marks. ``enrolled`` says who is in the students table; without one, everybody is.
        ``attrs``: ``measure``; ``no_consent``, the number of students left out; ``also_marked``, how many tests have
        marks of several raters; ``second_choirs``, where the students table has it.

    Raises
    ------
    UnknownChoiceError
        If `attempt` or `measure` is an unknown word, or several raters marked one student at one
        occasion and `rater` names none of them.
    """
    if attempt not in get_args(Attempt):
        raise UnknownChoiceError("line_up", "attempt", attempt, get_args(Attempt))
    known = tuple(scores["measure"].unique())
    if known and measure not in known:
        raise UnknownChoiceError("line_up", "measure", measure, known)
    refused = set(students.loc[~students["consent"].fillna(value=True).astype(bool), "student"])
    marks = scores[(scores["measure"] == measure) & scores["occasion"].isin([pre, post])]
    heard = _in_order(marks[~marks["student"].isin(refused)])
    twice = heard.loc[_raters_each(heard) > 1, _TEST].drop_duplicates() if len(heard) else heard
    marks = _one_mark(_one_rater(heard, rater), attempt)
    roster = students[~students["student"].isin(refused)].drop_duplicates("student").set_index("student")
    everyone = roster.index.append(pd.Index(marks["student"])).unique().rename("student")
    pairs = roster.reindex(everyone)[["choir", "school", "approach"]].fillna("").astype(object)
    for name, occasion in (("pre", pre), ("post", post)):
        one = marks[marks["occasion"] == occasion].set_index("student").reindex(everyone)
        pairs = pairs.join(_columns_of(one).add_prefix(f"{name}_"))
    for name in ("pre_choir", "post_choir"):
        pairs["choir"] = pairs["choir"].where(pairs["choir"] != "", pairs[name])
    pairs["enrolled"] = pairs.index.isin(roster.index) | students.empty
    pairs = pairs.reset_index()[list(COLUMNS)]
    pairs.attrs = {"measure": measure, "no_consent": len(refused), "also_marked": len(twice)}
    pairs.attrs |= {name: value for name, value in students.attrs.items() if name == "second_choirs"}
    return pairs


def _in_order(marks: pd.DataFrame) -> pd.DataFrame:
    """Put marks into the order of their attempts, and shares beside points where the maximum is known."""
    marks = marks.sort_values(["attempt", "date"], kind="stable", na_position="last")
    share = marks["share"].fillna(marks["points"] / marks["max_points"].where(marks["max_points"] > 0))
    return marks.assign(share=share, marked=marks["points"].notna() | share.notna(), place=np.arange(len(marks)))


def _one_rater(marks: pd.DataFrame, rater: str) -> pd.DataFrame:
    """Keep the named rater's mark where a student has marks of several raters."""
    raters = tuple(sorted(set(marks["rater"]) - {""}))
    if rater and raters and rater not in raters:
        raise UnknownChoiceError("line_up", "rater", rater, raters)
    several = _raters_each(marks) > 1
    if several.any() and not rater:
        raise UnknownChoiceError("line_up", "rater", rater, raters)
    kept = marks[~(several & marks["marked"] & (marks["rater"] != rater))]
    lost = several & ~marks.set_index(_TEST).index.isin(kept[kept["marked"]].set_index(_TEST).index)
    if lost.any():
        others = ", ".join(repr(name) for name in sorted(set(marks.loc[lost, "rater"])))
        raise ValueError(
            f"line_up: a student marked by several raters must have a mark by {rater!r}. Got marks by {others}."
        )
    return kept


def marked_by_several(scores: pd.DataFrame) -> bool:
    """Say whether any student has marks of several raters of one test, so that one must be chosen.

    Parameters
    ----------
    scores : DataFrame
        The scores table.

    Returns
    -------
    bool
    """
    given = scores[(scores["missing_reason"] == "") & (scores["rater"] != "")]
    once = given.drop_duplicates(["student", "occasion", "measure", "rater"])
    return bool(once.duplicated(["student", "occasion", "measure"]).any())


def _raters_each(marks: pd.DataFrame) -> pd.Series:
    """Count for each row the raters with a mark of the same student and occasion."""
    named = marks["rater"].astype(object).where(marks["marked"])
    return named.groupby([marks[name] for name in _TEST], sort=False).transform("nunique")


def _one_mark(marks: pd.DataFrame, attempt: Attempt) -> pd.DataFrame:
    """Keep one row of each student and occasion."""
    said = ~marks["missing_reason"].isin(["", "unspecified"])
    order = pd.DataFrame({"marked": ~marks["marked"], "said": ~said, "best": 0.0, "place": marks["place"]})
    if attempt == "last":
        order["place"] = -marks["place"].where(marks["marked"], -marks["place"])
    if attempt == "best":
        tests = [marks[name] for name in _TEST]
        by_share = marks["share"].notna().where(marks["marked"], other=True).groupby(tests, sort=False).transform("all")
        order["best"] = -marks["share"].where(by_share, marks["points"])
    chosen = marks.loc[order.sort_values(list(order), kind="stable").index].drop_duplicates(_TEST)
    return _averaged(chosen, marks[marks["marked"]]) if attempt == "mean" else chosen


def _averaged(chosen: pd.DataFrame, given: pd.DataFrame) -> pd.DataFrame:
    """Put averages in place of marks; points only where all attempts have them, out of one maximum."""
    tests = given.groupby(_TEST, sort=False)
    numbers = tests[["points", "share"]]
    averages = numbers.mean().where(numbers.count().eq(tests.size(), axis=0))
    one_maximum = tests["max_points"].nunique().lt(2)
    averages["points"] = averages["points"].where(one_maximum)
    averages["max_points"] = tests["max_points"].first().where(one_maximum)
    keyed = chosen.set_index(_TEST)
    keyed[list(averages)] = averages.reindex(keyed.index)
    return keyed.reset_index()


def _columns_of(one: pd.DataFrame) -> pd.DataFrame:
    """Give what `line_up` keeps of one occasion, whatever is missing filled in."""
    nothing = one["points"].isna() & one["share"].isna()
    reason = one["missing_reason"].fillna("").astype(object)
    return pd.DataFrame({
        "points": one["points"], "share": one["share"], "max": one["max_points"].where(~nothing),
        "missing": reason.where(reason != "", "unspecified").where(nothing, ""),
        **{name: one[name].fillna("").astype(object).where((name == "choir") | ~nothing, "")
           for name in ("form", "rater", "choir")},
    })  # fmt: skip
