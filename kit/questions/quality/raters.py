"""Do raters agree, is one milder than another, and does that change between the tests."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.choirs import each_once, noted
from kit.questions.quality.how import OWN_TEACHER, TESTS
from kit.questions.quality.items import note_marks
from kit.questions.scale import measure_of
from kit.stats.agreement.categories import kappa_weighted, percent_agreement
from kit.stats.agreement.intraclass import icc_average, icc_single
from kit.stats.agreement.limits import agreement_bias, limit_of_agreement_high, limit_of_agreement_low
from kit.stats.association import correlation
from kit.stats.means import mean_difference_welch, mean_gain

ADJUDICATOR = "adjudicator"
"""Begins the rater of marks that were given only where the others disagreed; they are no second marks."""
ONE_RATER = "No test has marks of two raters, so nothing is known of how well raters agree."
NO_SECOND_MARKS = "Marks of both raters are needed at both tests, and are not on file."
A_ROLE = "The students' own teacher is a role: in several choirs it may be several people."
DRIFT_OF_STUDENTS = "Students marked twice at both tests count at each of them as if they were others."
FEWEST = 3
"""Students with notes that two people marked, below whom their agreement would tell of single students."""
FEW_STUDENTS = (
    "Fewer than {fewest} students have single notes that two people marked, too few to say how far they agree."
)
NOTES_OF_ONE_STUDENT = "Notes of one student are alike, so an interval made from single notes would be too narrow."
MOST_CATEGORIES = 10
"""Highest mark up to which marks are taken for the steps of a rubric, and kappa is told (our rule)."""


@dataclass(frozen=True, slots=True)
class TwiceMarked:
    """Tests of one occasion that several raters marked.

    Attributes
    ----------
    marks : DataFrame
        One row a student, one column a rater, in `unit`; NaN where a rater did not mark.
    choirs : Series of str
        Each student's choir; empty where none is named.
    unit : str
        ``"points"``, or ``"share"`` where the most points differ or are not known beside shares.
    """

    marks: pd.DataFrame
    choirs: pd.Series
    unit: str

    def both(self, raters: tuple[str, str]) -> pd.DataFrame:
        """Keep the students whom both raters marked.

        Parameters
        ----------
        raters : pair of str
            The two raters.

        Returns
        -------
        DataFrame
            One row a student, two columns; without rows where one of them marked nobody.
        """
        return self.marks.reindex(columns=list(raters)).dropna()

    def choirs_of(self, marks: pd.DataFrame) -> pd.Series:
        """Name the choirs of the students of some rows, missing where none is named."""
        return self.choirs.reindex(marks.index).replace("", np.nan)


def twice_marked(scores: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str]) -> dict[str, TwiceMarked]:
    """Gather the tests that two raters or more marked.

    Counted: students of `pairs` with marks of at least two raters of the same attempt and form; an adjudicator is no
    rater here. Of several attempts the first that was marked so.

    Parameters
    ----------
    scores : DataFrame
        The normalised table ``kit.tables.SCORES``.
    pairs : DataFrame
        From `kit.questions.whom.line_up`; it names the measure, and each student's choir.
    tests : pair of str
        The first and the second occasion, as the study file calls them.

    Returns
    -------
    dict
        ``"first test"`` and ``"second test"`` -> their marks; both in one unit.
    """
    kept = scores[
        (scores["measure"] == measure_of(pairs)) & scores["occasion"].isin(tests)
        & scores["student"].isin(pairs["student"]) & (scores["rater"] != "")
        & ~scores["rater"].str.casefold().str.startswith(ADJUDICATOR)
    ]  # fmt: skip
    share = kept["share"].fillna(kept["points"] / kept["max_points"].where(kept["max_points"] > 0))
    kept = kept.assign(share=share, attempt=kept["attempt"].fillna(1).astype(int))
    kept = kept[kept["points"].notna() | kept["share"].notna()]
    test = ["student", "occasion", "attempt", "form"]
    kept = kept[kept.groupby(test)["rater"].transform("nunique") > 1]
    unit = "points" if kept["points"].notna().all() and len(set(kept["max_points"].dropna())) < 2 else "share"
    choirs = pairs.set_index("student")["choir"].astype(object)
    return {
        which: TwiceMarked(_wide(kept[kept["occasion"] == occasion], unit), choirs, unit)
        for occasion, which in zip(tests, TESTS.values(), strict=True)
    }


def _wide(marks: pd.DataFrame, unit: str) -> pd.DataFrame:
    """Lay marks out, one row a student and one column a rater."""
    if marks.empty:
        return pd.DataFrame(dtype=float)
    table = marks.pivot_table(
        index=["student", "attempt", "form"], columns="rater", values=unit, aggfunc="first", observed=True
    )
    first = ~table.index.get_level_values("student").duplicated()
    return table[first].droplevel(["attempt", "form"])


def raters_agree(
    scores: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = "", level: float = 0.95
) -> Answers:
    """Estimate how far raters agree, how much milder one is, and how much that changed between the tests.

    Counted: students of `pairs` with marks of both raters at that test; see `twice_marked`.

    Parameters
    ----------
    scores, pairs, tests
        As in `twice_marked`.
    rater : str, optional
        Whose marks count; others are held against them.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        For each pair of raters and test, about ``"pitch, own teacher minus KB, first test"``: ``agreement_bias``
        (positive where the first named gives more), both limits of agreement, ``icc_single``, ``icc_average``,
        ``correlation``, ``percent_agreement`` and, for marks of few steps, ``kappa_weighted``. For each pair the
        change of the bias, second test minus first: ``mean_difference_welch``, or with several choirs ``mean_gain``.
        Intervals of agreement are the jackknife's, for just these raters.
        With three raters or more, both ICC of them all. With several choirs the biases are those of the choirs, each
        counting once, and the other numbers have no interval.
    """
    found = twice_marked(scores, pairs, tests=tests)
    raters = sorted({name for one in found.values() for name in one.marks}, key=lambda name: (name != rater, name))
    answers: list[Estimate | LeftOut] = []
    for pair in combinations(raters, 2):
        about = f"{measure_of(pairs)}, {pair[0]} minus {pair[1]}"
        for which, one in found.items():
            both = one.both(pair)
            if len(both):
                answers += [_with_role(each, pair) for each in _of_two(one, both, f"{about}, {which}", level)]
        if any(len(one.both(pair)) for one in found.values()):
            drift = _drift(list(found.values()), pair, f"{about}, change between tests", level)
            answers.append(_with_role(drift, pair))
    for which, one in found.items():
        if one.marks.shape[1] > 2:
            answers += _of_all(one, f"{measure_of(pairs)}, all raters, {which}", level)
    return Answers(answers or [LeftOut(measure_of(pairs), ONE_RATER)])


def notes_agree(
    items: pd.DataFrame, pairs: pd.DataFrame, *, tests: tuple[str, str], rater: str = "", fewest: int = 0
) -> Answers:
    """Estimate how far raters agree on single notes.

    Counted: notes of students of `pairs` that both raters marked.

    Parameters
    ----------
    items : DataFrame
        The normalised table ``kit.tables.ITEMS``.
    pairs, tests, rater
        As in `raters_agree`.
    fewest : int, optional
        Students with notes that both marked, below whom nothing is told; never below 3.

    Returns
    -------
    Answers
        For each pair of raters and test ``percent_agreement`` and ``kappa_weighted``, without intervals.
    """
    answers: list[Estimate | LeftOut] = []
    for test, which in zip(tests, TESTS.values(), strict=True):
        marks = note_marks(items, pairs, test=test).dropna(subset="mark")
        marks = marks[(marks["rater"] != "") & ~marks["rater"].str.casefold().str.startswith(ADJUDICATOR)]
        if marks.empty:
            continue
        table = marks.pivot_table(
            index=["student", "form", "melody", "item"], columns="rater", values="mark", aggfunc="first", observed=True
        )
        for pair in combinations(sorted(table.columns, key=lambda name: (name != rater, name)), 2):
            both = table[list(pair)].dropna()
            if both.empty:
                continue
            about = f"{measure_of(pairs)}, single notes, {pair[0]} and {pair[1]}, {which}"
            needed = max(fewest, FEWEST)
            if both.index.get_level_values("student").nunique() < needed:
                answers.append(LeftOut(about, FEW_STUDENTS.format(fewest=needed)))
                continue
            answers += [
                _of_notes(ask(percent_agreement, both, about=about)),
                _of_notes(ask(kappa_weighted, both[pair[0]], both[pair[1]], about=about)),
            ]
    return Answers(answers or [LeftOut(f"{measure_of(pairs)}, single notes", ONE_RATER)])


def _of_notes(found: Estimate | LeftOut) -> Estimate | LeftOut:
    """Say that notes are counted, and give no interval."""
    if isinstance(found, LeftOut):
        return found
    return replace(
        found, counted="notes", interval=None, p=None, df=None, notes=(*found.notes, NOTES_OF_ONE_STUDENT)
    )  # fmt: skip


def _of_two(one: TwiceMarked, both: pd.DataFrame, about: str, level: float) -> Iterator[Estimate | LeftOut]:
    """Estimate bias, limits and agreement of two raters at one test; the first of the two has the positive sign."""
    choirs = one.choirs_of(both)
    options = {"about": about, "level": level, "choirs": choirs.nunique()}
    other, first = both.iloc[:, 1], both.iloc[:, 0]
    yield _bias(both, choirs, about, one.unit, level)
    for limit in (limit_of_agreement_low, limit_of_agreement_high):
        yield ask(limit, other, first, unit=one.unit, **options)
    jackknife = options | {"method": "jackknife"}
    yield ask(icc_single, both, **jackknife)
    yield ask(icc_average, both, **jackknife)
    yield ask(percent_agreement, both, **options)
    yield ask(correlation, first, other, **jackknife)
    if one.unit == "points" and (both % 1 == 0).all(axis=None) and both.max(axis=None) <= MOST_CATEGORIES:
        steps = range(int(both.min(axis=None)), int(both.max(axis=None)) + 1)
        yield ask(kappa_weighted, first, other, weights="squared", categories=list(steps), **jackknife)


def _bias(both: pd.DataFrame, choirs: pd.Series, about: str, unit: str, level: float) -> Estimate | LeftOut:
    """Estimate how much more the first of two raters gives: of students, or of choirs that count once each."""
    means = both.groupby(choirs).mean()
    counted = means if len(means) > 1 else both
    found = ask(agreement_bias, counted.iloc[:, 1], counted.iloc[:, 0], about=about, unit=unit, level=level)
    nameless = int(choirs.isna().sum())
    return each_once(found, choirs=len(means), nameless=nameless) if len(means) > 1 else found


def _drift(tests: list[TwiceMarked], pair: tuple[str, str], about: str, level: float) -> Estimate | LeftOut:
    """Estimate by how much the difference between two raters changed from the first test to the second."""
    both = [one.both(pair) for one in tests]
    more = [marks.iloc[:, 0] - marks.iloc[:, 1] for marks in both]
    if not all(map(len, more)):
        return LeftOut(about, NO_SECOND_MARKS)
    options = {"about": about, "unit": tests[0].unit, "level": level}
    choirs = [one.choirs_of(marks) for one, marks in zip(tests, both, strict=True)]
    if pd.concat(choirs).nunique() < 2:
        found = ask(mean_difference_welch, more[1], more[0], **options)
        return noted(found, DRIFT_OF_STUDENTS)
    means = [gap.groupby(choir).mean() for gap, choir in zip(more, choirs, strict=True)]
    first, second = means[0].align(means[1], join="inner")
    nameless = sum(int(choir.isna().sum()) for choir in choirs)
    return each_once(ask(mean_gain, first, second, **options), choirs=len(first), nameless=nameless)


def _of_all(one: TwiceMarked, about: str, level: float) -> list[Estimate | LeftOut]:
    """Estimate the agreement of three raters or more."""
    choirs = one.choirs_of(one.marks.dropna()).nunique()
    options = {"about": about, "level": level, "choirs": choirs, "method": "jackknife"}
    return [ask(icc, one.marks, **options) for icc in (icc_single, icc_average)]


def _with_role(found: Estimate | LeftOut, pair: tuple[str, str]) -> Estimate | LeftOut:
    """Say that the own teacher is a role, where several choirs are counted."""
    role = any(name.casefold() == OWN_TEACHER for name in pair)
    if isinstance(found, LeftOut) or not role or not found.clusters:
        return found
    return noted(found, A_ROLE)
