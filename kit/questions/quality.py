"""Can the test carry what is asked of it: forms, raters, ceiling and floor, scoring noise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.scale import measure_of, paired_marks, scale, tested, tested_both
from kit.stats.counts import count
from kit.stats.proportions import share_wilson
from kit.stats.reliability import detectable_change, standard_error_of_measurement

OWN_TEACHER = "own teacher"
"""The word by which marks say that students were marked by their own teacher."""
TESTS = {"pre": "first test", "post": "second test"}


@dataclass(frozen=True, slots=True)
class HowTested:
    """What the marks tell about how the test was given.

    Attributes
    ----------
    same_form : bool or None
        True if every student sang the same form both times, False if none did; None when a form is not
        recorded, or some did and some did not: ``forms`` then tells which.
    forms : tuple of str
        Forms recorded.
    one_maximum : bool
        Whether all known maxima are one and the same.
    maxima : tuple of float
        The maxima that are known.
    own_teacher_rated : bool or None
        True if any mark is the own teacher's, False if none is; None when that is not recorded for
        every mark.
    raters : tuple of str
        Raters recorded.
    one_rater : bool or None
        Whether one rater gave every mark that counts; None when that is not recorded for every mark.
    also_marked : int
        Tests that have marks of other raters too.
    """

    same_form: bool | None
    forms: tuple[str, ...]
    one_maximum: bool
    maxima: tuple[float, ...]
    own_teacher_rated: bool | None
    raters: tuple[str, ...]
    one_rater: bool | None
    also_marked: int = 0


def how_tested(pairs: pd.DataFrame) -> HowTested:
    """Gather how the test was given.

    Counted: students tested both times; everyone with a mark where nobody was.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    HowTested
    """
    twice = tested_both(pairs)
    counted = pairs[twice] if twice.any() else pairs
    raters, every_rater = _words(counted, "rater")
    forms, every_form = _words(counted, "form")
    same = counted["pre_form"] == counted["post_form"]
    agreed = twice.any() and every_form and (same.all() or not same.any())
    maxima = tuple(sorted({float(most) for side in TESTS for most in counted[f"{side}_max"].dropna()}))
    own = any(rater.casefold() == OWN_TEACHER for rater in raters)
    return HowTested(
        same_form=bool(same.all()) if agreed else None, forms=forms, one_maximum=len(maxima) <= 1, maxima=maxima,
        own_teacher_rated=own if own or every_rater else None, raters=raters,
        one_rater=len(raters) == 1 if len(raters) > 1 or every_rater else None,
        also_marked=pairs.attrs.get("also_marked", 0),
    )  # fmt: skip


def _words(counted: pd.DataFrame, fact: str) -> tuple[tuple[str, ...], bool]:
    """List the different words recorded beside marks, and say whether every mark has one."""
    found = pd.concat([counted.loc[tested(counted, side), f"{side}_{fact}"] for side in TESTS])
    return tuple(sorted(set(found) - {""})), len(found) > 0 and bool((found != "").all())


def ceiling_and_floor(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate the shares of students at the top and at the bottom of the scale.

    Counted: everyone with a mark, at each test; for the top score those whose most points are known.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Shares about: top score, first test; top score, second test; no points, first test; no points,
        second test. Without intervals for several choirs.
    """
    return Answers([
        _share_at(pairs, side, what, level) for what in ("top score", "no points") for side in TESTS
    ])  # fmt: skip


def _share_at(pairs: pd.DataFrame, side: str, what: str, level: float) -> Estimate | LeftOut:
    """Estimate the share of students at one end of the scale."""
    given = pairs[tested(pairs, side)]
    about = f"{measure_of(pairs)}, {what}, {TESTS[side]}"
    share = given[f"{side}_share"]
    marks, end = (share, 1.0) if what == "top score" else (share.fillna(given[f"{side}_points"]), 0.0)
    known = marks.dropna()
    if len(given) and known.empty:
        return LeftOut(about, "The most points that could be earned are not known.")
    return ask(
        share_wilson, int(np.isclose(known, end).sum()), len(known), about=about, level=level,
        dropped=len(given) - len(known), choirs=given.loc[given["choir"] != "", "choir"].nunique(),
    )  # fmt: skip


def scoring_noise(pairs: pd.DataFrame, *, reliability: float | None, level: float = 0.95) -> Answers:
    """Estimate how far one score lies from what the same student would get on average, and what change is beyond that.

    Counted: everyone with a first mark.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    reliability : float or None
        Reliability of the test, 0 to 1, from elsewhere; None where none is given.
    level : float, optional
        Level of the detectable change, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``standard_error_of_measurement`` and ``detectable_change``, in the unit of `scale`; none where
        all first scores are the same, because a reliability says nothing about them.
    """
    unit, about = scale(pairs).unit, f"{measure_of(pairs)}, one student"
    first = pairs[f"pre_{unit}"]
    if reliability is None:
        return Answers([LeftOut(about, "No reliability of this test is given.")])
    if first.count() > 1 and len(set(first.dropna())) == 1:
        return Answers([LeftOut(about, "All first scores are the same, so their noise cannot be told.")])
    options = {"reliability": reliability, "about": about, "unit": unit}
    return Answers([
        ask(standard_error_of_measurement, first, **options),
        ask(detectable_change, first, level=level, **options),
    ])  # fmt: skip


def changed_beyond_noise(pairs: pd.DataFrame, noise: Sequence[Estimate]) -> list[Estimate]:
    """Count students whose change is larger than scoring noise.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    noise : sequence of Estimate
        From `scoring_noise`; without a detectable change nobody can be told from noise.

    Returns
    -------
    list of Estimate
        Counts about: rose by more than scoring noise; changed too little to tell; fell by more than
        scoring noise. Empty where the noise is not known.

    Raises
    ------
    ValueError
        If the detectable change is in another unit than the marks.
    """
    chosen, pre, post = paired_marks(pairs)
    detectable = next((one for one in noise if one.name == "detectable_change"), None)
    if detectable is None:
        return []
    if detectable.unit != chosen.unit:
        raise ValueError(f"changed_beyond_noise: noise must be in {chosen.unit}. Got {detectable.unit!r}.")
    gains = (post - pre).dropna()
    return [count(number, about=about, of=len(gains)) for about, number in _sorted_by_noise(gains, detectable.value)]


def _sorted_by_noise(gains: pd.Series, noise: float) -> Iterator[tuple[str, int]]:
    """Count gains above, within and below the noise."""
    yield "rose by more than scoring noise", int((gains > noise).sum())
    yield "changed too little to tell", int((gains.abs() <= noise).sum())
    yield "fell by more than scoring noise", int((gains < -noise).sum())
