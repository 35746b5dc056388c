"""The sentences of the educator's review, one function a heading; the other headings have modules of their own."""

from __future__ import annotations

from collections.abc import Sequence

from kit.estimate import Estimate
from kit.report.captions.review import distribution_caption, flow_caption, intervals_caption, start_caption
from kit.report.phrases import (
    FEWEST,
    alike,
    between,
    counted,
    distance,
    from_to,
    how_sure,
    is_zero,
    people,
    pick,
    score,
    sentence,
)
from kit.report.said import Caption, Said
from kit.report.spoken import ONE_GROUP, SPOKEN, TOGETHER
from kit.report.words.growth import change, individuals, starting_points, too_few
from kit.report.words.marking import raters
from kit.report.words.notes import note_marks, single_notes
from kit.report.words.quality import ends, forms, linked_forms, reliability, too_narrow
from kit.report.words.tests import ceiling, detectable, how_tested, next_steps, scoring_noise
from kit.report.words.who import choirs, leavers, twice_of_all, who_is_counted

__all__ = [
    "Caption",
    "Said",
    "ceiling",
    "change",
    "choirs",
    "design_sentence",
    "detectable",
    "distribution_caption",
    "ends",
    "flow_caption",
    "forms",
    "headline",
    "how_tested",
    "individuals",
    "intervals_caption",
    "leavers",
    "linked_forms",
    "next_steps",
    "note_marks",
    "question_and_limits",
    "raters",
    "reliability",
    "scoring_noise",
    "single_notes",
    "start_caption",
    "starting_points",
    "too_narrow",
    "who_is_counted",
]  # fmt: skip


def question_and_limits(flow: Sequence[Estimate], *, code: str, occasions: tuple[str, str]) -> Said:
    """Say what the report describes and what it cannot say.

    Parameters
    ----------
    flow : sequence of Estimate
        From ``kit.questions.whom.flow``.
    code : str
        Code of the design.
    occasions : tuple of str
        How the two tests are called.

    Returns
    -------
    Said
    """
    both = counted(flow, "tested both times")
    if code == "D0":
        before, after = counted(flow, "tested before"), counted(flow, "tested after")
        which = occasions[0] if before >= after else occasions[1]
        told = f"This report describes the reading scores of {people(max(before, after))} tested once ({which})."
    else:
        told = (
            f"This report describes how the reading scores of the {people(both)} tested both times "
            f"({occasions[0]} and {occasions[1]}) changed."
        )
    about = ("tested both times", "tested before", "tested after")
    used = tuple(one for one in flow if one.about in about)
    together = () if code in ONE_GROUP else (TOGETHER,)
    return Said((told, *together, SPOKEN[code].cannot), used, limits=True).passed(code)


def design_sentence(design_code: str, because: Sequence[str]) -> Said:
    """Say what kind of study this is, why, and what it can say.

    Parameters
    ----------
    design_code : str
        Code of the design.
    because : sequence of str
        Why it is this one, in sentences.

    Returns
    -------
    Said
    """
    spoken = SPOKEN[design_code]
    can = spoken.can if design_code in ONE_GROUP else spoken.can.replace("This report", "A study of this kind", 1)
    sentences = (f"Kind of study: {spoken.title[0].lower()}{spoken.title[1:]}.", *map(sentence, because), can)
    return Said(sentences)  # the page passes it through the gate, with the names of choirs and approaches


def headline(estimates: Sequence[Estimate], *, code: str) -> Said:
    """Say in three sentences how many, how much and how sure, and what it cannot say.

    Parameters
    ----------
    estimates : sequence of Estimate
        The flow, and what ``kit.questions.growth.before_and_after`` gives.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    flow = [one for one in estimates if one.name == "count"]
    gain = pick(estimates, "mean_gain")
    first, second = (pick(estimates, "mean_score", f"{which} test") for which in ("first", "second"))
    if code == "D0":
        told, used = _one_test(estimates)
    elif gain is None:
        told, used = ["Too few students or choirs took both tests to say how scores changed."], ()
    elif gain.counted == "students" and gain.n < FEWEST:
        told, used = list(too_few(gain.n).sentences), ()
    else:
        told, used = _both_tests(gain, first, second), tuple(one for one in (first, second, gain) if one is not None)
    if code != "D0" and any(one.about == "tested both times" for one in flow):
        told.insert(0, twice_of_all(flow))
        used = (*(one for one in flow if one.about == "tested both times"), *used)
    cannot = SPOKEN[code].cannot if code in ONE_GROUP else TOGETHER
    return Said((*told, cannot), used, limits=True).passed(code)


def _both_tests(gain: Estimate, first: Estimate | None, second: Estimate | None) -> list[str]:
    """Say how much and how sure, in one sentence where there is an interval."""
    way = "rose" if gain.value > 0 else "fell"
    of_all = f"{gain.n} of {people(gain.n + gain.dropped, 'choir')}" if gain.dropped else people(gain.n, "choir")
    whose = "their scores" if gain.counted == "students" else f"scores in {of_all}, each counted once,"
    told = f"On average, {whose} " + (
        "stayed the same" if is_zero(gain) else f"{way} by {distance(gain.value, gain.unit)}"
    )
    if gain.counted == "students" and first and second and not (is_zero(gain) or alike(first, second)):
        told += f", {from_to(first, second)}"
    sure = how_sure(gain, who="students like these" if gain.counted == "students" else "choirs like these")
    if gain.interval is None:
        return [f"{told}.", sure[0]]
    return [f"{told}; {sure[0][0].lower()}{sure[0][1:]}"]


def _one_test(estimates: Sequence[Estimate]) -> tuple[list[str], tuple[Estimate, ...]]:
    """Say how high students scored at the only test."""
    only = pick(estimates, "mean_score")
    once = max(counted(estimates, about) for about in ("tested before", "tested after"))
    if only is None and once >= FEWEST:
        used = tuple(one for one in estimates if one.about in ("tested before", "tested after"))
        return [f"{people(once)} took one of the two tests, and nobody took both; no average is told here."], used
    if only is None or only.n < FEWEST:
        return ["Too few students were tested to give an average."], ()
    told = f"On average, {people(only.n)} scored {score(only)}"
    if only.interval is None:
        return [f"{told}.", "How sure that is cannot be told from these numbers."], (only,)
    return [f"{told}; with students like these the average would plausibly lie {between(only)}."], (only,)
