"""Can the test carry what is asked of it: forms, raters, ceiling and floor, scoring noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate
from kit.questions.growth import scale
from kit.questions.whom import both, tested
from kit.stats.counts import count
from kit.stats.proportions import share_wilson
from kit.stats.reliability import detectable_change, standard_error_of_measurement

OWN_TEACHER = "own teacher"
"""The word by which study files and marks say that students were marked by their own teacher."""


@dataclass(frozen=True, slots=True)
class HowTested:
    """What the marks tell about how the test was given.

    Attributes
    ----------
    same_form : bool or None
        Whether every student sang the same form both times; None when forms were not recorded, or differ
        from student to student.
    forms : tuple of str
        Forms recorded.
    one_maximum : bool
        Whether both tests have the same number of points.
    maxima : tuple of float
        The maxima that are known.
    own_teacher_rated : bool or None
        Whether the students' own teacher marked; None when raters were not recorded.
    raters : tuple of str
        Raters recorded.
    one_rater : bool or None
        Whether one rater marked everything; None when raters were not recorded.
    """

    same_form: bool | None
    forms: tuple[str, ...]
    one_maximum: bool
    maxima: tuple[float, ...]
    own_teacher_rated: bool | None
    raters: tuple[str, ...]
    one_rater: bool | None


def how_tested(pairs: pd.DataFrame) -> HowTested:
    """Gather how the test was given.

    Counted: students tested both times; for raters everybody with a mark.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    HowTested
    """
    counted = both(pairs)
    forms = _words(counted, "form")
    recorded = counted[(counted["pre_form"] != "") & (counted["post_form"] != "")]
    same = recorded["pre_form"] == recorded["post_form"]
    agreed = len(recorded) == len(counted) > 0 and (same.all() or not same.any())
    maxima = np.unique(np.concatenate([counted[f"{side}_max"].dropna().unique() for side in ("pre", "post")]))
    raters = _words(pairs, "rater")
    return HowTested(
        same_form=bool(same.iloc[0]) if agreed else None, forms=forms, one_maximum=len(maxima) <= 1,
        maxima=tuple(map(float, maxima)), own_teacher_rated=OWN_TEACHER in raters if raters else None, raters=raters,
        one_rater=len(raters) == 1 if raters else None,
    )  # fmt: skip


def ceiling_and_floor(pairs: pd.DataFrame, *, level: float = 0.95) -> list[Estimate]:
    """Estimate the shares of students at the top and at the bottom of the scale.

    Counted: everybody with a mark whose maximum is known, on each occasion.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level.

    Returns
    -------
    list of Estimate
        Shares about: top score, first test; top score, second test; no points, first test; no points,
        second test; empty where no maximum is known.
    """
    measure = pairs.attrs.get("measure", "score")
    estimates = []
    for what, share in (("top score", 1.0), ("no points", 0.0)):
        for side, when in (("pre", "first test"), ("post", "second test")):
            marks = pairs.loc[tested(pairs, side), f"{side}_share"].dropna().to_numpy()
            if len(marks):
                hits = int(np.isclose(marks, share).sum())
                estimates.append(share_wilson(hits, len(marks), about=f"{measure}, {what}, {when}", level=level))
    return estimates


def scoring_noise(pairs: pd.DataFrame, *, reliability: float, level: float = 0.95) -> list[Estimate]:
    """Estimate how far a score is from what the same student would get on average, and what change is beyond that.

    Counted: everybody with a first mark.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    reliability : float
        Reliability of the test, 0 to below 1.
    level : float, optional
        Level of the detectable change.

    Returns
    -------
    list of Estimate
        The standard error of measurement and the detectable change; empty without spread.
    """
    unit = scale(pairs).unit
    first = pairs[f"pre_{unit}"].dropna().to_numpy()
    about = f"{pairs.attrs.get('measure', 'score')}, one student"
    try:
        return [
            standard_error_of_measurement(first, reliability=reliability, about=about, unit=unit),
            detectable_change(first, reliability=reliability, about=about, unit=unit, level=level),
        ]
    except TooFewError:
        return []


def changed_beyond_noise(pairs: pd.DataFrame, detectable: Estimate) -> list[Estimate]:
    """Count students whose change is larger than scoring noise.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    detectable : Estimate
        The detectable change, in the unit of `kit.questions.growth.scale`.

    Returns
    -------
    list of Estimate
        Counts about: rose by more than scoring noise; changed too little to tell; fell by more than scoring
        noise.
    """
    counted, unit = both(pairs), scale(pairs)
    gains = unit.of(counted, "post") - unit.of(counted, "pre")
    numbers = {
        "rose by more than scoring noise": gains > detectable.value,
        "changed too little to tell": np.abs(gains) <= detectable.value,
        "fell by more than scoring noise": gains < -detectable.value,
    }
    return [count(int(rows.sum()), about=about, of=len(gains)) for about, rows in numbers.items()]


def _words(pairs: pd.DataFrame, fact: str) -> tuple[str, ...]:
    """List the different words of a fact on both sides."""
    found = pd.concat([pairs.loc[tested(pairs, side), f"{side}_{fact}"] for side in ("pre", "post")])
    return tuple(sorted(set(found) - {""}))
