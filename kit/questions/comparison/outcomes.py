"""Every declared outcome of a comparison, judged together; and whether a difference differs between students."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut
from kit.questions.compared import Comparison, between, names_of
from kit.questions.comparison import about_of, primary
from kit.questions.comparison.ways import Model
from kit.questions.design import How, classify
from kit.questions.scale import measure_of
from kit.stats.multiplicity import benjamini_hochberg

Role = Literal["primary", "secondary", "exploratory", "negative control"]
JUDGED_TOGETHER: tuple[Role, ...] = ("primary", "secondary")
"""Roles whose outcomes are judged together, each role by itself; a single primary outcome stands alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeRow:
    """One outcome.

    Attributes
    ----------
    measure : str
        What was measured.
    role : str
        ``"primary"``, ``"secondary"``, ``"exploratory"`` or ``"negative control"``.
    model : {"gain", "adjusted"}
        How the first test is used.
    estimate : Estimate
        The difference.
    p_adjusted : float or None
        P-value adjusted for the outcomes of its role; None where there is no test or it stands alone.
    stands : bool or None
        Whether the adjusted p-value is within the error rate; None where there is none.
    """

    measure: str
    role: Role
    model: Model
    estimate: Estimate
    p_adjusted: float | None = None
    stands: bool | None = None


@dataclass(frozen=True, slots=True)
class Outcomes:
    """All outcomes.

    Attributes
    ----------
    rows : tuple of OutcomeRow
        In the order declared.
    names : tuple of str
        The two approaches.
    tests : int
        How many outcomes were judged together, over all roles.
    answers : Answers
        All differences, and outcomes left out.
    """

    rows: tuple[OutcomeRow, ...]
    names: tuple[str, str]
    tests: int
    answers: Answers


def outcomes(
    pairs_of: Callable[[str], pd.DataFrame], declared: Comparison, *, how: How, seed: int, level: float = 0.95
) -> Outcomes:
    """Compute the answer for every declared outcome.

    Counted: for each outcome, students tested both times whose choir is named.

    Parameters
    ----------
    pairs_of : callable
        Name of a measure -> pairs; ``Study.pairs``. The empty name is the measure that is reported.
    declared : Comparison
        What was declared. Without any primary outcome the reported measure is exploratory.
    how : str
        How choirs or students came to their approach.
    seed : int
        Seed of draws, printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Outcomes
        P-values are adjusted by Benjamini and Hochberg's procedure, primary and secondary outcomes each by themselves.
    """
    roles: dict[str, Role] = {
        **dict.fromkeys(declared.primary or ("",), "primary" if declared.primary else "exploratory"),
        **dict.fromkeys(declared.secondary, "secondary"),
        **({declared.negative_control: "negative control"} if declared.negative_control else {}),
    }
    rows, answers, names = [], [], ("", "")
    for name, role in roles.items():
        compared = between(pairs_of(name), declared)
        answer = primary(compared, design=classify(compared, how=how), seed=seed, level=level)
        names = names_of(compared)
        if answer.main is None:
            answers.append(LeftOut(about_of(compared), answer.why_not))
        else:
            rows.append(OutcomeRow(measure=measure_of(compared), role=role, model=answer.model, estimate=answer.main))
            answers.append(answer.main)
    judged, tests = _judged(rows, level)
    return Outcomes(tuple(judged), names, tests, Answers(answers))


def _judged(rows: list[OutcomeRow], level: float) -> tuple[list[OutcomeRow], int]:
    """Adjust the p-values of each role, where it has two or more of them."""
    found, tests = list(rows), 0
    for role in JUDGED_TOGETHER:
        places = [at for at, row in enumerate(rows) if row.role == role and row.estimate.p is not None]
        if len(places) < 2:
            continue
        adjusted = benjamini_hochberg([rows[at].estimate.p for at in places], level=level)
        tests += len(places)
        for at, p, stands in zip(places, adjusted.p, adjusted.found, strict=True):
            found[at] = replace(rows[at], p_adjusted=float(p), stands=bool(stands))
    return found, tests
