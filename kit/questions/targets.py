"""The promised measures of a grant: how many students reached a mark, and whether a target was met."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

import pandas as pd
from annotated_types import Ge, Gt, Le

from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.scale import tested

Met = Literal["met", "not met", "too close to call", "not measured"]
WHEN: Mapping[str, str] = {"first": "pre", "second": "post"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One promise of a grant: so large a share of students reaches so large a share of a test's points.

    Attributes
    ----------
    says : str
        The promise in the grant's own words.
    students : float
        Share of students promised, above 0 to 1.
    reach : float
        Share of the most points that counts as reaching it, above 0 to 1.
    test : {"first", "second"}
        Which test counts.
    measure : str
        Which score counts; empty: the one that is reported.
    approach : str
        Students of one approach only; empty: all.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = {"extra": "forbid"}
    says: str
    students: Annotated[float, Gt(0), Le(1)]
    reach: Annotated[float, Ge(0), Le(1)]
    test: Literal["first", "second"] = "second"
    measure: str = ""
    approach: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A target beside what was reached.

    Attributes
    ----------
    target : Target
        The promise.
    actual : Estimate or LeftOut
        Share of students who reached it, or why it cannot be told.
    met : Met
        ``"met"`` or ``"not met"`` where the whole interval lies on one side of the target; a value that equals the
        target, and an interval that holds it, is ``"too close to call"``.
    """

    target: Target
    actual: Estimate | LeftOut
    met: Met


def targets(
    pairs_of: Callable[[str], pd.DataFrame], promised: Sequence[Target], *, level: float = 0.95
) -> list[Outcome]:
    """Put each target beside what was reached.

    Counted: students with a mark of the test the target names, whose most points are known.

    Parameters
    ----------
    pairs_of : callable
        Measure -> its marks, from `kit.questions.whom.line_up`; ``""`` is the one that is reported.
    promised : sequence of Target
        From the study file.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    list of Outcome
        In the given order.
    """
    return [_outcome(pairs_of(target.measure), target, level) for target in promised]


def _outcome(pairs: pd.DataFrame, target: Target, level: float) -> Outcome:
    """Count who reached the mark."""
    # imported here: the check command reads what a target is, and must not wait for scipy
    from kit.stats.clusters.shares import share_clusters  # noqa: PLC0415
    from kit.stats.proportions.shares import share_wilson  # noqa: PLC0415

    side = WHEN[target.test]
    chosen = pairs[tested(pairs, side)]
    if target.approach:
        chosen = chosen[chosen["approach"] == target.approach]
    shares = chosen[f"{side}_share"]
    known, choirs = chosen[shares.notna()], chosen.loc[shares.notna(), "choir"]
    # a mark of 19.2 of 24 points is 80 percent, whatever the last bit of a division says
    reached = shares.dropna() >= target.reach - 1e-9
    options = {"about": target.says, "level": level, "dropped": len(chosen) - len(known)}
    if len(set(choirs) - {""}) > 1:
        actual = ask(share_clusters, reached.to_numpy(), choirs.to_numpy(), **options)
    else:
        actual = ask(share_wilson, int(reached.sum()), len(known), **options)
    return Outcome(target=target, actual=actual, met=_met(actual, target.students))


def _met(actual: Estimate | LeftOut, promised: float) -> Met:
    """Compare the interval with the promise."""
    if isinstance(actual, LeftOut) or actual.interval is None:
        return "not measured"
    if actual.interval.low > promised:
        return "met"
    return "not met" if actual.interval.high < promised else "too close to call"
