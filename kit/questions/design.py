"""What kind of study this is, and what may be said of it."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from kit.errors import TooFewError
from kit.questions.whom import both, tested

BALANCED = 0.25
"""Difference at the first test, in SD, up to which adjusting is held to help (WWC Handbook 4.1, from memory)."""
FEW_CHOIRS = 8
"""Choirs assigned at random below which the kit gives an estimate and makes no test (our rule, after section 10)."""

_TITLES = {
    "D0": "One test only",
    "D1": "One choir, tested before and after, with nobody to compare with",
    "D1b": "Several choirs, tested before and after, with nobody to compare with",
    "D2": "A comparison in which one approach has a single choir",
    "D3a": "A comparison of choirs that were not assigned at random, alike at the start",
    "D3b": "A comparison of choirs that were not assigned at random, different at the start",
    "D4": "A comparison of students assigned at random",
    "D5": "A comparison of choirs assigned at random",
    "D5b": "A comparison of few choirs assigned at random",
}
_ALLOWED = {
    "D0": ("how high students scored, and how sure that is.",),
    "D1": ("how much the scores of these students rose or fell during the term, and how sure that is.",),
    "D1b": ("how much scores rose or fell during the term, and how much choirs differ.",),
    "D2": ("how each approach's choirs scored, side by side.",),
    "D3a": ("that more or less growth went along with an approach, after adjusting for the first test.",),
    "D3b": ("how each approach's choirs scored, and by how much they differed from the start.",),
    "D4": ("how much the approach changed scores on average, within the interval.",),
    "D5": ("how much the approach changed scores in choirs like these, within the interval.",),
    "D5b": ("an estimate with its interval; there are too few choirs for a test.",),
}
_REFUSED = {
    "D0": ("anything about change or growth.",),
    "D1": ("that teaching caused the change: a term of singing, practice with the test and chance are in it too.",),
    "D1b": ("that teaching caused the change, or which choir or teacher did best.",),
    "D2": ("that the approach made the difference: it cannot be told from that one choir and its teacher.",),
    "D3a": ("that the approach caused the difference.",),
    "D3b": ("that the approach had anything to do with the difference.",),
    "D4": ("anything about other kinds of students or choirs.",),
    "D5": ("anything about single students if rosters changed.",),
    "D5b": ("whether the difference could be chance alone.",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """What kind of study this is.

    Attributes
    ----------
    code : str
        D0, D1, D1b, D2, D3a, D3b, D4, D5 or D5b.
    title : str
        The design in plain words.
    because : tuple of str
        Why it is this one, in sentences.
    allowed, refused : tuple of str
        What may be said, and what may not.
    choirs, approaches : int
        How many choirs and approaches have students.
    open_questions : tuple of str
        What a person has to decide, and what to type where.
    """

    code: str
    title: str
    because: tuple[str, ...]
    allowed: tuple[str, ...]
    refused: tuple[str, ...]
    choirs: int
    approaches: int
    open_questions: tuple[str, ...] = ()


def classify(pairs: pd.DataFrame, *, how: str = "undeclared") -> Design:
    """Say what kind of study this is, from its students and the declared assignment.

    Counted: students tested both times decide between designs with a comparison; everybody in `pairs`
    decides how many choirs and approaches there are.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    how : str, optional
        How students or choirs came to an approach, as declared in the study file.

    Returns
    -------
    Design
    """
    counted = both(pairs)
    people = counted if len(counted) else pairs
    choirs = people.loc[people["choir"] != "", "choir"].nunique()
    by_approach = people[people["approach"] != ""].groupby("approach")["choir"].nunique()
    code, because = _code(pairs, counted, choirs, by_approach, how)
    questions = ()
    if len(by_approach) > 1 and how == "undeclared" and code != "D0":
        questions = (
            "How did choirs come to their approach? Write in study.toml, under [assignment], how = "
            '"schools_chose", "teachers_chose", "cutoff", "students_at_random" or "choirs_at_random".',
        )
    return Design(
        code=code, title=_TITLES[code], because=because, allowed=_ALLOWED[code], refused=_REFUSED[code],
        choirs=int(choirs), approaches=len(by_approach), open_questions=questions,
    )  # fmt: skip


def _code(
    pairs: pd.DataFrame, counted: pd.DataFrame, choirs: int, by_approach: pd.Series, how: str
) -> tuple[str, tuple[str, ...]]:
    """Choose the design's code, with the reasons."""
    if counted.empty:
        which = "the first" if tested(pairs, "pre").any() else "the second"
        return "D0", (f"Nobody has a mark of both tests; only {which} has any.",)
    if len(by_approach) < 2:
        one = "All students tested both times are in one choir, or no choir is named."
        many = f"Students of {choirs} choirs were tested both times, and all were taught one way."
        return ("D1", (one,)) if choirs < 2 else ("D1b", (many,))
    sizes = ", ".join(f"{approach}: {number}" for approach, number in by_approach.items())
    because = (f"Choirs tested both times, by approach: {sizes}.",)
    if by_approach.min() < 2 and how != "students_at_random":
        return "D2", because
    if how == "students_at_random":
        return "D4", (*because, "Students were assigned at random, as declared.")
    if how == "choirs_at_random":
        return ("D5" if choirs >= FEW_CHOIRS else "D5b"), (*because, "Choirs were assigned at random, as declared.")
    if how == "undeclared":
        because = (*because, "How choirs came to their approach is not declared, so it is taken as not at random.")
    return _not_at_random(counted, because)


def _not_at_random(counted: pd.DataFrame, because: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Tell approaches that were alike at the first test from others."""
    from kit.stats.effects import hedges_g  # noqa: PLC0415 - only here are distribution functions needed

    groups = [rows["pre_share"].fillna(rows["pre_points"]) for _, rows in counted.groupby("approach")]
    try:
        apart = max(
            abs(hedges_g(one, other, about="first test").value)
            for at, one in enumerate(groups)
            for other in groups[at + 1 :]
        )
    except TooFewError:
        return "D3b", (*because, "Too few students for comparing the approaches at the first test.")
    alike = "no more" if apart <= BALANCED else "more"
    return (
        "D3a" if apart <= BALANCED else "D3b",
        (*because, f"At the first test approaches differed by {alike} than a quarter of a standard deviation."),
    )
