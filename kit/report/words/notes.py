"""Sentences about single notes: which are hard, which do not tell readers apart, and whether people mark them alike."""

from __future__ import annotations

from collections.abc import Sequence

from kit.estimate import Estimate
from kit.report.numbers import show
from kit.report.phrases import FEWEST, listed
from kit.report.said import Said

NAMED = 3
"""Notes that are named in a sentence."""


def single_notes(found: Sequence[Estimate], *, smallest: int = FEWEST) -> Said:
    """Name the hardest notes and the easiest of each form, and notes that good readers miss as often as others.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.single_notes``.
    smallest : int, optional
        Students who must have sung a note before anything is told of it.

    Returns
    -------
    Said
    """
    kept = [one for one in found if one.n >= smallest]
    forms = dict.fromkeys(_form_and_test(one) for one in kept)
    told: list[str] = []
    shown: list[Estimate] = []
    for form, test in forms:
        notes = [one for one in kept if _form_and_test(one) == (form, test)]
        right = sorted((one for one in notes if one.name == "item_difficulty"), key=lambda one: one.value)
        if len(right) > NAMED:
            *hardest, easiest = [*right[:NAMED], right[-1]]
            told.append(
                f"At the {test}, the hardest of the {len(right)} notes{f' of {form}' if form else ''} were "
                f"{listed([_right(one) for one in hardest])}; the easiest was {_right(easiest)}."
            )
            shown += [*hardest, easiest]
        missed = [one for one in notes if one.name == "item_discrimination" and one.value <= 0]
        if missed:
            more = f" and {len(missed) - NAMED} more" if len(missed) > NAMED else ""
            told.append(
                f"Missed as often by those who read the rest well as by others{f', {form}' if form else ''}, {test}: "
                f"{listed([_note(one) for one in missed[:NAMED]])}{more}. A wrong key or unclear marks may be behind."
            )
            shown += missed[:NAMED]
    return Said(tuple(told), tuple(shown))


def _form_and_test(one: Estimate) -> tuple[str, str]:
    """Find the form, empty where none is named, and the test that a note is of."""
    *_, form, _, _, test = ("", *one.about.split(", "))
    return form if form.startswith("form ") else "", test


def _test(one: Estimate) -> str:
    """Find the test that a number is about."""
    return one.about.rpartition(", ")[2]


def _note(one: Estimate) -> str:
    """Write ``note 5 of melody 2``."""
    melody, note = one.about.split(", ")[-3:-1]
    return f"{note} of {melody}"


def _right(one: Estimate) -> str:
    """Write a note with the share of students who sang it right."""
    return f"{_note(one)} ({show(one.value, one.unit)} right)"


def note_marks(found: Sequence[Estimate]) -> Said:
    """Say how far two people who marked the same single notes agree; nothing where nobody did.

    Parameters
    ----------
    found : sequence of Estimate
        From ``kit.questions.quality.notes_agree``.

    Returns
    -------
    Said
    """
    pairs = list(dict.fromkeys(one.about.rpartition(", ")[0] for one in found))
    told = []
    for at, pair in enumerate(pairs, 1):
        same, kappa = (
            [one for one in found if one.about.rpartition(", ")[0] == pair and one.name == name]
            for name in ("percent_agreement", "kappa_weighted")
        )
        who = "two people" if len(pairs) == 1 else f"pair {at} of the people who marked them"
        shares = [f"{show(one.value, one.unit)} of {one.n:,} notes at the {_test(one)}" for one in same]
        beyond = [f"{show(one.value, one.unit)} at the {_test(one)}" for one in kappa]
        told.append(
            f"On single notes {who} gave the same mark to {listed(shares)}"
            + (f"; beyond what chance gives, where 1 is perfect, they agree {listed(beyond)}." if beyond else ".")
        )
    return Said(tuple(told), tuple(found))
