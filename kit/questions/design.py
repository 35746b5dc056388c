"""What kind of study this is, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

import pandas as pd

from kit.errors import TooFewError, UnknownChoiceError
from kit.questions.lost import Leaving, Lost, losses
from kit.questions.scale import measure_of, paired_marks, tested, tested_both

How = Literal[
    "undeclared", "none", "schools_chose", "teachers_chose", "cutoff", "students_at_random", "choirs_at_random"
]  # fmt: skip
BALANCED = 0.25
"""Difference at the first test, in SD, up to which adjusting is held to help (WWC Handbook 4.1, from memory)."""
FEW_CHOIRS = 6
"""Choirs below which the kit gives an estimate and makes no test: from here on choir means keep 4 degrees of freedom,
and simulation on the invented district keeps the level."""
SERIES_POINTS, SERIES_CASES = 3, 3
"""Tests before and after its starting date that a case needs, and starting dates of a series of cases (WWC 5.0)."""
SERIES_WHOLE = 6, 5
"""Tests before and after that a review without reservations asks for (WWC 5.0, chapter VI)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """What kind of study this is.

    Attributes
    ----------
    code : str
        D0, D1, D1b, D1c, D2, D3a, D3b, D4, D5, D5b, D6 or D7.
    because : tuple of str
        Why it is this one, in sentences.
    choirs, approaches : int
        How many choirs and approaches have students tested both times, or any student where nobody was.
    open_questions : tuple of str
        What a person has to decide, and what to type where.
    assigned, analysed : str
        What was assigned to an approach, and what is counted as one in its analysis: ``"choirs"``, ``"schools"``,
        ``"students"``; empty where nothing was assigned.
    units : int
        How many of `analysed` there are; of students those tested both times.
    """

    code: str
    because: tuple[str, ...]
    choirs: int
    approaches: int
    open_questions: tuple[str, ...] = ()
    assigned: str = ""
    analysed: str = ""
    units: int = 0

    @property
    def may_test(self) -> bool:
        """Whether the units are many enough for a test, and each approach has a second one."""
        return self.code in ("D3a", "D3b", "D4", "D5") and (self.analysed == "students" or self.units >= FEW_CHOIRS)

    @property
    def at_random(self) -> bool:
        """Whether a difference may be told as what the approach did."""
        return self.code in ("D4", "D5")


def classify(
    pairs: pd.DataFrame, *, how: How = "undeclared", leaving: Leaving = "cautious",
    series: pd.DataFrame | None = None, replication: bool = False,
) -> Design:  # fmt: skip
    """Say what kind of study this is, from its students and the declared assignment.

    Counted: students tested both times; where nobody was, everyone in `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`, or `kit.questions.compared.between` for two approaches alone.
    how : str, optional
        How students or choirs came to an approach, as declared in the study file.
    leaving : {"cautious", "optimistic"}, optional
        Which boundary decides whether those assigned at random lost too many.
    series : DataFrame, optional
        From `kit.questions.series_design.cases`: tests of each choir before and after its starting date.
    replication : bool, optional
        Whether the study repeats an earlier one under criteria declared beforehand.

    Returns
    -------
    Design

    Raises
    ------
    UnknownChoiceError
        If `how` is an unknown word.
    """
    if how not in get_args(How):
        raise UnknownChoiceError("classify", "how", how, get_args(How))
    twice = tested_both(pairs)
    counted = pairs[twice] if twice.any() else pairs
    choirs = int(counted.loc[counted["choir"] != "", "choir"].nunique())
    column = unit_column(counted, how)
    code, because = _code(pairs, counted, column, how, leaving)
    code, because = _series_code(series, code, because)
    if replication:
        code, because = "D7", (*because, "The study repeats an earlier one, as declared.")
    facts = _units(counted, column) if len(_units_by_approach(counted, column)) > 1 else {}
    return Design(
        code=code, because=because, choirs=choirs, approaches=len(_units_by_approach(counted, column)),
        open_questions=() if code == "D0" else tuple(_open_questions(counted, how)), **facts,
    )  # fmt: skip


