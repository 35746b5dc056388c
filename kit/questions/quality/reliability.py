"""Which reliability is used for single students: the declared one, else this sample's, else none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.how import TESTS
from kit.questions.scale import choirs_of, measure_of, paired_marks
from kit.stats.reliability import gain_reliability

Origin = Literal["declared", "this sample", "not known"]
FEWEST = 20
"""Students that a reliability of this sample needs before single students are judged by it (our rule)."""
OF_THIS_SAMPLE = (
    "The reliability behind it is that of this sample, {what}; it is uncertain itself, so the number has no interval. "
    "It does not see noise from day to day or between forms, so the true noise may be more."
)


@dataclass(frozen=True, slots=True)
class UsedReliability:
    """A reliability that is used further, and where it comes from.

    Attributes
    ----------
    value : float or None
        0 to 1; None where none is known.
    origin : {"declared", "this sample", "not known"}
        Where it comes from.
    over : str
        What a sample's reliability is over: ``"melodies"`` or ``"notes"``; else empty.
    students : int
        Students that a sample's reliability rests on, all forms together.
    """

    value: float | None
    origin: Origin
    over: str = ""
    students: int = 0

    @property
    def notes(self) -> tuple[str, ...]:
        """Say in a sentence where a sample's reliability comes from; nothing for a declared one."""
        told = OF_THIS_SAMPLE.format(what=f"over {self.over}, from {self.students} students")
        return (told,) if self.origin == "this sample" else ()


NOT_KNOWN = UsedReliability(None, "not known")


def reliability_used(
    declared: float | None, here: Sequence[Estimate] = (), *, test: Literal["pre", "post"] = "pre"
) -> UsedReliability:
    """Choose the reliability that single students are judged by.

    A declared one is used as it is. Without one: this sample's over melodies, else over notes; where several forms
    were sung, their average, each form weighing as many students as it had. With fewer than 20 students, or a value
    not above 0, none.

    Parameters
    ----------
    declared : float or None
        From the study file, 0 to 1.
    here : sequence of Estimate, optional
        From `kit.questions.quality.reliability_here`.
    test : {"pre", "post"}, optional
        Which test it is about.

    Returns
    -------
    UsedReliability
    """
    if declared is not None:
        return UsedReliability(declared, "declared")
    for name, over in (("cronbach_alpha", "melodies"), ("kr20", "notes")):
        found = [
            one for one in here
            if one.name == name and one.about.endswith(TESTS[test]) and "within choirs" not in one.about
        ]  # fmt: skip
        if found:  # notes are asked only where no melodies answer, not where melodies answer badly
            students = sum(one.n for one in found)
            value = sum(one.value * one.n for one in found) / students
            enough = students >= FEWEST and value > 0
            return UsedReliability(min(value, 1.0), "this sample", over, students) if enough else NOT_KNOWN
    return NOT_KNOWN


def gains_told_apart(pairs: pd.DataFrame, *, pre: UsedReliability, post: UsedReliability) -> Answers:
    """Estimate how far gains tell students apart, rather than noise.

    Counted: students tested both times.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    pre, post : UsedReliability
        Of the first and the second test, from `reliability_used`.

    Returns
    -------
    Answers
        ``gain_reliability``, below 0 where gains vary less than the noise alone should make them.
    """
    _, first, second = paired_marks(pairs)
    about = f"{measure_of(pairs)}, gains of single students"
    if pre.value is None or post.value is None:
        return Answers([LeftOut(about, "The reliability of both tests is needed, and is not known.")])
    found = ask(
        gain_reliability, first, second, reliability_pre=pre.value, reliability_post=post.value, about=about,
        choirs=len(choirs_of(pairs)),
    )  # fmt: skip
    return Answers([found if isinstance(found, LeftOut) else retold(found, pre)])


def retold(found: Estimate, used: UsedReliability) -> Estimate:
    """Say beside a number that its reliability is this sample's and not one taken from elsewhere.

    Parameters
    ----------
    found : Estimate
        A number made with a reliability; its first note says that it was taken as given.
    used : UsedReliability
        The reliability.

    Returns
    -------
    Estimate
        The same number.
    """
    return replace(found, notes=(*used.notes, *found.notes[1:])) if used.notes else found
