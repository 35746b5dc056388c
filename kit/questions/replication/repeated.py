"""A repeated study: the original recomputed from what it printed, ours as it was published and ours knowing choirs."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.replication.compare import Compared, compare
from kit.questions.replication.original_checks import Check, checks
from kit.questions.replication.originals import Original, original_effect, original_size
from kit.questions.replication.ours import ours_of_gains, ours_of_groups
from kit.questions.replication.verdicts import Rule
from kit.questions.scale import paired_marks, tested_both
from kit.stats.complete import upper_tail
from kit.stats.effects.sizes import d_average, hedges_g
from kit.stats.studies.error_ends import quantile
from kit.stats.studies.one_metric import Size

BY_HAND = "An original that is a correlation is put beside ours by hand, with `ours_of_correlation`."
NO_GROUPS = "The original compares two groups, and this study has no two approaches to compare."
NO_CHOIRS = "Ours cannot be had in the metric of the original with a range that knows of choirs."
AS_PUBLISHED = "ours, students taken as independent"
KNOWING_CHOIRS = "ours, knowing that students come in choirs"


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """The original and ours, side by side.

    Attributes
    ----------
    original : Original
        What was printed.
    effect : Estimate or LeftOut
        The original's effect, recomputed.
    found : tuple of Check
        Whether the printed numbers fit one another.
    as_published : Compared or LeftOut
        Ours analysed as the original was, students taken as independent.
    knowing_choirs : Compared or LeftOut
        Ours with a standard error that knows of choirs; this one carries the verdict.
    ours : tuple of Estimate
        Our effects as estimates, in the same order, as far as there are any.
    """

    original: Original
    effect: Estimate | LeftOut
    found: tuple[Check, ...]
    as_published: Compared | LeftOut
    knowing_choirs: Compared | LeftOut
    ours: tuple[Estimate, ...]


def repeat(
    original: Original | None, compared: pd.DataFrame, *, knowing_choirs: Estimate | None, rule: Rule = "none_declared",
    bound: float | None = None, level: float = 0.95,
) -> Repeated | None:  # fmt: skip
    """Put our study beside the original, twice.

    Counted: students of the compared approaches with a second mark; for an original of one group those tested both
    times.

    Parameters
    ----------
    original : Original or None
        What was printed; None where no original is named.
    compared : DataFrame
        From `kit.questions.compared.between`, or `line_up` for an original of one group.
    knowing_choirs : Estimate or None
        Our effect in SD with an interval that knows of choirs; None where there is none.
    rule : Rule, optional
        Declared before our data were seen.
    bound : float, optional
        Smallest size that would matter, declared beforehand.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Repeated or None
        None where no original is named.
    """
    if original is None:
        return None
    size, effect = original_size(original), original_effect(original, level=level)
    simple, estimate = _as_published(original, compared, size, level)
    aware = _size_of(knowing_choirs) if knowing_choirs is not None else LeftOut(KNOWING_CHOIRS, NO_CHOIRS)
    options = {"rule": rule, "bound": bound, "level": level}
    return Repeated(
        original=original, effect=effect, found=tuple(checks(original)),
        as_published=_side_by_side(size, simple, **options),
        knowing_choirs=_side_by_side(size, aware, **options),
        ours=tuple(
            replace(one, about=about)
            for one, about in ((estimate, AS_PUBLISHED), (knowing_choirs, KNOWING_CHOIRS))
            if isinstance(one, Estimate)
        ),
    )  # fmt: skip


def _as_published(
    original: Original, compared: pd.DataFrame, size: Size | LeftOut, level: float
) -> tuple[Size | LeftOut, Estimate | LeftOut]:
    """Work out ours as the original was analysed."""
    if original.design == "correlation":
        return (LeftOut(AS_PUBLISHED, BY_HAND),) * 2
    _, pre, post = paired_marks(compared)
    options = {"about": AS_PUBLISHED, "level": level}
    if original.design == "two_groups":
        if "program" not in compared or compared.empty:
            return (LeftOut(AS_PUBLISHED, NO_GROUPS),) * 2
        groups = post[compared["program"]], post[~compared["program"]]
        return ours_of_groups(*groups), ask(hedges_g, *groups, **options)
    twice = tested_both(compared)
    metric = size.metric if isinstance(size, Size) and size.metric == "SD of gains" else "SD"
    ours = ours_of_gains(pre[twice], post[twice], metric=metric)
    return ours, ask(d_average, pre[twice], post[twice], **options)


def _size_of(effect: Estimate) -> Size | LeftOut:
    """Turn an effect in SD with its interval into a size; half the interval over its quantile is the error."""
    if effect.interval is None:
        return LeftOut(KNOWING_CHOIRS, " ".join(effect.notes) or NO_CHOIRS)
    ends = effect.interval
    tail = upper_tail("repeat", ends.level)
    error = (ends.high - ends.low) / (2 * quantile(tail, effect.df))
    return Size(value=effect.value, error=error, metric="SD", n=effect.n, df=effect.df, per_t=error)


def _side_by_side(original: Size | LeftOut, ours: Size | LeftOut, **options: object) -> Compared | LeftOut:
    """Compare, where both can be had in one metric."""
    for one in (original, ours):
        if isinstance(one, LeftOut):
            return one
    if original.metric != ours.metric:
        return LeftOut(KNOWING_CHOIRS, f"The original can only be had in {original.metric}, and ours in {ours.metric}.")
    return compare(original, ours, **options)
