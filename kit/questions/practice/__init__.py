"""Are we doing it: meetings logged against meetings possible, minutes before notation against the plan."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import NO_LOG, Answers, LeftOut
from kit.questions.practice.days import EPOCH_WEEKDAY, choir_days, day_numbers
from kit.questions.practice.plan import Practice
from kit.stats.counts import count


def meetings(drills: pd.DataFrame) -> pd.DataFrame:
    """List the days of each choir on which drill was logged.

    Counted: dated lines; lines that sum up several days and lines without a choir are no meetings. Minutes are those
    of lines about the class, inside which single singers are heard; where no such line of the day has any, those of
    all its lines.

    Parameters
    ----------
    drills : DataFrame
        The drill log.

    Returns
    -------
    DataFrame
        Columns choir, date, minutes, before (minutes before notation), rating (of the whole class; NaN where none).
        Minutes are missing where no line of the day has any.
    """
    lines, sums = drills[["choir", "date", "student", "minutes", "stage", "class_rating"]], drills["summary"]
    lines = lines[~sums.to_numpy(bool)] if sums.any() else lines
    found = choir_days(lines)
    minutes, rating = lines["minutes"].to_numpy(float), lines["class_rating"].to_numpy(float)
    timed, rated = ~np.isnan(minutes), ~np.isnan(rating)
    before = np.where((lines["stage"] == "before_notation").to_numpy(bool), minutes, 0.0)
    by_class = found.number(timed & (lines["student"] == "").to_numpy(bool)) > 0
    counted = timed & (~by_class[found.at] | (lines["student"] == "").to_numpy(bool)) if len(by_class) else timed
    known = found.number(counted) > 0
    sums = [np.where(known, found.total(values, counted), np.nan) for values in (minutes, before)]
    mean = found.total(rating, rated) / np.where(found.number(rated) > 0, found.number(rated), np.nan)
    return found.days.assign(minutes=sums[0], before=sums[1], rating=mean)


def weeks(drills: pd.DataFrame, plan: Practice, closed: Collection[date] = ()) -> pd.DataFrame:
    """Count meetings week by week and choir by choir, beside those possible.

    Counted: every week from the first to the last logged day of any choir that has a day of school. A short week has
    no more possible meetings than days of school.

    Parameters
    ----------
    drills : DataFrame
        The drill log.
    plan : Practice
        The declared plan.
    closed : collection of date, optional
        Days without school.

    Returns
    -------
    DataFrame
        Columns choir, week (its Monday), possible, logged, minutes, enough (meetings with the planned minutes before
        notation), timed (meetings with minutes), staged (those of choirs whose log tells stages).
    """
    days = meetings(drills)
    if days.empty:
        return pd.DataFrame(columns=["choir", "week", "possible", "logged", "minutes", "enough", "timed", "staged"])
    week = (day_numbers(days["date"]) + EPOCH_WEEKDAY) // 7
    names, choir = np.unique(days["choir"].to_numpy(object), return_inverse=True)
    first, number = int(week.min()), int(np.ptp(week)) + 1
    at = choir * number + week - first
    timed, minutes = days["minutes"].notna().to_numpy(float), days["minutes"].fillna(0.0).to_numpy()
    staged = timed * np.isin(names, drills.loc[drills["stage"] != "", "choir"].unique())[choir]
    enough = (days["before"] >= plan.minutes_before_notation).to_numpy(float) * staged
    logged, minutes, enough, timed, staged = (
        np.bincount(at, weights=values, minlength=names.size * number).reshape(names.size, number)
        for values in (None, minutes, enough, timed, staged)
    )
    mondays = pd.to_datetime((np.arange(number) + first) * 7 - EPOCH_WEEKDAY, unit="D").astype("datetime64[us]")
    school = _days_of_school(mondays, closed)
    open_ = school > 0
    # a meeting that was logged was possible
    possible = np.maximum(np.minimum(plan.meetings_per_week or int(logged.max()), school), logged)
    cells = {
        "logged": logged, "minutes": minutes, "enough": enough, "timed": timed, "staged": staged, "possible": possible,
    }  # fmt: skip
    kinds = {name: float if name == "minutes" else int for name in cells}
    grid = pd.DataFrame({
        "choir": pd.Series(np.repeat(names, open_.sum()), dtype="str"), "week": np.tile(mondays[open_], names.size),
    })  # fmt: skip
    return grid.assign(**{name: values[:, open_].ravel() for name, values in cells.items()}).astype(kinds)


def _days_of_school(mondays: pd.DatetimeIndex, closed: Collection[date]) -> np.ndarray:
    """Count the days of school of each week."""
    starts = mondays.to_numpy().astype("datetime64[D]")
    return np.busday_count(starts, starts + 7, holidays=np.array(sorted(closed), "datetime64[D]"))


def fidelity(found: pd.DataFrame) -> Answers:
    """Count, for each choir and for all together, meetings logged of those possible and those that kept the plan.

    Counted: every choir and week of `found`.

    Parameters
    ----------
    found : DataFrame
        From `weeks`.

    Returns
    -------
    Answers
        Counts about ``"<choir>, meetings logged"`` (out of those possible), ``"<choir>, meetings with minutes"`` (out
        of those logged), ``"<choir>, meetings with the planned minutes before notation"`` (out of those with minutes of
        choirs whose log tells stages), ``"<choir>, minutes logged"``.
    """
    if found.empty:
        return Answers([LeftOut("meetings and minutes", NO_LOG)])
    answers: list[Estimate] = []
    totals = found.groupby("choir", sort=True)[list(found.columns[2:])].sum()
    groups = [("all choirs", totals.sum().to_dict())] if len(totals) > 1 else []
    for name, total in [*groups, *totals.to_dict("index").items()]:
        answers += [
            count(int(total["logged"]), about=f"{name}, meetings logged", unit="meetings", of=int(total["possible"])),
            count(
                int(total["timed"]), about=f"{name}, meetings with minutes", unit="meetings", of=int(total["logged"])
            ),
            count(
                int(total["enough"]), about=f"{name}, meetings with the planned minutes before notation",
                unit="meetings", of=int(total["staged"]),
            ),
            count(round(float(total["minutes"])), about=f"{name}, minutes logged", unit="minutes"),
        ]  # fmt: skip
    return Answers(answers)


def in_a_week(found: pd.DataFrame) -> int:
    """Say how many meetings a full week has: the most that are possible in any week of `weeks`; 4 without a log."""
    return 4 if found.empty else int(found["possible"].max())


def gaps(found: pd.DataFrame) -> pd.DataFrame:
    """List weeks of school without a single meeting logged.

    Counted: every choir and week of `found`.

    Returns
    -------
    DataFrame
        Columns choir, week.
    """
    return found.loc[(found["logged"] == 0) & (found["possible"] > 0), ["choir", "week"]].reset_index(drop=True)
