"""Sentences of a repeated study: what the original printed, what ours found, what the rule set in advance says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.asked import research_table
from kit.report.numbers import show, show_interval
from kit.report.phrases import pick
from kit.report.said import Said
from kit.report.tables.replication import (
    checks_table,
    deviations_table,
    features_table,
    journal_table,
    published_table,
    sizes,
    sizes_caption,
    sizes_table,
)

__all__ = [
    "COLUMNS", "CONTEXT", "NOT_NAMED", "NO_CHECKS", "NO_DEVIATIONS", "NO_FEATURES", "NO_ORIGINAL", "NO_RESEARCH",
    "NO_WAYS", "checks_table", "deviations_table", "features_table", "headline", "journal_table", "original",
    "published_table", "research_table", "side_by_side", "sizes", "sizes_caption", "sizes_table",
]  # fmt: skip

RULES = {
    "same_direction": (
        "it is consistent where our interval leaves zero out on the original's side, and inconsistent where it does on "
        "the other"
    ),
    "prediction": (
        "it is inconsistent where ours lies outside the prediction interval, and consistent inside it where either "
        "interval leaves zero out"
    ),
    "equivalence": (
        "it shows no meaningful size where our 90 % interval lies within the bound declared, else the direction decides"
    ),
    "small_telescopes": (
        "ours is too small for the original where our 90 % interval lies below what the original could see, else the "
        "direction decides"
    ),
    "all_three": (
        "first it is inconsistent where ours lies outside the prediction interval; then it shows no meaningful size "
        "where our 90 % interval lies within the bound declared; then it is consistent where our interval leaves zero "
        "out on the original's side, and inconsistent where it does on the other; else it is inconclusive"
    ),
}
VERDICTS = {
    "consistent": "consistent with the original",
    "inconclusive": "inconclusive: ours can neither confirm the original nor contradict it",
    "no_meaningful_effect": "smaller than the size declared to matter",
    "too_small_for_the_original": "smaller than what the original could have seen",
    "inconsistent": "inconsistent with the original",
}
NO_ORIGINAL = "study.toml names no original: a section [repeats] with published or printed fills this part."
NOT_NAMED = "No original is named."
NO_CHECKS = "No printed number of an original could be checked against its others."
NO_FEATURES = "study.toml does not say what was the same and what was different (repeats.same_and_different)."
NO_DEVIATIONS = "study.toml lists no departure from the plan (repeats.deviations)."
NO_WAYS = "No two approaches are compared, so nothing is computed in several ways."
NO_RESEARCH = "study.toml says nothing of registration, ethics review, consent, funding and conflicts (research)."
CONTEXT = (
    "Designs, tests and singers differ from study to study: no teacher and no choir may be measured by these numbers.",
    "Positive: scores were better.",
)
COLUMNS = (
    "n: students, where nothing else is said. In brackets: the interval, at the level of the heading. df: degrees of "
    "freedom. p: two-sided; a dash where this way of computing gives none, or the design carries none.",
)
"""Below a table of numbers as journals print them."""
NO_RULE = (
    "No rule was declared before the data were seen (repeats.rule in study.toml), so there is no verdict: the numbers "
    "stand side by side."
)
AS_PUBLISHED = (
    "The line that takes students as independent is the analysis as it was published: its range is too narrow, and it "
    "carries no verdict."
)
ON_EITHER_SIDE = "Our interval includes zero, so on which side of zero the truth lies is not known from this study."
SD_IN_WORDS = (
    "SD: a standard deviation, which is how far the scores of single students typically lie from their average."
)
EXPLAINS = (
    "Where they differ, the table of what was the same and what was different lists what could lie behind it; nothing "
    "in these numbers says which."
)


class Compared(Protocol):
    """The original and ours in one metric; see ``kit.questions.replication.compare.Compared``."""

    answers: Sequence[Estimate]
    same_sign: bool
    rule: str
    verdict: str


class Repeated(Protocol):
    """A repeated study; see ``kit.questions.replication.repeated.Repeated``."""

    original: object
    effect: object
    found: Sequence
    as_published: object
    knowing_choirs: object
    ours: Sequence[Estimate]


def original(repeated: Repeated | None, *, code: str) -> Said:
    """Say what the original found, recomputed from what it printed, and whether its numbers fit one another.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``; None where no original is named.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if repeated is None:
        return Said((NO_ORIGINAL,))
    effect, study = repeated.effect, repeated.original.study
    if not isinstance(effect, Estimate):
        return Said((f"The original is {study}. {effect.why}",))
    sure = f" (interval {show_interval(effect)})" if effect.interval else ""
    told = [
        f"The original is {study}. From what it printed its size is {show(effect.value, effect.unit)}{sure}, positive "
        "where scores were better.",
        *effect.notes,
    ]
    odd = [one for one in repeated.found if one.fit == "does_not_fit"]
    if odd:
        told.append(
            f"Of {len(repeated.found)} printed numbers that follow from others, {len(odd)} do not fit; "
            "that is a question to the text and no accusation."
        )
    elif repeated.found:
        told.append("The printed numbers that follow from others fit, as far as rounding lets one see.")
    return Said(tuple(told), (effect,)).passed(code, names=(study,))


