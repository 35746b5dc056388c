"""What kind of study this is, and what may be said of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args

import pandas as pd

from kit.errors import TooFewError, UnknownChoiceError
from kit.questions.scale import measure_of, paired_marks, tested, tested_both

How = Literal[
    "undeclared", "none", "schools_chose", "teachers_chose", "cutoff", "students_at_random", "choirs_at_random"
]  # fmt: skip
BALANCED = 0.25
"""Difference at the first test, in SD, up to which adjusting is held to help (WWC Handbook 4.1, from memory)."""
FEW_CHOIRS = 8
"""Choirs assigned at random below which the kit gives an estimate and makes no test (our rule)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """What kind of study this is.

    Attributes
    ----------
    code : str
        D0, D1, D1b, D2, D3a, D3b, D4, D5 or D5b.
    because : tuple of str
        Why it is this one, in sentences.
    choirs, approaches : int
        How many choirs and approaches have students tested both times, or any student where nobody was.
    open_questions : tuple of str
        What a person has to decide, and what to type where.
    """

    code: str
    because: tuple[str, ...]
    choirs: int
    approaches: int
    open_questions: tuple[str, ...] = ()


def classify(pairs: pd.DataFrame, *, how: How = "undeclared") -> Design:
    """Say what kind of study this is, from its students and the declared assignment.

    Counted: students tested both times; where nobody was, everyone in `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    how : str, optional
        How students or choirs came to an approach, as declared in the study file.

    Returns
    -------
    Design

    Raises
    ------
    UnknownChoiceError
        If `how` is an unknown word.
    """
    if how not in get_args(How):
        raise UnknownChoiceError("classify", "how", how, get_args(How))
    twice = tested_both(pairs)
    counted = pairs[twice] if twice.any() else pairs
    choirs = int(counted.loc[counted["choir"] != "", "choir"].nunique())
    code, because = _code(pairs, choirs, _choirs_by_approach(counted), how)
    return Design(
        code=code, because=because, choirs=choirs, approaches=len(_choirs_by_approach(counted)),
        open_questions=() if code == "D0" else tuple(_open_questions(counted, how)),
    )  # fmt: skip


def _choirs_by_approach(counted: pd.DataFrame) -> pd.Series:
    """Count the named choirs of each approach, none where it names no choir."""
    given = counted[counted["approach"] != ""]
    return given["choir"].where(given["choir"] != "").groupby(given["approach"]).nunique()


def _code(pairs: pd.DataFrame, choirs: int, by_approach: pd.Series, how: str) -> tuple[str, tuple[str, ...]]:
    """Choose the design's code, with the reasons."""
    if not tested_both(pairs).any():
        return "D0", (_why_one_test(pairs),)
    if len(by_approach) < 2:
        return ("D1b" if choirs > 1 else "D1"), (_ONE_WAY.get(choirs, _ONE_WAY_MANY.format(choirs=choirs)),)
    sizes = ", ".join(f"{approach}: {number}" for approach, number in by_approach.items())
    because = (f"Number of choirs tested both times, by approach: {sizes}.",)
    if how == "students_at_random":
        return "D4", (*because, "Students were assigned at random, as declared.")
    if by_approach.min() < 2:
        return "D2", (*because, "Where an approach has no second choir, it cannot be told from that choir.")
    if how == "choirs_at_random":
        few = choirs < FEW_CHOIRS
        count = f"A test needs {FEW_CHOIRS} choirs here, and there are {choirs}."
        return ("D5b" if few else "D5"), (*because, "Choirs were assigned at random, as declared.", count)
    return _not_at_random(pairs, (*because, _NOT_RANDOM[how]))


_ONE_WAY = {
    0: "No choir is named, so all students are taken as one choir.",
    1: "Every student tested both times is in one choir.",
}
_ONE_WAY_MANY = "Students of {choirs} choirs were tested both times, and no second approach is named."
_NOT_RANDOM = {
    "undeclared": "How choirs came to their approach is not declared, so it is taken as not at random.",
    "none": "The study file declares no comparison, so the approaches are taken as not assigned at random.",
    "schools_chose": "Schools chose their approach, as declared.",
    "teachers_chose": "Teachers chose their approach, as declared.",
    "cutoff": "A cut-off decided the approach, as declared; the kit treats that as not at random.",
}


def _why_one_test(pairs: pd.DataFrame) -> str:
    """Say why nobody has both marks."""
    before, after = tested(pairs, "pre").any(), tested(pairs, "post").any()
    if before and after:
        return "Both tests have marks, but no student has a mark of both."
    if not before and not after:
        return "Nobody has a mark of either test."
    return f"Nobody has a mark of both tests; only the {'first' if before else 'second'} has any."


def _not_at_random(pairs: pd.DataFrame, because: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Tell approaches that were alike at the first test from others."""
    # imported here: the check command imports this module, and only this question needs scipy
    from kit.stats.effects import hedges_g  # noqa: PLC0415

    pre = paired_marks(pairs)[1]
    groups = [pre[rows.index] for name, rows in pairs[tested_both(pairs)].groupby("approach") if name]
    about = f"{measure_of(pairs)}, first test"
    try:
        apart = max(
            abs(hedges_g(one, other, about=about).value) for at, one in enumerate(groups) for other in groups[at + 1 :]
        )
    except TooFewError:
        return "D3b", (*because, "How alike the approaches were at the first test cannot be told from these marks.")
    alike = apart <= BALANCED
    found = f"At the first test approaches differed by {'no more' if alike else 'more'} than {BALANCED} SD."
    return "D3a" if alike else "D3b", (*because, found)


def _open_questions(counted: pd.DataFrame, how: str) -> Iterator[str]:
    """Ask what only a person can know, with what to type where."""
    named = counted["approach"] != ""
    if len(set(counted.loc[named, "approach"])) > 1 and how in ("undeclared", "none"):
        yield (
            'How did choirs come to their approach? Write in study.toml, under [assignment], how = "schools_chose", '
            'or instead of it "teachers_chose", "cutoff", "students_at_random" or "choirs_at_random".'
        )
    if named.any() and not named.all():
        yield (
            f"Which approach do the others have? Students without one who were tested both times: {(~named).sum()}. "
            "Name it in the roster; until then they are in no comparison."
        )