def unit_column(pairs: pd.DataFrame, how: str) -> Literal["choir", "school", ""]:
    """Say what was assigned to an approach, as a column.

    Counted: rows with an approach.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    how : str
        As declared.

    Returns
    -------
    str
        ``""`` for students; ``"school"`` where schools chose, all are named and none has two approaches; else
        ``"choir"``. Teachers stand in no table, so where they chose, choirs stand for them.
    """
    given = pairs[pairs["approach"] != ""]
    if how == "students_at_random":
        return ""
    one_way = (given["school"] != "").all() and not given.drop_duplicates(["school", "approach"])[
        "school"
    ].duplicated().any()
    return "school" if how == "schools_chose" and len(given) and one_way else "choir"


def _units_by_approach(counted: pd.DataFrame, column: str) -> pd.Series:
    """Count the named choirs or schools of each approach, none where it names none."""
    given = counted[counted["approach"] != ""]
    named = given[column or "choir"]
    return named.where(named != "").groupby(given["approach"]).nunique()


def _units(counted: pd.DataFrame, column: str) -> Mapping[str, str | int]:
    """Say what was assigned, what counts as one in the analysis, and how many of these there are."""
    what = {"choir": "choirs", "school": "schools", "": "students"}[column]
    given = counted[counted["approach"] != ""]
    units = len(given) if not column else int(given.loc[given[column] != "", column].nunique())
    return {"assigned": what, "analysed": what, "units": units}


def _code(
    pairs: pd.DataFrame, counted: pd.DataFrame, column: str, how: str, leaving: Leaving
) -> tuple[str, tuple[str, ...]]:
    """Choose the design's code, with the reasons."""
    if not tested_both(pairs).any():
        return "D0", (_why_one_test(pairs),)
    numbers = _units_by_approach(counted, column)
    if len(numbers) < 2:
        choirs = counted.loc[counted["choir"] != "", "choir"].nunique()
        return ("D1b" if choirs > 1 else "D1"), (_ONE_WAY.get(choirs, _ONE_WAY_MANY.format(choirs=choirs)),)
    what = "school" if column == "school" else "choir"
    sizes = ", ".join(f"{approach}: {number}" for approach, number in numbers.items())
    because = (f"Number of {what}s tested both times, by approach: {sizes}.",)
    if numbers.min() < 2 and not (how == "students_at_random" and _shared(counted)):
        return "D2", (*because, f"Where an approach has no second {what}, it cannot be told from that {what}.")
    if how.endswith("at_random"):
        return _at_random(pairs, column, int(numbers.sum()), because, leaving)
    return _not_at_random(pairs, (*because, _NOT_RANDOM[how]))


def _at_random(
    pairs: pd.DataFrame, column: str, units: int, because: tuple[str, ...], leaving: Leaving
) -> tuple[str, tuple[str, ...]]:
    """Choose the code where choirs or students were assigned at random: it holds while few were lost since."""
    because = (*because, f"{'Choirs' if column else 'Students'} were assigned at random, as declared.")
    high = [lost for lost in losses(pairs, leaving=leaving, units=column) if lost.loss.rating != "low"]
    if high:
        return _not_at_random(pairs, (*because, _why_high(high[0])))
    if not column:
        return "D4", because
    code = "D5b" if units < FEW_CHOIRS else "D5"
    return code, (*because, f"A test needs {FEW_CHOIRS} choirs here, and there are {units}.")


def _shared(counted: pd.DataFrame) -> bool:
    """Say whether any choir has students of two approaches."""
    given = counted[counted["approach"] != ""]
    return len(given.drop_duplicates(["choir", "approach"])) > len(given.drop_duplicates("choir"))


