"""Sentences of the grant report: whom the program reached, which targets were met, how certain the main result is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from kit.estimate import Estimate
from kit.report.numbers import value_cell
from kit.report.phrases import between, listed, people
from kit.report.privacy import smallest_group
from kit.report.said import Said
from kit.report.spoken import ONE_GROUP, SPOKEN
from kit.report.tables.grant import (
    MET,
    Outcome,
    cells_files,
    cells_table,
    costs_table,
    logic_model_table,
    program_table,
    shown_cells,
    targets_table,
)
from kit.report.words.costs import costs

__all__ = [
    "CELLS_NOTES", "NOTHING_SAID", "NO_CELLS", "NO_COSTS", "NO_MODEL", "NO_TARGETS", "cells_files", "cells_table",
    "certainty", "costs", "costs_table", "logic_model_table", "program_table", "protection", "reach", "shown_cells",
    "targets", "targets_table", "what_to_do",
]  # fmt: skip


class Certainty(Protocol):
    """How certain, and why; see ``kit.questions.certainty.Certainty``."""

    level: str
    start: str
    reasons: Sequence[str]


SETTLED = ("met", "not met", "too close to call", "not measured", "not shown here")
"""What can become of a promise, in the order in which it is counted."""
NOTHING_SAID = (
    "study.toml says nothing of the program: a section [program] with name, what, who, how_much and where fills this "
    "part."
)
NO_TARGETS = "No target is declared in study.toml: a section [[targets]] for each promise fills this part."
NO_MODEL = "study.toml gives no logic model: inputs, activities, outputs and outcomes under [program] fill this part."
NO_CELLS = "No two approaches are compared, or one has too few students for this copy, so there are no such numbers."
NO_COSTS = "No costs were entered (costs under [program] in study.toml), so none are shown."
CELLS_NOTES = (
    "Mean: the average. SD: the standard deviation, how far the scores of single students typically lie from it. "
    "Correlation: how far the order of students at the first test is that of the second, 1 where it is the same.",
    "Likeness inside choirs: the share of the spread of scores that lies between choirs; 0 where singers of one choir "
    "are no more alike than any others.",
    "pooling.csv, beside this page, holds these numbers as a table.",
)
"""Below the numbers for pooling."""
STARTS = {
    "high": "choirs or students were assigned at random",
    "low": "groups are compared that were not assigned at random",
    "very low": "nothing is compared that could carry it further",
}
MEANS = {
    "high": "the truth very probably lies close to the number given",
    "moderate": "the truth probably lies close to the number given, but may differ from it a good deal",
    "low": "the truth may differ a good deal from the number given",
    "very low": "the truth probably differs a good deal from the number given",
}
"""Level of certainty -> what it says of the main result, after the four levels of the GRADE working group."""
NOTHING_CERTAIN = "No main result is given, so there is none to be certain of."
WEAKENS = {
    "not alike": "the groups did not start alike",
    "few choirs": "few choirs stand behind it",
    "missing": "more than a fifth of the students lack one of the tests",
    "own teacher": "the marks that count are the students' own teachers', or it is not on record whose they are",
    "same form": "the same test was sung twice",
    "no interval": "how sure it is cannot be told from these numbers",
    "holds zero": "the range includes zero",
}


def reach(
    counts: Sequence[Estimate],
    logged: Sequence[Estimate],
    promised: Sequence[Outcome] = (),
    *,
    hide: Callable[[Estimate], bool] = lambda _: False,
) -> Said:
    """Say how many schools, choirs and students the program reached, what the log holds and which promises were kept.

    Parameters
    ----------
    counts : sequence of Estimate
        From ``kit.questions.reach.reach``.
    logged : sequence of Estimate
        From ``kit.questions.reach.meetings``.
    promised : sequence of Outcome, optional
        From ``kit.questions.targets.targets``.
    hide : callable, optional
        Says of an estimate whether this audience must not see it; nothing is told then of what became of its promise.

    Returns
    -------
    Said
    """
    by_about = {one.about: one.value for one in (*counts, *logged)}
    whole = [
        people(by_about[about], noun)
        for about, noun in (("schools", "school"), ("choirs", "choir"), ("students", "student"))
        if about in by_about
    ]
    both, everybody = by_about["tested both times"], by_about.get("students")
    twice = "all of them" if both and both == everybody else people(both)
    told = [f"The study covers {listed(whole)}; {twice} took both tests."]
    gone = next((one for one in counts if one.about == "choirs without both tests"), None)
    if gone is not None:
        told.append(f"In {gone.value:.0f} of {people(gone.n, 'choir')} nobody took both tests.")
    if "meetings logged" in by_about:
        hours = f", {people(by_about['hours logged'], 'hour')} in all" if "hours logged" in by_about else ""
        told.append(
            f"The drill logs hold {people(by_about['meetings logged'], 'meeting')} with ear training{hours}; what "
            "nobody wrote down is not in that number."
        )
    return Said((*told, *_kept(promised, hide)), (*counts, *logged))


def _kept(promised: Sequence[Outcome], hide: Callable[[Estimate], bool]) -> list[str]:
    """Count the promises that were met, were not, and may or may not have been."""
    if not promised:
        return []
    ends = ["not shown here" if isinstance(one.actual, Estimate) and hide(one.actual) else one.met for one in promised]
    each = [f"{many} {'is' if many == 1 else 'are'} {end}" for end in SETTLED if (many := ends.count(end))]
    return [f"Of {people(len(promised), 'target')} promised, {listed(each)}."]


def targets(outcomes: Sequence[Outcome], *, hide: Callable[[Estimate], bool] = lambda _: False) -> Said:
    """Say of each target what was promised, what was reached and whether that settles it.

    Parameters
    ----------
    outcomes : sequence of Outcome
        From ``kit.questions.targets.targets``.
    hide : callable, optional
        Says of an estimate whether this audience must not see it.

    Returns
    -------
    Said
    """
    if not outcomes:
        return Said((NO_TARGETS,))
    told, used = [], []
    for one in outcomes:
        promised = f"Promised: {one.target.says.rstrip('.')}"
        if isinstance(one.actual, Estimate) and hide(one.actual):
            told.append(f"{promised}. Not shown here, so that nobody can be recognized.")
        elif isinstance(one.actual, Estimate):
            used.append(one.actual)
            reached = value_cell(one.actual).replace("%", "percent")
            sure = f", plausibly {between(one.actual)}" if one.actual.interval else ""
            told.append(f"{promised}. Reached: {reached} of {people(one.actual.n)}{sure}. {_capital(MET[one.met])}.")
        else:
            told.append(f"{promised}. Not measured: {one.actual.why}")
    return Said(tuple(told), tuple(used))


def certainty(found: Certainty, *, code: str) -> Said:
    """Say how certain the main result is, where that starts, and what took it down.

    Parameters
    ----------
    found : Certainty
        From ``kit.questions.certainty.certainty``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    if code == "D2" or code in ONE_GROUP:
        return Said((NOTHING_CERTAIN,)).passed(code)
    told = [
        f"Certainty of the main result: {found.level}; {MEANS[found.level]}.",
        f"A study of this kind starts at {found.start}, because {STARTS[found.start]}.",
    ]
    if found.reasons:
        each = "Each of these takes it a step down" if len(found.reasons) > 1 else "This takes it a step down"
        each = "Besides" if found.start == "very low" else each  # there is no step below
        told.append(f"{each}: {'; '.join(WEAKENS[reason] for reason in found.reasons)}.")
    else:
        told.append("Nothing that the kit looks at weakens it further.")
    return Said(tuple(told), limits=True).passed(code)


