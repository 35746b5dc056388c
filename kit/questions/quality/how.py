"""How the test was given: forms, most points, who marked."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from kit.questions.scale import tested, tested_both

OWN_TEACHER = "own teacher"
"""The word by which marks say that students were marked by their own teacher."""
TESTS = {"pre": "first test", "post": "second test"}


@dataclass(frozen=True, slots=True)
class HowTested:
    """What the marks tell about how the test was given.

    Attributes
    ----------
    same_form : bool or None
        True if every student sang the same form both times, False if none did; None when a form is not
        recorded, or some did and some did not: ``forms`` then tells which.
    forms : tuple of str
        Forms recorded.
    one_maximum : bool
        Whether all known maxima are one and the same.
    maxima : tuple of float
        The maxima that are known.
    own_teacher_rated : bool or None
        True if any mark is the own teacher's, False if none is; None when that is not recorded for
        every mark.
    raters : tuple of str
        Raters recorded.
    one_rater : bool or None
        Whether one rater gave every mark that counts; None when that is not recorded for every mark.
    also_marked : int
        Tests that have marks of other raters too.
    """

    same_form: bool | None
    forms: tuple[str, ...]
    one_maximum: bool
    maxima: tuple[float, ...]
    own_teacher_rated: bool | None
    raters: tuple[str, ...]
    one_rater: bool | None
    also_marked: int = 0


def how_tested(pairs: pd.DataFrame) -> HowTested:
    """Gather how the test was given.

    Counted: students tested both times; everyone with a mark where nobody was.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.

    Returns
    -------
    HowTested
    """
    twice = tested_both(pairs)
    counted = pairs[twice] if twice.any() else pairs
    raters, every_rater = _words(counted, "rater")
    forms, every_form = _words(counted, "form")
    same = counted["pre_form"] == counted["post_form"]
    agreed = twice.any() and every_form and (same.all() or not same.any())
    maxima = tuple(sorted({float(most) for side in TESTS for most in counted[f"{side}_max"].dropna()}))
    own = any(rater.casefold() == OWN_TEACHER for rater in raters)
    return HowTested(
        same_form=bool(same.all()) if agreed else None, forms=forms, one_maximum=len(maxima) <= 1, maxima=maxima,
        own_teacher_rated=own if own or every_rater else None, raters=raters,
        one_rater=len(raters) == 1 if len(raters) > 1 or every_rater else None,
        also_marked=pairs.attrs.get("also_marked", 0),
    )  # fmt: skip


def _words(counted: pd.DataFrame, fact: str) -> tuple[tuple[str, ...], bool]:
    """List the different words recorded beside marks, and say whether every mark has one."""
    found = pd.concat([counted.loc[tested(counted, side), f"{side}_{fact}"] for side in TESTS])
    return tuple(sorted(set(found) - {""})), len(found) > 0 and bool((found != "").all())
