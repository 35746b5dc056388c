"""Sentences about growth over three or more tests: which approach gained more from each test to the next."""

from __future__ import annotations

from collections.abc import Sequence

from kit.estimate import Estimate
from kit.report.numbers import percent_level
from kit.report.phrases import distance, gain_between, holds_zero, is_zero, pick
from kit.report.said import Said
from kit.report.words.comparison_start import COMPARED, NOTHING

NO_LINES = "Growth along lines was not computed: it needs three tests, and two choirs or more of each approach."
LINES = (
    "Choirs have lines of their own in it and students levels of their own at least, and students count with whatever "
    "tests they took."
)


def paces(estimates: Sequence[Estimate], *, names: tuple[str, str], code: str) -> Said:
    """Say which approach gained more from each test to the next, and how sure that is.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.comparison.curves.paces``.
    names : tuple of str
        The two approaches.
    code : str
        Code of the design.

    Returns
    -------
    Said
    """
    found = pick(estimates, "growth_model")
    if code not in COMPARED or code == "D2" or found is None:
        return Said((NOTHING if code not in COMPARED else NO_LINES,))
    turned = found.value < 0
    above, below = names[::-1] if turned else names
    if is_zero(found):
        told = f'From each test to the next "{above}" and "{below}" gained the same on average'
    else:
        size = distance(found.value, found.unit)
        told = f'From each test to the next "{above}" gained {size} more than "{below}" on average'
    if found.interval is not None:
        told += f" ({percent_level(found.interval.level)} interval {gain_between(found, turned=turned)})"
        if holds_zero(found):
            told += "; the interval includes zero, so which of the two gained more is not known"
    return Said((f"{told}.", LINES), (found,)).passed(code, approaches=names)
