"""What every question does with a statistic: ask it, and where it has too little, say so beside the answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from kit.errors import NotConvergedError, TooFewError
from kit.estimate import Estimate
from kit.glossary import GLOSSARY

STUDENTS_ALIKE = (
    "Students of one choir are alike, so an interval made from single students would be too narrow and none is given."
)
NO_LOG = "No drill log was read with this study."
ONE_STUDENT = "One student alone, so there is no spread to make an interval from."


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Something that was asked and could not be answered, or may not be shown.

    Attributes
    ----------
    about : str
        Whom and what the question was about, as in ``Estimate.about``.
    why : str
        The reason, in a sentence.
    """

    about: str
    why: str


class Answers(list[Estimate]):
    """Estimates in order, and beside them what was left out.

    Parameters
    ----------
    answers : iterable of Estimate or LeftOut
        In any mixture; the estimates become the list.

    Attributes
    ----------
    left_out : tuple of LeftOut
        What could not be estimated, each with its reason.
    """

    def __init__(self, answers: Iterable[Estimate | LeftOut] = ()) -> None:
        mixed = list(answers)
        super().__init__(answer for answer in mixed if isinstance(answer, Estimate))
        self.left_out = tuple(answer for answer in mixed if isinstance(answer, LeftOut))

    @property
    def first(self) -> Estimate | None:
        """The first estimate, None where there is none."""
        return next(iter(self), None)


def ask(
    statistic: Callable[..., Estimate], *columns: object, about: str, choirs: int = 1, **options: object
) -> Estimate | LeftOut:
    """Ask a statistic; with too little data or no fit, give one student's bare value or say what is left out.

    Counted: the rows handed in.

    Parameters
    ----------
    statistic : callable
        A function of ``kit.stats``.
    *columns
        What the statistic takes by position.
    about : str
        Whom and what the number is about, in words.
    choirs : int, optional
        Choirs that the students come from; with more than one, interval and p-value are taken
        out, because they would treat students of one choir as strangers.
    **options
        What else the statistic takes by keyword.

    Returns
    -------
    Estimate or LeftOut
    """
    try:
        estimate = statistic(*columns, about=about, **options)
    except TooFewError as error:
        alone = _one_student(statistic.__name__, columns, about, str(options.get("unit", "")))
        return alone or LeftOut(about, _plainly(statistic.__name__, str(error)))
    except NotConvergedError as error:
        return LeftOut(about, _plainly(statistic.__name__, str(error)))
    if choirs < 2:
        return estimate
    return replace(
        estimate, interval=None, p=None, df=None, clusters=choirs, notes=(*estimate.notes, STUDENTS_ALIKE)
    )  # fmt: skip


def _one_student(name: str, columns: tuple, about: str, unit: str) -> Estimate | None:
    """Give the mean of one student: the score, or the gain, itself."""
    if name not in ("mean_score", "mean_gain"):
        return None
    rows = np.column_stack([np.asarray(column, dtype=float) for column in columns])
    whole = rows[~np.isnan(rows).any(axis=1)]
    if len(whole) != 1:
        return None
    value = whole[0, -1] - (whole[0, 0] if name == "mean_gain" else 0)
    return Estimate(
        about=about, name=name, value=float(value), unit=unit, n=1, source="student-1908",
        dropped=len(rows) - 1, notes=(ONE_STUDENT,),
    )  # fmt: skip


def _plainly(name: str, message: str) -> str:
    """Turn ``mean_gain: needs ...`` into ``The average gain needs ...``."""
    return message.replace(f"{name}: ", f"The {GLOSSARY[name].words} ", 1)
