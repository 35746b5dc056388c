"""How far noise moves the score of one student, and how far gains tell students apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.reliability import UsedReliability, reliability_used, retold
from kit.questions.scale import measure_of, paired_marks, scale
from kit.stats.counts import count
from kit.stats.reliability import detectable_change, standard_error_of_measurement


def scoring_noise(pairs: pd.DataFrame, *, reliability: float | UsedReliability | None, level: float = 0.95) -> Answers:
    """Estimate how far one score lies from what the same student would get on average, and what change is beyond that.

    Counted: everyone with a first mark.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    reliability : float, UsedReliability or None
        Reliability of the test, 0 to 1, from elsewhere, or the one that `reliability_used` chose; None where none
        is given.
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
    used = reliability if isinstance(reliability, UsedReliability) else reliability_used(reliability)
    if used.value is None:
        return Answers([LeftOut(about, "No reliability of this test is given.")])
    if first.count() > 1 and len(set(first.dropna())) == 1:
        return Answers([LeftOut(about, "All first scores are the same, so their noise cannot be told.")])
    options = {"reliability": used.value, "about": about, "unit": unit}
    found = [
        ask(standard_error_of_measurement, first, **options),
        ask(detectable_change, first, level=level, **options),
    ]  # fmt: skip
    return Answers([one if isinstance(one, LeftOut) else retold(one, used) for one in found])


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
