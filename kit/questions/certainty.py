"""How certain the main result is: the design says where one starts, each weakness takes a step down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import pandas as pd

from kit.estimate import Estimate
from kit.questions.quality import HowTested
from kit.questions.scale import tested_both

Level = Literal["very low", "low", "moderate", "high"]
LEVELS: tuple[Level, ...] = ("very low", "low", "moderate", "high")
Reason = Literal["few choirs", "own teacher", "same form", "missing", "holds zero", "no interval", "not alike"]
START: dict[str, Level] = {"D4": "high", "D5": "high", "D5b": "high", "D3a": "low", "D3b": "low", "D3": "low"}
"""Where each design starts: assignment at random high, comparison without it low (as GRADE rates bodies of evidence;
from memory); without a comparison there is nothing to be certain of beyond what was seen: very low."""
ENOUGH_CHOIRS = 20
"""Choirs below which an estimate is called imprecise for want of choirs (our rule)."""
MISSING = 0.20
"""Share without both marks above which missing marks weaken a result (our rule)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certainty:
    """How certain, and what weakens it.

    Attributes
    ----------
    level : Level
        ``"very low"``, ``"low"``, ``"moderate"`` or ``"high"``.
    start : Level
        Where the design starts.
    reasons : tuple of Reason
        Each takes a step down, as far as there is one.
    """

    level: Level
    start: Level
    reasons: tuple[Reason, ...]


def certainty(
    code: str, main: Estimate | None, facts: HowTested, *, missing: float, choirs: int, random: bool = False
) -> Certainty:
    """Rate how certain the main result is.

    Counted: what stands behind the main result.

    Parameters
    ----------
    code : str
        Code of the design.
    main : Estimate or None
        The main result; None where there is none.
    facts : HowTested
        From `kit.questions.quality.how_tested`.
    missing : float
        Share of students without both marks, 0 to 1.
    choirs : int
        Number of choirs behind it.
    random : bool, optional
        Whether choirs or students were assigned at random, whatever else the code says.

    Returns
    -------
    Certainty
    """
    start: Level = "high" if random else START.get(code, "very low")
    reasons = tuple(_reasons(code, main, facts, missing=missing, choirs=choirs))
    return Certainty(level=LEVELS[max(0, LEVELS.index(start) - len(reasons))], start=start, reasons=reasons)


def missing_share(compared: pd.DataFrame, pairs: pd.DataFrame) -> float:
    """Give the share of students without both marks, of those compared, or of all where nobody is.

    Counted: every row.

    Parameters
    ----------
    compared, pairs : DataFrame
        From `kit.questions.compared.between` and `kit.questions.whom.line_up`.

    Returns
    -------
    float
        0 to 1; 1 where there is nobody.
    """
    counted = pairs if compared.empty else compared
    return 1 - float(tested_both(counted).mean()) if len(counted) else 1.0


def _reasons(code: str, main: Estimate | None, facts: HowTested, *, missing: float, choirs: int) -> Sequence[Reason]:
    """List what weakens the result."""
    found: dict[Reason, bool] = {
        "not alike": code == "D3b",
        "few choirs": choirs < ENOUGH_CHOIRS,
        "missing": missing > MISSING,
        "own teacher": facts.own_teacher_rated is not False,
        "same form": facts.same_form is True,
        "no interval": main is None or main.interval is None,
        "holds zero": main is not None and main.interval is not None
        and main.interval.low <= 0 <= main.interval.high,
    }  # fmt: skip
    return [reason for reason, holds in found.items() if holds]
