"""Sentences about checks of a comparison: other ways to compute it, missing marks, further outcomes, subgroups."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.phrases import distance, gain_between, holds_zero, is_zero, pick, signed, span
from kit.report.said import Said
from kit.report.words.comparison_start import COMPARED, NOTHING

SINGLE = "With a single choir in an approach this is not asked."
NO_CHECKS = "No second way to compute the answer is possible with these choirs."
NONE_MISSING = "No mark is missing among those compared, so none has to be filled in."
LIMITS = ("worst case", "best case")


class Sensitivity(Protocol):
    """One question, several ways; see ``kit.questions.comparison.methods.Sensitivity``."""

    answers: Sequence[Estimate]
    names: Sequence[str]
    naive: Estimate | None
    approaches: tuple[str, str]
    schools: str


class Asked(Protocol):
    """Estimates and what was left out beside them; see ``kit.questions.answers.Answers``."""

    left_out: Sequence[object]

    def __iter__(self) -> Iterator[Estimate]:
        """Go through the estimates."""


def sensitivity(found: Sensitivity, *, code: str) -> Said:
    """Say whether the ways to compute the answer agree, and why the last one is a warning and no answer.

    Parameters
    ----------
    found : Sensitivity
        From ``kit.questions.comparison.methods.sensitivity``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED:
        return Said((NOTHING,))
    ways = [one for one in found.answers if one is not found.naive]
    if code == "D2" or len(ways) < 2:
        return Said((SINGLE if code == "D2" else NO_CHECKS,))
    low, high = min(ways, key=lambda one: one.value), max(ways, key=lambda one: one.value)
    told = [
        f"The same question was put in {len(ways)} ways that know of choirs. Their answers lie "
        f"{span(low.value, high.value, low.unit)} (above zero: \"{found.approaches[0]}\" above).",
        *_zero([one for one in ways if one.interval is not None]),
    ]  # fmt: skip
    if found.schools:
        main = "; the main answer holds them apart" if found.schools == "held apart" else ""
        told.append(
            f'Schools gave different shares of their choirs to "{found.approaches[0]}"; part of what sets schools '
            f"apart is in every answer that does not hold them apart{main}."
        )
    if found.naive is not None and found.naive.interval is not None:
        told.append(
            "The last line is a warning and no answer: it treats singers of one choir as strangers, which makes the "
            f"range {_width(found.naive)} wide and far too sure of itself."
        )
    return Said(tuple(told), tuple(found.answers)).passed(code, approaches=found.approaches)


def _zero(ways: Sequence[Estimate]) -> list[str]:
    """Say of how many ranges zero is a part."""
    if not ways:
        return ["Not one of them can carry a range here."]
    number = sum(map(holds_zero, ways))
    if number == len(ways):
        return ["Every one of their ranges includes zero."]
    if not number:
        return ["Not one of their ranges includes zero."]
    return [
        f"{number} of their {len(ways)} ranges include zero and the others do not, so the answer hangs on the way it "
        "is computed and is not settled."
    ]  # fmt: skip


def _width(one: Estimate) -> str:
    """Write how wide an interval is."""
    return distance(one.interval.high - one.interval.low, one.unit)


def missing(estimates: Sequence[Estimate], *, names: tuple[str, str], code: str, model: str = "adjusted") -> Said:
    """Say what missing marks could change: filled in by what is known, and at worst.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.missing.missing``.
    names : tuple of str
        The two approaches.
    code : str
        Code of the design.
    model : {"gain", "adjusted"}, optional
        How the main answer uses the first test; the two limits are always by gains.

    Returns
    -------
    Said
    """
    if code not in COMPARED or code == "D2" or not estimates:
        return Said(("What missing marks could change was not computed.",) if code in COMPARED and code != "D2" else ())
    none = pick(estimates, "count", "marks missing")
    if none is not None:
        return Said((NONE_MISSING,), (none,)).passed(code)
    how = {
        "complete cases": "Only those with both marks",
        "filled in": "Missing marks filled in many times over from what is known of each student",
        "worst case": f'If every missing mark were as bad as can be for "{names[0]}"',
        "best case": f'If every missing mark were as good as can be for "{names[0]}"',
    }
    told, used = [], []
    for ending, words in how.items():
        one = next((one for one in estimates if one.about.endswith(ending)), None)
        if one is not None:
            gains = model == "gain" or ending in LIMITS
            told.append(f"{words}: {apart(one, names, gains=gains)}.")
            used.append(one)
    limits = any(one.about.endswith(LIMITS) for one in used)
    by_gains = "" if model == "gain" else ", by gains"
    told.append(
        "The first takes those with missing marks to be like the others; the second takes the marks that are there to "
        f"foretell the missing ones{f'; the last two are limits{by_gains}, and neither is likely' if limits else ''}."
    )  # fmt: skip
    return Said(tuple(told), tuple(used)).passed(code, approaches=names)


