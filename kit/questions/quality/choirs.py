"""What is said beside numbers of choirs that count once each, and other notes beside answers."""

from __future__ import annotations

from dataclasses import replace

from kit.estimate import Estimate
from kit.questions.answers import LeftOut

EACH_CHOIR_ONCE = (
    "Each of the {number} choirs counts once, by the mean of its students: students of one choir are alike."
)
NAMELESS = "Students whose choir is not known are not in it: {number}."


def noted(found: Estimate | LeftOut, *notes: str) -> Estimate | LeftOut:
    """Add notes to an estimate.

    Parameters
    ----------
    found : Estimate or LeftOut
        An answer.
    *notes : str
        Sentences that must be printed with it.

    Returns
    -------
    Estimate or LeftOut
        The same number; what was left out stays as it is.
    """
    return found if isinstance(found, LeftOut) else replace(found, notes=(*found.notes, *notes))


def each_once(found: Estimate | LeftOut, *, choirs: int, nameless: int = 0) -> Estimate | LeftOut:
    """Say that choirs are counted, and how many students belong to none.

    Parameters
    ----------
    found : Estimate or LeftOut
        A number made from the means of choirs.
    choirs : int
        How many.
    nameless : int, optional
        Students who could be counted but name no choir.

    Returns
    -------
    Estimate or LeftOut
    """
    if isinstance(found, LeftOut):
        return found
    more = (NAMELESS.format(number=nameless),) if nameless else ()
    counted = replace(found, counted="choirs", clusters=choirs)
    return noted(counted, EACH_CHOIR_ONCE.format(number=choirs), *more)
