"""Sentences about the tests: form, listener, noise, ceiling, what could be noticed, what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.claims import gate
from kit.report.numbers import show
from kit.report.phrases import distance, listed, people, pick, sentence
from kit.report.privacy.coding import AtMost
from kit.report.said import Said

MANY_AT_TOP = 0.15
"""Share of students at the top score from which the report warns (section 12.1 of the kit's rules; our choice)."""


class Facts(Protocol):
    """How the tests were given; None where it was not recorded."""

    same_form: bool | None
    forms: tuple[str, ...]
    one_maximum: bool
    maxima: tuple[float, ...]
    own_teacher_rated: bool | None
    raters: tuple[str, ...]
    one_rater: bool | None
    also_marked: int


def how_tested(facts: Facts, *, what: str = "") -> Said:
    """Say what was sung, in which form, out of how many points, and who marked.

    Parameters
    ----------
    facts : Facts
        From ``kit.questions.quality``.
    what : str, optional
        What the study file says of the test.

    Returns
    -------
    Said
    """
    told = (sentence(what),) if what else ()
    return Said((*told, _forms(facts), _maxima(facts), *_raters(facts)))


def _forms(facts: Facts) -> str:
    """Say which form was sung."""
    named = listed(list(facts.forms))
    if facts.same_form:
        return f"Everyone sang the same form ({named}) both times, so second scores may include practice with the test."
    if facts.same_form is False:
        forms = f" ({named})" if len(facts.forms) > 1 else ""
        return f"Everyone sang another form the second time{forms}; one form may be harder than the other."
    if len(facts.forms) > 1:
        return f"Some sang the same form twice and some did not (forms {named})."
    return "Which form was sung was not recorded for both tests, so practice with the test may be in the second scores."


def _maxima(facts: Facts) -> str:
    """Say out of how many points the tests were."""
    most = [f"{maximum:g}" for maximum in facts.maxima]
    if not most:
        return "How many points could be earned was not recorded."
    if facts.one_maximum:
        return f"Each test had {most[0]} point{'' if most[0] == '1' else 's'}."
    return f"The tests differ in their number of points ({listed(most)}), so scores are told as percent of the points."


def _raters(facts: Facts) -> list[str]:
    """Say who marked, without names."""
    if facts.own_teacher_rated is None:
        return ["Who marked the tests was not recorded."]
    told = []
    if facts.own_teacher_rated:
        told.append("The students' own teacher marked, who usually knows the singer and the date.")
    if facts.one_rater is False:
        told.append(f"{len(facts.raters)} people marked.")
    if facts.also_marked:
        tests = "test was" if facts.also_marked == 1 else "tests were"
        told.append(f"{facts.also_marked} {tests} marked by somebody else too; one mark of each test counts.")
    elif facts.one_rater:
        told.append("One person marked everything, so how well two listeners would agree is not known.")
    return told


def scoring_noise(estimates: Sequence[Estimate], *, borrowed_from: str) -> Said:
    """Say by how much two scores of one student must differ to be more than noise.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.quality.scoring_noise``.
    borrowed_from : str
        Where the reliability was taken from; empty where it was measured on these marks.

    Returns
    -------
    Said
    """
    change, noise = pick(estimates, "detectable_change"), pick(estimates, "standard_error_of_measurement")
    if change is None:
        why = "first scores are too few or all the same" if borrowed_from else "no reliability of this test is given"
        return Said((f"How much of a single score is noise is not known, since {why}.",))
    sentences = [
        f"On this test two scores for the same student must differ by about {distance(change.value, change.unit)} "
        "before we can be confident it is more than scoring noise."
    ]
    if noise is not None:
        sentences.append(
            f"One score typically lies within about {distance(noise.value, noise.unit)} of what the same student would "
            "score on average."
        )
    if borrowed_from:
        sentences.append(
            sentence(f"The reliability behind this was not measured here; it is taken from {borrowed_from}")
        )
    return Said(tuple(sentences), tuple(one for one in (change, noise) if one is not None))


def ceiling(estimates: Sequence[Estimate]) -> Said:
    """Say how many had the top score, and warn where they are many.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.quality.ceiling_and_floor``.

    Returns
    -------
    Said
    """
    told: list[str] = []
    used: list[Estimate] = []
    for what in ("top score", "no points"):
        first, second = (pick(estimates, "share_wilson", f"{what}, {when} test") for when in ("first", "second"))
        found = [one for one in (first, second) if one is not None]
        used += found
        if found and (what == "top score" or any(_are_many(one) for one in found)):
            told += _at_the_end(what, first, second)
    if not told:
        told = ["How many had the top score is not told: the most points were not recorded, or too few are concerned."]
    return Said(tuple(told), tuple(used))


def _at_the_end(what: str, first: Estimate | None, second: Estimate | None) -> list[str]:
    """Say how many were at one end of the scale, and what that means."""
    parts = [
        f"{show(one.value, 'share')} at the {when} test"
        for one, when in ((first, "first"), (second, "second"))
        if one is not None
    ]
    told = [f"Students with {'the top score' if what == 'top score' else 'no points'}: {listed(parts)}."]
    many = [one for one in (first, second) if one is not None and _are_many(one)]
    if not many:
        return told
    if what == "no points":
        return [*told, "For them the test was too hard to show what they can do."]
    return [*told, "They had every point, so the test could not show what more they can do."]


def _are_many(share: Estimate) -> bool:
    """Say whether a share is large enough to warn of; one told as so much or less may be nothing."""
    return share.value >= MANY_AT_TOP and not isinstance(share.value, AtMost)


def detectable(estimate: Estimate | None) -> Said:
    """Say which average gain a group like this would probably have missed.

    Parameters
    ----------
    estimate : Estimate or None
        A ``detectable_gain`` of students, or of choirs that each count once.

    Returns
    -------
    Said
    """
    if estimate is None:
        return Said(("How fine a difference a group like this could show is not known.",))
    who = f"{people(estimate.n, 'choir')}, each counted once," if estimate.counted == "choirs" else people(estimate.n)
    return Said(
        (
            f"With {who} tested twice, a true average gain below about {distance(estimate.value, estimate.unit)} would "
            "probably have been missed.",
        ),
        (estimate,),
    )


def next_steps(facts: Facts, *, code: str, estimates: Sequence[Estimate] = ()) -> Said:
    """Say what would make the next term's answer surer.

    Parameters
    ----------
    facts : Facts
        How the tests were given.
    code : str
        Code of the design.
    estimates : sequence of Estimate, optional
        From ``kit.questions.quality.ceiling_and_floor``: many at the top ask for harder melodies.

    Returns
    -------
    Said
    """
    top = [one for one in estimates if "top score" in one.about and _are_many(one)]
    steps = (
        (
            facts.same_form is not False,
            "Use two forms: half the choir sings form A first, half form B, and then they swap.",
        ),
        (
            facts.own_teacher_rated is not False,
            "Have some recordings marked by somebody who does not know the singer or the date.",
        ),
        (
            facts.one_rater is not False and not facts.also_marked,
            "Have two people mark the same few recordings, to see how well they agree.",
        ),
        (not facts.maxima, "Write down how many points each test has."),
        (bool(top), "Add harder melodies, so that every singer has room to show more."),
        (code == "D0", "Test at the beginning of the term as well as at the end."),
        (
            code in ("D1", "D1b"),
            "Ask a choir that is taught as usual to take both tests, or let half the choirs start some weeks later.",
        ),
        (code in ("D2", "D3", "D3a", "D3b"), "Draw lots for which choirs start now and which start next term."),
        (code in ("D2", "D5b"), "Ask more choirs to take part: the number of choirs decides, not that of students."),
    )
    told = tuple(text for wanted, text in steps if wanted)
    for text in told:
        gate(text, code=code)
    return Said(told or ("Go on in the same way: forms, listeners and comparison are in order.",))
