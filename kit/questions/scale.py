"""On which scale two tests can be compared: points where both have the same maximum, else shares of the points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pandas as pd

NO_MARKS = "There are no marks."
MAXIMUM_UNKNOWN = "The most points are not known for every mark; they are taken to be the same at both tests."
MAXIMA_DIFFER = "The most points differ, so shares of the points are compared; the tests may not be equally hard."
ONLY_SHARES = "Some marks are given as shares only, so shares of the points are compared."
WITHOUT_SHARE = " Marks whose most points are not known are left out."
PAIR = ("pre", "post")


@dataclass(frozen=True, slots=True)
class Scale:
    """The scale on which two tests are compared.

    Attributes
    ----------
    unit : str
        ``"points"`` or ``"share"`` (0 to 1).
    maximum : float or None
        The top of the scale; None where it is not known. 1 for shares.
    why : str
        What a reader must know about the choice, in a sentence; empty for points out of one maximum.
    """

    unit: Literal["points", "share"]
    maximum: float | None
    why: str


def scale(pairs: pd.DataFrame) -> Scale:
    """Choose the scale on which both tests can be compared.

    Counted: students tested both times; everyone with a mark where nobody was.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Scale
        Points if every mark has points and the known maxima are one and the same; else shares.
    """
    twice = tested_both(pairs)
    table = pairs[twice] if twice.any() else pairs
    marks = pd.concat(
        [_occasion(table, occasion)[tested(table, occasion)] for occasion in PAIR], ignore_index=True
    )  # fmt: skip
    known = marks["max"].dropna()
    maxima = set(known)
    if marks.empty:
        return Scale("points", None, NO_MARKS)
    if marks["points"].notna().all() and len(maxima) < 2:
        whole = len(known) == len(marks)
        return Scale("points", maxima.pop() if whole else None, "" if whole else MAXIMUM_UNKNOWN)
    why = MAXIMA_DIFFER if len(maxima) > 1 else ONLY_SHARES
    return Scale("share", 1.0, why + (WITHOUT_SHARE if marks["share"].isna().any() else ""))


def _occasion(pairs: pd.DataFrame, occasion: str) -> pd.DataFrame:
    """Give one occasion's points, maximum and share."""
    return pd.DataFrame({part: pairs[f"{occasion}_{part}"] for part in ("points", "max", "share")})


def tested(pairs: pd.DataFrame, occasion: str) -> pd.Series:
    """Tell who has a mark.

    Counted: every row of `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    occasion : str
        ``"pre"`` or ``"post"``.

    Returns
    -------
    Series of bool
    """
    return pairs[f"{occasion}_points"].notna() | pairs[f"{occasion}_share"].notna()


def tested_both(pairs: pd.DataFrame) -> pd.Series:
    """Tell who has a mark at both tests.

    Counted: every row of `pairs`.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    Series of bool
    """
    return tested(pairs, "pre") & tested(pairs, "post")


def paired_marks(pairs: pd.DataFrame) -> tuple[Scale, pd.Series, pd.Series]:
    """Give both marks of every student tested twice, on one scale.

    Counted: students tested both times; for the others both marks are NaN, so that every statistic
    counts them as left out.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    scale : Scale
    pre, post : Series of float, shape (n,)
        In ``scale.unit``, one for each row of `pairs`.
    """
    chosen = scale(pairs)
    pre, post = pairs[f"pre_{chosen.unit}"], pairs[f"post_{chosen.unit}"]
    whole = pre.notna() & post.notna()
    return chosen, pre.where(whole), post.where(whole)


def choirs_of(pairs: pd.DataFrame) -> tuple[str, ...]:
    """Name the choirs that have students tested both times.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    tuple of str
        In order of name; students without a choir name none.
    """
    return tuple(sorted(set(pairs.loc[tested_both(pairs), "choir"]) - {""}))


def measure_of(pairs: pd.DataFrame) -> str:
    """Name the measure, for ``Estimate.about``.

    Counted: nobody; the name stands beside the rows.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`, which writes the name into ``attrs``.

    Returns
    -------
    str
    """
    return pairs.attrs.get("measure", "score")