def what_to_do(found: Certainty, *, code: str) -> Said:
    """Say what follows for a decision, no further than the certainty reaches.

    Parameters
    ----------
    found : Certainty
        From ``kit.questions.certainty.certainty``.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    told = {
        "very low": (
            "This report describes; for a decision about expanding, a comparison with other choirs is needed."
            if code in ONE_GROUP
            else "For a decision about expanding, a trial with more choirs, planned beforehand, is needed."
        ),
        "low": "A wider trial with a comparison planned beforehand would say more than this one can.",
        "moderate": "Going on, and watching with the same tests, fits what was seen.",
        "high": "Going on, and watching with the same tests, fits what was seen.",
    }[found.level]
    return Said((told, SPOKEN[code].cannot), limits=True).passed(code)


def protection(audience: str, *, agreement: str = "") -> Said:
    """Say how the data of students are protected in this copy.

    Parameters
    ----------
    audience : str
        Who will read it.
    agreement : str, optional
        The agreement under which data are used, as study.toml names it.

    Returns
    -------
    Said
    """
    least = smallest_group(audience)
    told = [
        "Students stand here under random study ids, which are made from nothing of their own; the list that links "
        "them to persons stays in the school.",
        f"Numbers that rest on fewer than {least} students are not shown, nor those from which such a number "
            "follows; numbers of students may be rounded for the same reason."
        if least > 1 else "This copy is for the students' own teacher and may show small groups.",
        "This report was made from marks, without recordings or pictures of students.",
        f"Agreement: {agreement.rstrip('.')}." if agreement
        else "study.toml names no agreement on the use of data (program.agreement).",
    ]  # fmt: skip
    return Said(tuple(told))


def _capital(words: str) -> str:
    """Begin with a capital."""
    return words[0].upper() + words[1:]
