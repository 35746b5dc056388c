"""The original study and ours: would ours surprise, do they differ, what do both say, what does the rule say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

from kit.errors import UnknownChoiceError
from kit.questions.answers import Answers, ask
from kit.questions.replication.verdicts import Evidence, Rule, Verdict, verdict_of
from kit.stats.complete import upper_tail
from kit.stats.studies.equivalence import equivalence
from kit.stats.studies.error_ends import quantile
from kit.stats.studies.one_metric import Size
from kit.stats.studies.pooling import pooled_effect
from kit.stats.studies.replicating import replication_difference, replication_prediction, replication_q
from kit.stats.studies.telescopes import effect_at_power, power_at_effect, small_telescopes

ONE_SIDED_LEVEL = 0.90
"""Level of the intervals that go with one-sided tests at 5 %."""
BOTH = "original and ours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """An original study beside ours, in one metric, positive where better.

    Attributes
    ----------
    original, ours : Size
        Both effects with their standard errors.
    answers : Answers
        Combined, prediction, difference, Q, equivalence (where a bound was declared) and small telescopes.
    same_sign : bool
        Whether both went the same way.
    ratio : float or None
        Ours over original; None where the original is zero.
    small_effect : float
        Effect that gave the original study 33 % power.
    power : float
        Chance that a study like ours finds an effect as large as the original's different from zero.
    rule : Rule
        The rule that was declared beforehand.
    verdict : Verdict
        What that rule says; ``"none_declared"`` without one.
    """

    original: Size
    ours: Size
    answers: Answers
    same_sign: bool
    ratio: float | None
    small_effect: float
    power: float
    rule: Rule
    verdict: Verdict


def compare(
    original: Size, ours: Size, *, rule: Rule = "none_declared", bound: float | None = None, level: float = 0.95
) -> Compared:
    """Put ours beside the original.

    Counted: the students behind either size.

    Parameters
    ----------
    original : Size
        From `kit.questions.replication.originals.original_size`, positive where better.
    ours : Size
        From `kit.questions.replication.ours`, or any size with a standard error that knows the choirs; in the
        original's metric.
    rule : Rule, optional
        The rule declared before our data were seen; without one there is no verdict.
    bound : float, optional
        Smallest size that would matter, declared beforehand, in the metric of both.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Compared
        Every comparison, whatever the rule; the verdict is the rule's alone.

    Raises
    ------
    UnknownChoiceError
        If `rule` is another word.
    ValueError
        If the sizes are in different metrics, the rule needs a bound and none is given, or `level` is not in (0, 1).
    """
    _declared(original, ours, rule, bound)
    side = -1 if original.value < 0 else 1
    small = effect_at_power(original.per_t, original.df)
    answers = _answers(original, ours, bound=bound, small=small, side=side, level=level)
    return Compared(
        original=original, ours=ours, answers=answers, same_sign=bool(side * ours.value > 0), rule=rule,
        ratio=ours.value / original.value if original.value else None, small_effect=small,
        power=power_at_effect(original.value, ours.per_t, ours.df, level=level),
        verdict=verdict_of(rule, _evidence(answers, ours, side=side, bound=bound, level=level)),
    )  # fmt: skip


def _declared(original: Size, ours: Size, rule: Rule, bound: float | None) -> None:
    """Refuse an unknown rule, sizes that cannot be compared, and a rule without its bound."""
    if rule not in get_args(Rule):
        raise UnknownChoiceError("compare", "rule", rule, get_args(Rule))
    if original.metric != ours.metric:
        raise ValueError(
            f"compare: ours must be in the metric of the original, {original.metric!r}. Got {ours.metric!r}."
        )
    if rule in ("equivalence", "all_three") and bound is None:
        raise ValueError(f"compare: rule {rule!r} needs the bound that was declared with it. Got none.")


def _answers(original: Size, ours: Size, *, bound: float | None, small: float, side: int, level: float) -> Answers:
    """Ask every statistic that compares the two."""
    pair, unit = (original.value, original.error, ours.value, ours.error), {"unit": original.metric}
    test = {"n": ours.n, "df": ours.df, "level": ONE_SIDED_LEVEL}
    return Answers([
        ask(replication_prediction, original.value, original.error, ours.error, about=BOTH, level=level, **unit),
        ask(replication_difference, *pair, about=BOTH, level=level, **unit),
        ask(replication_q, *pair, about=BOTH),
        ask(pooled_effect, pair[::2], pair[1::2], about=BOTH, estimator="none", interval="normal", level=level, **unit),
        ask(small_telescopes, side * ours.value, ours.error, small_effect=small, about="ours", **test, **unit),
        *([ask(equivalence, ours.value, ours.error, bound=bound, about="ours", **test, **unit)]
          if bound is not None else ()),
    ])  # fmt: skip


def _evidence(answers: Answers, ours: Size, *, side: int, bound: float | None, level: float) -> Evidence:
    """Gather what the rules look at."""
    by_name = {answer.name: answer.interval for answer in answers}
    ahead, half = by_name["replication_prediction"], quantile(upper_tail("compare", level), ours.df) * ours.error
    near = by_name.get("equivalence")
    return Evidence(
        same_way=side * ours.value - half > 0,
        other_way=side * ours.value + half < 0,
        inside=ahead.low <= ours.value <= ahead.high,
        prediction_tells=ahead.low > 0 or ahead.high < 0,
        negligible=bound is not None and near is not None and -bound < near.low and near.high < bound,
        too_small=by_name["small_telescopes"].high < 0,
    )
