"""How alike two approaches started, and whom each of them lost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, names_of
from kit.questions.lost import Leaving, Lost, losses
from kit.questions.scale import choirs_of, measure_of, paired_marks
from kit.stats.attrition import BOUNDARY, attrition_boundary
from kit.stats.counts import count
from kit.stats.effects.sizes import hedges_g
from kit.stats.means import mean_score
from kit.stats.proportions.shares import share_difference_newcombe

Band = Literal["close", "adjust", "apart"]
CLOSE, FAR = 0.05, 0.25
"""Ends of the bands, in SD, both still inside (WWC Handbook 4.1, Table II.2)."""
DUST = 1e-12


@dataclass(frozen=True, slots=True)
class Start:
    """How alike the approaches were before, on one measure.

    Attributes
    ----------
    measure : str
        What was measured.
    program, comparison : Estimate
        The averages at the first test.
    apart : Estimate
        Their difference in SD.
    band : {"close", "adjust", "apart"}
        Up to 0.05 SD, up to 0.25 SD, beyond.
    """

    measure: str
    program: Estimate
    comparison: Estimate
    apart: Estimate
    band: Band


@dataclass(frozen=True, slots=True)
class Baseline:
    """How alike the approaches were before, on each measure.

    Attributes
    ----------
    rows : tuple of Start
        One for each measure that could be compared.
    answers : Answers
        All estimates of `rows`, and measures left out.
    names : tuple of str
        The two approaches.
    at_random : bool
        Whether approaches were assigned at random, as declared, so that a distance came about by chance.
    """

    rows: tuple[Start, ...]
    answers: Answers
    names: tuple[str, str]
    at_random: bool

    @property
    def band(self) -> Band | None:
        """The band of the first measure, which is the one reported."""
        return self.rows[0].band if self.rows else None

    @property
    def differences(self) -> list[Estimate]:
        """The difference of each measure, in SD, for the figure."""
        return [row.apart for row in self.rows]

    @property
    def measures(self) -> list[str]:
        """The measures, in the same order."""
        return [row.measure for row in self.rows]


def baseline(compared: pd.DataFrame, *others: pd.DataFrame, level: float = 0.95) -> Baseline:
    """Compare the first tests of two approaches, for those who are in the comparison.

    Counted: students tested both times.

    Parameters
    ----------
    compared, *others : DataFrame
        From `kit.questions.compared.between`: the measure that is reported, and further ones.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Baseline
        No interval is given: what counts is how far these students lie apart, not what others would do.
    """
    found = [_start(table, level) for table in (compared, *others)]
    rows = tuple(one for one in found if isinstance(one, Start))
    answers = [
        answer
        for one in found
        for answer in ((one.program, one.comparison, one.apart) if isinstance(one, Start) else (one,))
    ]
    return Baseline(rows, Answers(answers), names_of(compared), _at_random(compared))


def _at_random(compared: pd.DataFrame) -> bool:
    """Say whether the two approaches were assigned at random, as declared."""
    return compared.attrs.get("how", "").endswith("at_random")


def _start(compared: pd.DataFrame, level: float) -> Start | LeftOut:
    """Compare the first tests of one measure."""
    about = f"{measure_of(compared)}, first test"
    if not len(compared):
        return LeftOut(about, NO_COMPARISON)
    chosen, pre, _ = paired_marks(compared)
    sides, names = [pre[compared["program"] == side] for side in (True, False)], names_of(compared)
    options = {"level": level, "choirs": max(2, len(choirs_of(compared)))}
    means = [
        ask(mean_score, side, about=f"{about}, {name}", unit=chosen.unit, **options)
        for side, name in zip(sides, names, strict=True)
    ]
    apart = ask(hedges_g, *sides, about=f"{about}, {names[0]} minus {names[1]}", **options)
    missing = next((one for one in (apart, *means) if isinstance(one, LeftOut)), None)
    return missing or Start(measure_of(compared), *means, apart, band_of(apart.value))


def band_of(apart: float) -> Band:
    """Tell in which band a difference lies; an end belongs to the nearer band.

    Counted: nothing.

    Parameters
    ----------
    apart : float
        In SD, either sign.

    Returns
    -------
    {"close", "adjust", "apart"}
    """
    size = abs(apart)
    return "close" if size <= CLOSE + DUST else "adjust" if size <= FAR + DUST else "apart"


@dataclass(frozen=True, slots=True)
class Loss:
    """Whom two approaches lost, and what the published boundary says.

    Attributes
    ----------
    levels : tuple of Lost
        Choirs (or schools), then students of those that were not lost.
    answers : Answers
        For each level: counts kept, the difference of the shares kept, and the limit.
    leaving : {"cautious", "optimistic"}
        Which boundary.
    at_random : bool
        Whether the boundary was made for a study like this: it is for assignment at random.
    """

    levels: tuple[Lost, ...]
    answers: Answers
    leaving: Leaving
    at_random: bool

    @property
    def rating(self) -> str:
        """The worst rating of all levels; empty where nothing was assigned."""
        order = ("low", "borderline", "high")
        return max((one.loss.rating for one in self.levels), key=order.index, default="")


def attrition(compared: pd.DataFrame, *, leaving: Leaving = "cautious", level: float = 0.95) -> Loss:
    """Count whom the two approaches lost, choirs first, and hold that against the published boundary.

    Counted: everyone on the roster with one of the two approaches.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    leaving : {"cautious", "optimistic"}, optional
        Which boundary: cautious if the program could influence who leaves.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Loss
    """
    column = {"students": "", "schools": "school"}.get(compared.attrs.get("assigned", ""), "choir")
    levels = tuple(losses(compared, leaving=leaving, units=column)) if len(compared) else ()
    about = f"{measure_of(compared)}, lost"
    answers = [one for lost in levels for one in _answers(lost, about, leaving, level)]
    return Loss(levels, Answers(answers or [LeftOut(about, NO_COMPARISON)]), leaving, _at_random(compared))


def _answers(lost: Lost, about: str, leaving: Leaving, level: float) -> list[Estimate | LeftOut]:
    """Lay out what one level lost: counts, difference, limit."""
    gone = [began - kept for began, kept in zip(lost.began, lost.kept, strict=True)]
    counts = [
        count(number, about=f"{about}: {lost.what}, {name}", unit=lost.what, of=began)
        for number, name, began in zip(gone, lost.approaches, lost.began, strict=True)
    ]
    pairs = [part for pair in zip(gone, lost.began, strict=True) for part in pair]
    whom = f"{about}: {lost.what}"
    apart = ask(
        share_difference_newcombe, *pairs, level=level, choirs=2,
        about=f"{whom}, {lost.approaches[0]} minus {lost.approaches[1]}",
    )  # fmt: skip
    limit = ask(attrition_boundary, lost.began, lost.kept, about=whom, assumption=leaving, counted=lost.what)
    return [*counts, replace(apart, counted=lost.what) if isinstance(apart, Estimate) else apart, limit]


def boundary(leaving: Leaving = "cautious") -> pd.DataFrame:
    """Lay out the published boundary.

    Counted: nobody.

    Parameters
    ----------
    leaving : {"cautious", "optimistic"}, optional
        Which of the two.

    Returns
    -------
    DataFrame
        Columns overall and limit, as shares.
    """
    table = BOUNDARY[leaving]
    return pd.DataFrame({"overall": [at / 100 for at in range(len(table))], "limit": [top / 100 for top in table]})
