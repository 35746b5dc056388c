"""Sentences about whether the test can carry the answers: reliability, forms, the ends of the scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.glossary import GLOSSARY
from kit.report.numbers import bare, percent_level, show
from kit.report.phrases import alike, between, distance, gain_between, holds_zero, is_zero, listed, people, pick, signed
from kit.report.said import Said
from kit.report.words.marking import WHICH, Gap, below

KINDS = {"cronbach_alpha": "melodies", "kr20": "notes"}
"""What a reliability is over; the first that was measured is told."""
BOTH_FORMS = " to the scale of form "
LINKED_ALIKE = (
    "This takes for granted that the shared melodies go with the rest of a form in the same way for all who sang them."
)
WITH_SCORES = {
    "normal": "",
    "skewed": " with a few far ahead of or behind the rest",
    "ceiling": " with many at the top",
}
"""Kind of scores -> how studies with such scores are told."""
ALL_NOISE = "they vary no more than noise alone would make them."


class Used(Protocol):
    """The reliability that single students are judged by."""

    value: float | None
    origin: str
    over: str


class Narrow(Protocol):
    """A range that is known to be too narrow; see ``kit.questions.coverage.narrow``."""

    estimate: Estimate
    held: Estimate
    scores: str
    students: int


def reliability(
    here: Sequence[Estimate], *, used: Used, gains: Sequence[Estimate] = (), why: Sequence[Gap] = ()
) -> Said:  # fmt: skip
    """Say how reliable the test was here, and which reliability single students are judged by.

    Parameters
    ----------
    here : sequence of Estimate
        From ``kit.questions.quality.reliability_here``.
    used : UsedReliability
        From ``kit.questions.quality.reliability_used``.
    gains : sequence of Estimate, optional
        From ``kit.questions.quality.gains_told_apart``.
    why : sequence of LeftOut, optional
        What could not be estimated; the first reason is told where nothing could.

    Returns
    -------
    Said
    """
    told: list[str] = []
    shown: list[Estimate] = []
    kind = next((name for name in KINDS if any(one.name == name for one in here)), "")
    by_test = {which: _over(kind, here, which) for which in WHICH}
    parts = [f"{listed([_form(one) for one in found])} at the {which}" for which, found in by_test.items() if found]
    if parts:
        told.append(f"Reliability of the test over {KINDS[kind]} in this sample: {'; '.join(parts)}.")
        shown += [one for found in by_test.values() for one in found]
    if told:
        told.append("A reliability of 0 is only noise, one of 1 is none; noise from day to day is not seen in it.")
        if any("within choirs" in one.about for one in here):
            told.append("Choirs differ, so within one choir the test tells singers apart less well.")
    elif why:
        told.append(why[0].why)
    told += _which_is_used(used, measured=bool(parts))
    for one in gains:
        far = ALL_NOISE if one.value <= 0 else "the nearer to 0, the more of them is noise."
        told.append(
            "Differences between single students' second and first scores have a reliability of "
            f"{show(one.value, one.unit)}: {far}"
        )
        shown.append(one)
    return Said(tuple(told), tuple(shown))


def _over(name: str, here: Sequence[Estimate], which: str) -> list[Estimate]:
    """Find the reliabilities of one kind at one test, form by form, choirs together."""
    return [
        one for one in here if one.name == name and one.about.endswith(which) and "within choirs" not in one.about
    ]  # fmt: skip


def _form(one: Estimate) -> str:
    """Write a reliability with its form and its range: ``0.83 (form A, plausibly between 0.62 and 0.95)``."""
    named = [part.strip() for part in one.about.split(",") if part.strip().startswith("form ")]
    sure = [f"plausibly {between(one)}"] if one.interval is not None else []
    beside = ", ".join([*named, *sure])
    return show(one.value, one.unit) + (f" ({beside})" if beside else "")


def _which_is_used(used: Used, *, measured: bool) -> list[str]:
    """Say which reliability is used for single students."""
    if used.origin == "declared":
        return ["To tell noise in single scores, the reliability that the study file declares is used."]
    if used.origin == "this sample":
        return [
            f"No reliability is declared in study.toml, so the one measured here over {used.over} is used to tell "
            "noise in single scores."
        ]
    small = "; this sample is too small, or too noisy, to judge single students by" if measured else ""
    return [f"No reliability is known that could tell noise in single scores{small}."]


def forms(found: Sequence[Estimate], *, why: Sequence[Gap] = (), code: str) -> Said:
    """Say whether one form was harder, and how scores changed without that.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.forms_differ``.
    why : sequence of LeftOut, optional
        What could not be estimated; the first reason is told where nothing could.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    harder, gain = pick(found, "equate_mean"), pick(found, "mean_gain", "without the difference of forms")
    if code == "D0" or harder is None:
        reason = why[0].why if why and code != "D0" else "Whether one form is harder than the other is not known."
        return Said((reason,)).passed(code)
    sentences = [_harder(harder)]
    if gain is not None:
        sure = f", plausibly {gain_between(gain)}" if gain.interval is not None else ""
        sentences.append(f"Without that difference the average gain is {signed(gain.value, gain.unit)}{sure}.")
    sentences.append("This takes for granted that students of both orders would have gained alike on one form.")
    return Said(tuple(sentences), tuple(each for each in (harder, gain) if each is not None)).passed(code)