def _why_high(lost: Lost) -> str:
    """Say that so many were lost that the lot no longer holds; how many students is told where it may be hidden."""
    if lost.what == "students":
        return "Since then so many students were lost, or so unevenly, that the groups count as not assigned at random."
    one, other = (f"{lost.began[at] - lost.kept[at]} of {lost.began[at]}" for at in (0, 1))
    return (
        f"Since then {lost.what} were lost ({lost.approaches[0]}: {one}, {lost.approaches[1]}: {other}), so many or so "
        "unevenly that the groups count as not assigned at random."
    )


_ONE_WAY = {
    0: "No choir is named, so all students are taken as one choir.",
    1: "Every student tested both times is in one choir.",
}
_ONE_WAY_MANY = "Students of {choirs} choirs were tested both times, and no second approach is named."
_NOT_RANDOM = {
    "undeclared": "How choirs came to their approach is not declared, so it is taken as not at random.",
    "none": "The study file declares no comparison, so the approaches are taken as not assigned at random.",
    "schools_chose": "Schools chose their approach, as declared.",
    "teachers_chose": "Teachers chose their approach, as declared.",
    "cutoff": "A cut-off decided the approach, as declared; the kit treats that as not at random.",
}


def _why_one_test(pairs: pd.DataFrame) -> str:
    """Say why nobody has both marks."""
    before, after = tested(pairs, "pre").any(), tested(pairs, "post").any()
    if before and after:
        return "Both tests have marks, but no student has a mark of both."
    if not before and not after:
        return "Nobody has a mark of either test."
    return f"Nobody has a mark of both tests; only the {'first' if before else 'second'} has any."


def _series_code(series: pd.DataFrame | None, code: str, because: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Take a series of tests around starting dates for what it is, where nothing is compared."""
    if series is None or series.empty or code not in ("D0", "D1", "D1b"):
        return code, because
    whole = series[(series["before"] >= SERIES_POINTS) & (series["after"] >= SERIES_POINTS)]
    starts = whole["start"].nunique()
    told = (
        f"Choirs tested at least {SERIES_POINTS} times before and after the date they began: {len(whole)}, "
        f"at different dates: {starts}.",
    )
    if starts >= SERIES_CASES:
        return "D6", told
    return ("D1c", told) if len(whole) else (code, (*because, *told))


def _not_at_random(pairs: pd.DataFrame, because: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Tell approaches that were alike at the first test from others."""
    # imported here: the check command imports this module, and only this question needs scipy
    from kit.stats.effects.sizes import hedges_g  # noqa: PLC0415

    pre = paired_marks(pairs)[1]
    groups = [pre[rows.index] for name, rows in pairs[tested_both(pairs)].groupby("approach") if name]
    about = f"{measure_of(pairs)}, first test"
    try:
        apart = max(
            abs(hedges_g(one, other, about=about).value) for at, one in enumerate(groups) for other in groups[at + 1 :]
        )
    except TooFewError:
        return "D3b", (*because, "How alike the approaches were at the first test cannot be told from these marks.")
    alike = apart <= BALANCED
    found = f"At the first test approaches differed by {'no more' if alike else 'more'} than {BALANCED} SD."
    return "D3a" if alike else "D3b", (*because, found)


def _open_questions(counted: pd.DataFrame, how: str) -> Iterator[str]:
    """Ask what only a person can know, with what to type where."""
    named = counted["approach"] != ""
    if len(set(counted.loc[named, "approach"])) > 1 and how in ("undeclared", "none"):
        yield (
            'How did choirs come to their approach? Write in study.toml, under [assignment], how = "schools_chose", '
            'or instead of it "teachers_chose", "cutoff", "students_at_random" or "choirs_at_random".'
        )
    if named.any() and not named.all():
        yield (
            f"Which approach do the others have? Students without one who were tested both times: {(~named).sum()}. "
            "Name it in the roster; until then they are in no comparison."
        )
