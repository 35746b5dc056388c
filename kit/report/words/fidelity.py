"""Sentences about whether a program was carried out as planned, for those who paid for it."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.phrases import day, listed, people
from kit.report.said import Caption, Said
from kit.report.words.practice import EACH

NO_LOG = "No drill log was read with this study, so whether the program was carried out as planned is not known."


def delivered(
    estimates: Sequence[Estimate], *, minutes: float, choirs: Sequence[str], silent: Sequence[str] = ()
) -> Said:
    """Say how many of the planned meetings were logged, and how many kept the planned minutes.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.practice.fidelity``.
    minutes : float
        Planned minutes of ear training before notation.
    choirs : sequence of str
        From ``kit.questions.fidelity.program_choirs``.
    silent : sequence of str, optional
        From ``kit.questions.fidelity.silent``.

    Returns
    -------
    Said
    """
    if not estimates:
        return Said((NO_LOG,))
    logged, timed, enough, total = estimates[:EACH]
    told = [
        f"In the program: {listed(list(choirs))}.",
        f"{logged.value:.0f} of {logged.n} planned meetings are logged, {total.value:,.0f} minutes in all.",
        f"{enough.value:.0f} of the {enough.n} meetings with minutes had at least {minutes:g} minutes of ear training "
        "before notation, as planned." if enough.n
        else "Whether ear training came before notation is not logged, so the plan cannot be checked." if timed.value
        else "Minutes are not logged, so those planned cannot be checked.",
        "A meeting that is not logged may have been held all the same, so what was carried out is at least this much.",
    ]  # fmt: skip
    if silent:
        told.append(f"No meeting is logged by {people(len(silent), 'choir')}: {listed(list(silent))}.")
    return Said(tuple(told), (logged, timed, enough, total))


def fidelity_caption(weeks: pd.DataFrame) -> Caption:
    """Describe the picture of planned and logged meetings.

    Parameters
    ----------
    weeks : DataFrame
        From ``kit.questions.fidelity.by_week``.

    Returns
    -------
    Caption
    """
    staged = bool(weeks["staged"].any())
    told = "; ".join(
        f"week of {day(one.week)}: {one.logged} of {one.possible}"
        + (f", {one.enough} with the planned minutes" if staged else "")
        for one in weeks.itertuples(index=False)
    )
    solid = " Solid: with the planned minutes of ear training before notation." if staged else ""
    return Caption(
        "Meetings planned and logged, week by week",
        f"A bar for each of {people(len(weeks), 'week')}. {told}.",
        f"Frame: planned. Pale: logged.{solid} All choirs of the program together.",
    )
