"""One difference computed in every way that could be defended, and in one that could not, as a warning."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut
from kit.questions.compared import names_of, rows_of
from kit.questions.comparison import Schools, about_of, model_for, schools_of, why_no_difference
from kit.questions.comparison.ways import (
    choir_means_difference,
    mixed,
    one_by_one,
    sandwich,
    shuffled,
    wild,
)
from kit.questions.design import Design
from kit.questions.scale import measure_of

NAIVE = (
    "A warning and no answer: singers of one choir are treated as strangers, so the interval is too narrow and the "
    "p-value too small."
)


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """One question, several ways.

    Attributes
    ----------
    answers : Answers
        One difference for each way, in the order of printing; the way that ignores choirs comes last.
    names : tuple of str
        A short name of each way, in the same order.
    naive : Estimate or None
        The last one.
    approaches : tuple of str
        The two approaches.
    schools : {"", "held apart", "left in"}
        Whether schools gave different shares of their choirs to the approaches, so that what sets schools apart is part
        of the answers that do not hold them apart, and what the main answer does about it.
    """

    answers: Answers
    names: tuple[str, ...]
    naive: Estimate | None
    approaches: tuple[str, str]
    schools: Schools = ""


def sensitivity(
    compared: pd.DataFrame, *, design: Design, seed: int, level: float = 0.95, draws: int = 9_999
) -> Sensitivity:
    """Compute the difference in every way that knows of choirs, and last in the one that does not.

    Counted: students tested both times whose choir is named.

    Parameters
    ----------
    compared : DataFrame
        From `kit.questions.compared.between`.
    design : Design
        From `kit.questions.design.classify` of `compared`.
    seed : int
        Seed of draws, printed in the report.
    level : float, optional
        Confidence level, a proportion in (0, 1).
    draws : int, optional
        Draws of the wild bootstrap, and of shuffling where ways are too many to list.

    Returns
    -------
    Sensitivity
        Without p-values where the design makes no test, and never with one for the last way.
    """
    about = about_of(compared) if len(compared) else measure_of(compared)
    why = why_no_difference(compared, design)
    if why:
        return Sensitivity(Answers([LeftOut(f"{about}, in several ways", why)]), (), None, names_of(compared))
    rows, model = rows_of(compared), model_for(design)
    schools, asked = schools_of(rows, design), {"model": model, "level": level}
    streams = np.random.SeedSequence(seed).spawn(3)
    found: dict[str, Estimate | LeftOut] = {
        "choir means": choir_means_difference(rows, about=f"{about}, choir means", **asked)
    }
    if rows.block.any():
        found["choir means, schools held apart"] = choir_means_difference(
            rows, about=f"{about}, choir means, schools held apart", schools=True, **asked
        )
    found["students, choirs known"] = sandwich(rows, about=f"{about}, students with choirs known", **asked)
    if rows.block.any():
        found["the same, schools held apart"] = sandwich(
            rows, about=f"{about}, students with choirs known, schools held apart", schools=True, **asked
        )
    found["mixed model of choirs"] = mixed(rows, about=f"{about}, mixed model", **asked)
    found["mixed model, drawn anew"] = mixed(
        rows, about=f"{about}, mixed model drawn anew", rng=np.random.default_rng(streams[2]), **asked
    )
    found["wild bootstrap of choirs"] = wild(
        rows, about=f"{about}, wild bootstrap", rng=np.random.default_rng(streams[0]), draws=draws, **asked
    )
    found["choirs shuffled"] = shuffled(
        rows, model=model, about=f"{about}, choirs shuffled", rng=np.random.default_rng(streams[1]), draws=draws,
        schools=schools == "held apart",
    )[0]  # fmt: skip
    found["choirs ignored (a warning)"] = one_by_one(rows, about=f"{about}, choirs ignored", **asked)
    made = _table(found, names_of(compared), tested=design.may_test and design.code != "D3b")
    return replace(made, schools=schools)


def _table(found: dict[str, Estimate | LeftOut], names: tuple[str, str], *, tested: bool) -> Sensitivity:
    """Put the answers into order, without p-values that the design cannot carry."""
    last = list(found)[-1]
    for name, one in found.items():
        if isinstance(one, Estimate) and (name == last or not tested):
            notes = (*one.notes, NAIVE) if name == last else one.notes
            if not tested:  # how a p-value came about is no news where none is told
                notes = tuple(note for note in notes if "p-value" not in note)
            found[name] = replace(one, p=None, notes=notes)
    answers = Answers(found.values())
    kept = tuple(name for name, one in found.items() if isinstance(one, Estimate))
    naive = found[last] if isinstance(found[last], Estimate) else None
    return Sensitivity(answers, kept, naive, names)