def apart(one: Estimate, names: tuple[str, str], *, gains: bool = False) -> str:
    """Write which approach lies how far above the other, or gained how much more, with the interval."""
    turned = one.value < 0
    above, below = names[::-1] if turned else names
    sure = f", interval {gain_between(one, turned=turned)}" if one.interval else ", no interval"
    if is_zero(one):
        return f'"{above}" and "{below}" {"gained the same" if gains else "at the same height"}{sure}'
    size = distance(one.value, one.unit)
    return f'"{above}" {f"gained {size} more than" if gains else f"{size} above"} "{below}"{sure}'


class Row(Protocol):
    """One outcome; see ``kit.questions.comparison.outcomes.OutcomeRow``."""

    measure: str
    role: str
    model: str
    estimate: Estimate
    p_adjusted: float | None
    stands: bool | None


class Outcomes(Protocol):
    """All declared outcomes; see ``kit.questions.comparison.outcomes.Outcomes``."""

    rows: Sequence[Row]
    names: tuple[str, str]
    tests: int


ROLES = {
    "primary": "declared beforehand as primary", "secondary": "secondary", "exploratory": "not declared beforehand",
    "negative control": "a measure that both approaches treat alike",
}  # fmt: skip


def outcomes(found: Outcomes, *, code: str) -> Said:
    """Say the difference on every declared outcome, and what is left of it when they are judged together.

    Parameters
    ----------
    found : Outcomes
        From ``kit.questions.comparison.outcomes.outcomes``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code not in COMPARED or code == "D2" or not found.rows:
        return Said(("No further outcome is compared.",) if code in COMPARED and code != "D2" else ())
    told = [
        f"{row.measure.capitalize()} ({ROLES[row.role]}): "
        f"{apart(row.estimate, found.names, gains=row.model == 'gain')}{_left(row)}."
        for row in found.rows
    ]
    control = next((row for row in found.rows if row.role == "negative control"), None)
    if found.tests > 1:
        told.append(
            f"{found.tests} outcomes were judged together, so that one of them standing out by luck is allowed for."
        )
    if control is not None:
        told.append(_control(control))
    return Said(tuple(told), tuple(row.estimate for row in found.rows)).passed(code, approaches=found.names)


def _left(row: Row) -> str:
    """Say whether a difference still stands when all outcomes are judged together."""
    if row.stands is None:
        return ""
    return "; stands when judged together with the others" if row.stands else (
        "; does not stand out when judged together with the others"
    )  # fmt: skip


def _control(row: Row) -> str:
    """Say what the negative control warns of, or does not."""
    if row.estimate.interval is None or holds_zero(row.estimate):
        return (
            f"On {row.measure}, which both approaches treat alike, the two cannot be told apart here; a difference "
            "there would have warned that something else than the approach differs."
        )
    return (
        f"On {row.measure}, which both approaches treat alike, the two lie apart as well: something else than the "
        "approach differs between these choirs, and the other differences must be read with that in mind."
    )  # fmt: skip


def declared_subgroups(found: Mapping[str, Asked], *, code: str) -> Said:
    """Say of each declared grouping what `subgroups` says; that none is declared where none is.

    Parameters
    ----------
    found : mapping
        Column -> from ``kit.questions.comparison.subgroups.subgroups``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if not found:
        return Said(("No grouping of students was declared beforehand (comparison.subgroups), so none is looked at.",))
    each = [subgroups(answers, answers.left_out, by=by, code=code) for by, answers in found.items()]
    told = dict.fromkeys(sentence for said in each for sentence in said.sentences)
    return Said(tuple(told), tuple(one for said in each for one in said.estimates)).passed(code)


def subgroups(estimates: Sequence[Estimate], left_out: Sequence[object] = (), *, by: str, code: str) -> Said:
    """Say whether the difference differs between groups of students; exploratory, whatever comes out.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.subgroups.subgroups``.
    left_out : sequence of LeftOut, optional
        What could not be asked, each with ``about`` and ``why``.
    by : str
        What students are grouped by.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    word = by.replace("_", " ")
    if code not in COMPARED or code == "D2":
        return Said((NOTHING if code not in COMPARED else SINGLE,))
    told = [
        f"Exploratory: the study was not made to tell whether the difference depends on {word}, so this is a question "
        "for the next one and no finding."
    ]
    for one in estimates:
        sure = f" (interval {gain_between(one)})" if one.interval else ""
        about = one.about.partition(", ")[2]
        told.append(f"{about[:1].upper()}{about[1:]}: the difference differs by {signed(one.value, one.unit)}{sure}.")
    if estimates and all(holds_zero(one) for one in estimates if one.interval):
        told.append(f"Each range includes zero: whether the difference depends on {word} is not known.")
    if not estimates:
        told.append(f"It cannot be asked here: {left_out[0].why}" if left_out else "There are too few students to ask.")
    return Said(tuple(told), tuple(estimates)).passed(code)