def _harder(found: Estimate, beginning: str = "") -> str:
    """Say which of two forms is harder, behind the beginning of a sentence."""
    both = next(part for part in found.about.split(", ") if BOTH_FORMS in part)
    one, other = both.removeprefix("form ").split(BOTH_FORMS)
    if is_zero(found):
        told = f"forms {one} and {other} turned out to be as hard as each other"
    else:
        way = "harder" if found.value > 0 else "easier"
        told = f"form {one} turned out {distance(found.value, found.unit)} {way} than form {other}"
    sure = f", plausibly {gain_between(found, turned=below(found))}" if found.interval is not None else ""
    open_ = "; the range includes zero, so it is open which of them is harder" if holds_zero(found) else ""
    whole = f"{beginning}{told}{sure}{open_}."
    return f"{whole[0].upper()}{whole[1:]}"


def linked_forms(found: Sequence[Estimate], *, shared: Sequence[str], code: str) -> Said:
    """Say whether one form was harder, by the melodies that both contain; nothing where no melodies link them.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.forms_linked``.
    shared : sequence of str
        The melodies, from ``kit.questions.quality.shared_melodies``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if not found:
        return Said(())
    noun = "melody" if len(shared) == 1 else "melodies"
    by = f"judged by {noun} {listed(shared)}, which both forms contain, "
    told = [_harder(one, f"at the {one.about.rpartition(', ')[2]}, {by}") for one in found]
    return Said((*told, LINKED_ALIKE), tuple(found)).passed(code)


def too_narrow(found: Sequence[Narrow], *, level: float = 0.95) -> Said:
    """Say which ranges are known to be too narrow for scores and numbers of students like these; else nothing.

    Parameters
    ----------
    found : sequence of Narrow
        From ``kit.questions.coverage.narrow.too_narrow``.
    level : float, optional
        Level that the simulated ranges promise.

    Returns
    -------
    Said
    """
    told = []
    for kind, students in dict.fromkeys((one.scores, one.students) for one in found):
        mine = {one.estimate.name: one.held for one in found if (one.scores, one.students) == (kind, students)}
        whose = listed([f"of the {GLOSSARY[name].words}" for name in mine])
        held = listed([bare(one.value, "share") for one in mine.values()])
        told.append(
            f"Take the {'range' if len(mine) == 1 else 'ranges'} {whose} for somewhat too narrow: in simulated studies "
            f"of {people(students)}{WITH_SCORES[kind]}, such {percent_level(level)} ranges held the truth {held} of "
            "the time."
        )
    return Said(tuple(told), tuple({one.held.label: one.held for one in found}.values()))


def ends(found: Sequence[Estimate], *, why: Sequence[Gap] = (), smallest: int = 1, code: str) -> Said:
    """Say how far the average gain hangs on students at the top or the bottom of the scale.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.without_the_ends``.
    why : sequence of LeftOut, optional
        What could not be estimated; the reasons are told where nothing could.
    smallest : int, optional
        Students that must be at an end before anything is told of them.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    everybody = pick(found, "mean_gain", "gain of everybody")
    at_end = [one for one in found if one.name == "count"]
    without = [one for one in found if one.about.endswith(("students at the top", "students at the bottom"))]
    bounds = [one for one in (pick(found, "mean_gain", f"gain {what}") for what in ("at least", "at most")) if one]
    if code == "D0" or everybody is None:
        return Said(("How far an average hangs on students at an end of the scale is not known.",)).passed(code)
    if any(one.value < smallest for one in at_end):
        return Said(("Too few students were at an end of the scale to tell an average without them.",)).passed(code)
    if not (without or bounds):
        return Said(tuple(f"At the {gap.about.rpartition(' ')[2]} of the scale: {gap.why[0].lower()}{gap.why[1:]}"
                          for gap in why) or ("Nobody was at an end of the scale.",)).passed(code)  # fmt: skip
    told = [_without(one, everybody) for one in without]
    if len(bounds) == 2:
        low, high = (signed(one.value, one.unit) for one in bounds)
        told.append(
            "Had those at an end of the scale gained as little or as much as anybody else, it would be "
            f"{f'{low} all the same' if alike(*bounds) else f'{low} or {high}'}."
        )
    return Said(tuple(told), (everybody, *without, *bounds)).passed(code)


def _without(one: Estimate, everybody: Estimate) -> str:
    """Say what the average gain is without those at one end."""
    now, before = (signed(each.value, each.unit) for each in (one, everybody))
    end = one.about.rpartition(" ")[2]
    told = f"Without students who were at the {end} of the scale at either test, the average gain "
    return told + (f"is {before} as well." if now == before else f"is {now} instead of {before}.")
