"""Who is counted, who is missing, and does it matter: the students lined up with their two marks."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
import pandas as pd

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.scale import choirs_of, measure_of, scale, tested, tested_both
from kit.stats.counts import count
from kit.tables import MISSING_REASONS

__all__ = [
    "Answers", "Attempt", "LeftOut", "both", "flow", "leavers_and_stayers", "line_up", "one_maximum", "reasons", "tested",
]  # fmt: skip

Attempt = Literal["first", "last", "best", "mean"]
COLUMNS = (
    "student", "choir", "school", "approach", "pre_points", "post_points", "pre_share", "post_share", "pre_max",
    "post_max", "pre_missing", "post_missing", "pre_form", "post_form", "pre_rater", "post_rater", "post_choir",
    "enrolled",
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
        beside the first mark, else beside the second; ``post_choir`` is the one beside the second
        mark. ``attrs``: ``measure``, ``no_consent``.

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
    marks = _one_mark(_one_rater(_in_order(marks[~marks["student"].isin(refused)]), rater), attempt)
    roster = students[~students["student"].isin(refused)].drop_duplicates("student").set_index("student")
    everyone = roster.index.append(pd.Index(marks["student"])).unique().rename("student")
    pairs = roster.reindex(everyone)[["choir", "school", "approach"]].fillna("").astype(object)
    for name, occasion in (("pre", pre), ("post", post)):
        one = marks[marks["occasion"] == occasion].set_index("student").reindex(everyone)
        pairs = pairs.join(_columns_of(one).add_prefix(f"{name}_"))
    for name in ("pre_choir", "post_choir"):
        pairs["choir"] = pairs["choir"].where(pairs["choir"] != "", pairs[name])
    pairs["enrolled"] = pairs.index.isin(roster.index)
    pairs = pairs.reset_index()[list(COLUMNS)]
    pairs.attrs = {"measure": measure, "no_consent": len(refused)}
    return pairs


def _in_order(marks: pd.DataFrame) -> pd.DataFrame:
    """Put marks into the order of their attempts, and shares beside points where the maximum is known."""
    marks = marks.sort_values(["attempt", "date"], kind="stable", na_position="last")
    share = marks["share"].fillna(marks["points"] / marks["max_points"].where(marks["max_points"] > 0))
    return marks.assign(share=share, marked=marks["points"].notna() | share.notna(), place=np.arange(len(marks)))


def _one_rater(marks: pd.DataFrame, rater: str) -> pd.DataFrame:
    """Keep the named rater's mark where a student has marks of several raters."""
    raters = tuple(sorted(set(marks["rater"]) - {""}))
    if rater and rater not in raters:
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
    one_maximum = tests["max_points"].nunique() <= 1
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


def flow(pairs: pd.DataFrame) -> list[Estimate]:
    """Count who was tested when.

    Counted: every row of `pairs`; the last four counts add up to all of them.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.

    Returns
    -------
    list of Estimate
        Counts, each out of all students in `pairs`. Students tested without being on the roster are
        counted after those on it, if there are any.
    """
    before, after = tested(pairs, "pre"), tested(pairs, "post")
    strangers = int((~pairs["enrolled"]).sum())
    numbers = {
        "on the roster": pairs["enrolled"].sum(),
        **({"not on the roster": strangers} if strangers else {}),
        "tested before": before.sum(),
        "tested after": after.sum(),
        "tested both times": (before & after).sum(),
        "tested before only": (before & ~after).sum(),
        "tested after only": (~before & after).sum(),
        "tested neither time": (~before & ~after).sum(),
    }
    return [count(int(number), about=about, of=len(pairs)) for about, number in numbers.items()]


def reasons(pairs: pd.DataFrame) -> list[Estimate]:
    """Count why marks are missing, for each test.

    Counted: every row of `pairs` without a mark at that test.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.

    Returns
    -------
    list of Estimate
        Counts about ``"before: absent"`` and so on, each out of all students in `pairs`; reasons that
        do not occur are not listed.
    """
    found = []
    for name, occasion in (("pre", "before"), ("post", "after")):
        numbers = pairs[f"{name}_missing"].value_counts()
        found += [
            count(int(numbers[reason]), about=f"{occasion}: {reason.replace('_', ' ')}", of=len(pairs))
            for reason in MISSING_REASONS
            if reason in numbers
        ]
    return found


def leavers_and_stayers(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Compare the first scores of students tested only before with those of students tested both times.

    Counted: everyone with a first mark.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``mean_score`` of stayers and of leavers, and ``mean_difference_welch``, leavers minus stayers:
        negative where those who left had scored lower. With several choirs no interval is given.
    """
    # imported here: the check command imports this module and must not wait for scipy
    from kit.stats.means import mean_difference_welch, mean_score  # noqa: PLC0415

    chosen, stay, measure = scale(pairs), tested_both(pairs), f"{measure_of(pairs)}, first test"
    first, left = pairs[f"pre_{chosen.unit}"], tested(pairs, "pre") & ~stay
    named = pairs.loc[stay | left, "choir"]
    options = {"unit": chosen.unit, "level": level, "choirs": max(named[named != ""].nunique(), len(choirs_of(pairs)))}
    difference = f"{measure}, tested before only minus tested both times"
    few = min(first[left].count(), first[stay].count()) < 2
    return Answers([
        ask(mean_score, first[stay], about=f"{measure}, tested both times", **options),
        ask(mean_score, first[left], about=f"{measure}, tested before only", **options),
        LeftOut(difference, "A difference needs at least 2 students tested both times and 2 tested before only.")
        if few else ask(mean_difference_welch, first[left], first[stay], about=difference, **options),
    ])  # fmt: skip


def both(pairs: pd.DataFrame) -> pd.DataFrame:
    """Keep the students tested both times.

    Counted: students with a mark at both tests.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.

    Returns
    -------
    DataFrame
        Their rows of `pairs`.
    """
    return pairs[tested_both(pairs)]


def one_maximum(pairs: pd.DataFrame) -> bool:
    """Say whether all known maxima of both tests are one and the same.

    Counted: every row of `pairs` whose maximum is known.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.

    Returns
    -------
    bool
        True also where no maximum is known.
    """
    return len(set(pairs[["pre_max", "post_max"]].stack().dropna())) <= 1  # noqa: PD013 - both columns as one list
