"""Both ways to use the first test, the size in standard deviations, and how alike singers of one choir are."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.compared import NO_COMPARISON, names_of, rows_of
from kit.questions.comparison import about_of, difference, method_for, model_for, schools_of, why_no_difference
from kit.questions.comparison.size import size_in_sd, spread_after
from kit.questions.comparison.ways import Model
from kit.questions.design import Design
from kit.questions.scale import measure_of
from kit.stats.clusters.choirs import design_effect, icc_clusters

NOT_SETTLED = 0.10
"""Distance of both answers, in SD, beyond which the matter is not settled (our rule)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoModels:
    """Both ways to use the first test.

    Attributes
    ----------
    adjusted, gain : Estimate or None
        The difference adjusted for the first test, and by gains.
    names : tuple of str
        The two approaches.
    settled : bool
        Whether they agree: the same sign, and no more than 0.10 SD apart.
    apart : float or None
        Their distance in SD of students' second scores; None without both.
    recommended : {"gain", "adjusted"}
        Which one is reported first.
    answers : Answers
        Both, and what was left out.
    """

    adjusted: Estimate | None
    gain: Estimate | None
    names: tuple[str, str]
    settled: bool
    apart: float | None
    recommended: Model
    answers: Answers


def two_models(compared: pd.DataFrame, *, design: Design, level: float = 0.95) -> TwoModels:
    """Put both ways to use the first test side by side.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    TwoModels
        Without p-values where the design makes no test.
    """
    rows = rows_of(compared)
    asked = {"method": method_for(design), "schools": schools_of(rows, design) == "held apart", "level": level}
    about = about_of(compared) if len(compared) else measure_of(compared)
    why = why_no_difference(compared, design)
    found: dict[str, Estimate | LeftOut] = {}
    for model, words in (("adjusted", "adjusted for the first test"), ("gain", "by gains")):
        whole = f"{about}, {words}"
        one = LeftOut(whole, why) if why else difference(rows, model=model, about=whole, **asked)
        tested = design.may_test and design.code != "D3b"
        found[model] = one if isinstance(one, LeftOut) or tested else replace(one, p=None)
    both = [one if isinstance(one, Estimate) else None for one in found.values()]
    spread = spread_after(rows)
    apart = abs(both[0].value - both[1].value) / spread if None not in both and spread else None
    agree = apart is not None and apart <= NOT_SETTLED and both[0].value * both[1].value >= 0
    return TwoModels(
        adjusted=both[0], gain=both[1], names=names_of(compared), settled=agree, apart=apart,
        recommended=model_for(design), answers=Answers(found.values()),
    )  # fmt: skip


def effect_size(compared: pd.DataFrame, *, design: Design, level: float = 0.95) -> Answers:
    """Put the answer into SD of students' second scores, unadjusted and within approaches.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        One size, or the reason why there is none.
    """
    about = about_of(compared) if len(compared) else measure_of(compared)
    why = why_no_difference(compared, design)
    if why:
        return Answers([LeftOut(f"{about}, in SD", why)])
    rows = rows_of(compared)
    asked = {
        "model": model_for(design),
        "method": method_for(design),
        "schools": schools_of(rows, design) == "held apart",
    }
    main = difference(rows, about=about, level=level, **asked)
    return Answers(
        [main if isinstance(main, LeftOut) else size_in_sd(rows, main, about=f"{about}, in SD", level=level)]
    )


def alike(compared: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate how alike singers of one choir are at the second test, approaches held apart, and what that costs.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``icc_clusters`` and ``design_effect``.
    """
    rows, about = rows_of(compared), f"{measure_of(compared)}, second test"
    if compared.empty:
        return Answers([LeftOut(about, NO_COMPARISON)])
    options = {"about": about, "arms": rows.program, "level": level}
    return Answers([ask(one, rows.post, rows.choir, **options) for one in (icc_clusters, design_effect)])