def side_by_side(repeated: Repeated | None, *, code: str) -> Said:
    """Say how ours lies to the original, and what the rule says.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if repeated is None:
        return Said((NOT_NAMED,))
    aware, study = repeated.knowing_choirs, repeated.original.study
    if not hasattr(aware, "answers"):
        simple = repeated.as_published
        if not hasattr(simple, "answers"):
            more = () if aware.why == simple.why else (aware.why,)
            return Said((f"Ours cannot be put beside the original. {simple.why}", *more))
        told, used = _numbers(simple)
        why = (aware.why, "Taken as independent students, which makes the range too narrow and carries no verdict:")
        return Said((*why, *told), used).passed(code, names=(study,))
    told, used = _numbers(aware)
    naive = (AS_PUBLISHED,) if hasattr(repeated.as_published, "answers") else ()
    return Said((*told, *naive, *_verdict(aware), EXPLAINS), used, limits=True).passed(code, names=(study,))


def _numbers(compared: Compared) -> tuple[list[str], tuple[Estimate, ...]]:
    """Tell what would not have surprised, and how far the two lie apart."""
    ahead, apart = (pick(compared.answers, name) for name in ("replication_prediction", "replication_difference"))
    told = []
    if ahead is not None and ahead.interval:
        told.append(
            "Given how sure both studies are, our result anywhere from "
            f"{show_interval(ahead)} would have been no surprise."
        )
    if apart is not None and apart.interval:
        told.append(f"Ours less the original: {show(apart.value, apart.unit)} (interval {show_interval(apart)}).")
    return told, tuple(one for one in (ahead, apart) if one is not None)


def _verdict(compared: Compared) -> tuple[str, ...]:
    """Tell the rule and what it says."""
    if compared.rule == "none_declared":
        return (NO_RULE,)
    return (
        f"The rule set in advance: {RULES[compared.rule]}.",
        f"By the rule set in advance the result is {VERDICTS[compared.verdict]}.",
    )


def headline(repeated: Repeated | None, main: Estimate | None, *, code: str) -> Said:
    """Say in a few sentences what was repeated, what ours found and what the rule says.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``.
    main : Estimate or None
        Our main result in points.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    told, used = [], []
    if repeated is None:
        told.append(NOT_NAMED)
    elif isinstance(repeated.effect, Estimate):
        told.append(
            f"This study repeats {repeated.original.study}. The original's result, recomputed from its printed "
            f"numbers: {_with_interval(repeated.effect)}; positive where scores were better."
        )
        used.append(repeated.effect)
    if main is not None:
        size = next((one for one in getattr(repeated, "ours", ()) if one.clusters), None)
        told.append(f"Ours ({main.about}): {_with_interval(main)}{f', or {_with_interval(size)}' if size else ''}.")
        told += [ON_EITHER_SIDE] if _holds_zero(size or main) else []
        used += [main, *([size] if size else [])]
    if any(one.unit == "SD" for one in used):
        told.append(SD_IN_WORDS)
    if repeated is not None and hasattr(repeated.knowing_choirs, "answers"):
        told += _verdict(repeated.knowing_choirs)[-1:]
    names = (*((repeated.original.study,) if repeated is not None else ()), *((main.about,) if main else ()))
    return Said(tuple(told), tuple(used), limits=True).passed(code, names=names)


def _holds_zero(one: Estimate) -> bool:
    """Say whether zero lies in the interval."""
    return one.interval is not None and one.interval.low <= 0 <= one.interval.high


def _with_interval(one: Estimate) -> str:
    """Write a number with its interval, where it has one."""
    return show(one.value, one.unit) + (f" (interval {show_interval(one)})" if one.interval else "")
