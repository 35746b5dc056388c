"""Where each number comes from: rows that a printed number leads to, and on to formula, check and plain words."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence

from kit.estimate import Estimate
from kit.glossary import GLOSSARY
from kit.report import layout
from kit.report.layout import Shown, Written

FORMULA, WORD = "formula-", "word-"
"""What stands before the name of a statistic where its formula and its meaning can be reached."""


def number_row(cells: Sequence[str]) -> Written:
    """Write a row of the table of all numbers: the label is its name, and leads to the formula.

    Parameters
    ----------
    cells : sequence of str
        The label first.

    Returns
    -------
    Written
    """
    label, *others = cells
    statistic, stroke, about = label.partition("/")
    first = f"{_to(FORMULA + statistic, statistic)}{html.escape(stroke)}<wbr>{html.escape(about)}"
    return Written([first, *map(html.escape, others)], label)


def formula_row(cells: Sequence[str]) -> Written:
    """Write a row of the table of formulas: the name of the statistic leads to its meaning.

    Parameters
    ----------
    cells : sequence of str
        Name of the statistic and its words first, in two lines.

    Returns
    -------
    Written
    """
    first, *others = cells
    statistic, line, words = first.partition("\n")
    return Written(
        [f"{_to(WORD + statistic, statistic)}{line}{html.escape(words)}", *map(html.escape, others)],
        FORMULA + statistic,
    )


def glossary(estimates: Iterable[Estimate]) -> Shown:
    """Lay out the words of statistics, each where a link can reach it.

    Parameters
    ----------
    estimates : iterable of Estimate
        Numbers on a page.

    Returns
    -------
    Shown
    """
    names = dict.fromkeys(estimate.name for estimate in estimates)
    words = [(GLOSSARY[name].words, GLOSSARY[name].meaning) for name in names]
    return layout.definitions(words, names=[WORD + name for name in names])


def _to(place: str, shown: str) -> str:
    """Write a link that leads on."""
    return f'<a href="#{html.escape(place)}">{html.escape(shown)}</a>'
