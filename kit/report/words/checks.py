"""The sentences of the checks of methods: published examples recomputed, and how often intervals hold the truth."""

from __future__ import annotations

from typing import Protocol

import pandas as pd

from kit.figures.coverage import KINDS
from kit.report.names_of_ways import CONTRAST, NAMES
from kit.report.numbers import bare, percent_level, show
from kit.report.phrases import listed, people
from kit.report.said import Said
from kit.report.tables.checks import Coverage, SideBySide

ANY = "D1b"
"""Design whose words this page is held to: it is about methods, whatever was studied."""
TOO_SMALL = "A study of this size is too small for any interval."


class Size(Protocol):
    """The size at which intervals are tried; see ``kit.questions.coverage.Size``."""

    students: int
    choirs: int
    ceiling: float
    from_study: tuple[str, ...]


def what_is_tried(tried: Size, found: Coverage, *, alike: float) -> Said:
    """Say which studies are simulated, at which size, and where the size comes from.

    Parameters
    ----------
    tried : Size
        The size.
    found : Coverage
        The run.
    alike : float
        Share of the variance between choirs.

    Returns
    -------
    Said
    """
    facts = {
        "students": f"{people(tried.students)} in one choir, or in each of two groups",
        "choirs": f"{people(tried.choirs, 'choir')} of as many where whole choirs are drawn",
        "ceiling": f"{show(tried.ceiling, 'share')} of the students at the top of the second test where there is a top",
    }  # fmt: skip
    inside = [told for fact, told in facts.items() if fact in tried.from_study]
    given = [told for fact, told in facts.items() if fact not in tried.from_study]
    return Said((
        "A town of 60,000 singers in 600 choirs is invented, so that every true value is known. Studies are drawn from "
        "it at random, each interval is asked of each study by the same function that reports use, and it is counted "
        "how often the interval holds the true value.",
        "Three towns are made: one with normal scores; one where a few students are far ahead of the rest; one with "
        "normal scores cut at a top that many students reach.",
        *([f"Taken from the study: {listed(inside)}."] if inside else []),
        *([f"Taken from the settings above: {listed(given)}."] if given else []),
        f"{show(alike, 'share').capitalize()} of the variance lies between choirs. Everybody gains half a standard "
        "deviation on average, and the two tests correlate 0.7 to 0.8 before scores are cut.",
        f"{found.rows['draws'].max():,} studies are drawn for every number. Bootstraps take 1,000 resamples here and "
        "10,000 in reports.",
    ))  # fmt: skip


def in_short(found: Coverage, examples: SideBySide) -> Said:
    """Say in a few sentences how many printed numbers are met, and how many intervals keep their promise.

    Parameters
    ----------
    found : Coverage
        The run at the size that was asked for.
    examples : SideBySide
        From ``kit.questions.published_examples``.

    Returns
    -------
    Said
    """
    met, printed = int(examples.rows["same"].sum()), len(examples.rows)
    told = found.rows[(found.rows["told"] > 0) & ~found.rows["way"].isin(CONTRAST)]
    counts = [
        f"{(rows['off'] != 'below').sum()} of {len(rows)} with {KINDS[kind] if kind == 'normal' else _people_who(kind)}"
        for kind, rows in told.groupby("scores", sort=False)
    ]
    if not counts:
        return Said((f"{met} of {printed} printed numbers come out with the same digits here.", TOO_SMALL))
    return Said((
        f"{met} of {printed} printed numbers come out with the same digits here.",
        f"At this size the kit's {percent_level(found.level)} intervals hold the truth about as often as they promise, "
        f"or more often: {listed(counts)}.",
        *missing_too_often(found).sentences,
    ))  # fmt: skip


def missing_too_often(found: Coverage) -> Said:
    """Name the intervals that hold the truth clearly too seldom.

    Parameters
    ----------
    found : Coverage
        A run.

    Returns
    -------
    Said
    """
    seldom = found.rows[found.rows["off"] == "below"]
    contrast = seldom["way"].isin(CONTRAST)
    return Said((
        f"Clearly too seldom, even allowing for chance in the simulation: {_worst(seldom[~contrast])}.",
        *([f"Also tried, for contrast, but taken by no report: {_worst(seldom[contrast])}."] if contrast.any() else []),
    ))  # fmt: skip


def too_seldom_by_scores(found: Coverage) -> Said:
    """Name the intervals that hold the truth clearly too seldom at some size, for each kind of scores.

    Parameters
    ----------
    found : Coverage
        Long runs.

    Returns
    -------
    Said
    """
    seldom = found.rows[(found.rows["off"] == "below") & ~found.rows["way"].isin(CONTRAST)]
    told = [
        f"Clearly too seldom at some size with {KINDS[kind] if kind == 'normal' else _people_who(kind)}: "
        f"{'; '.join(NAMES[way] for way in dict.fromkeys(rows['way']))}."
        for kind in KINDS
        for rows in [seldom[seldom["scores"] == kind]]
        if len(rows)
    ]
    return Said((
        *(told or ["No interval that a report takes holds the truth clearly too seldom at any size."]),
        "The picture shows how far, and also ways that no report takes: bootstraps, formulas for normal scores in "
        "place of the jackknife, and students of several choirs taken for strangers.",
    ))  # fmt: skip


def what_follows() -> Said:
    """Say what reports do about intervals that hold the truth too seldom, and what the reader should do.

    Returns
    -------
    Said
    """
    return Said((
        "An average gain gets Student's t; with few students a bootstrap misses more often. Where a few students are "
        "far ahead of the rest, trust the typical gain first: its interval keeps the promise.",
        "With several choirs each counts once: whoever takes their students for strangers misses far too often.",
        "Gains in SD, correlations, reliabilities and the agreement of raters get the jackknife: each student is left "
        "out in turn, and no normal scores are needed. It keeps the promise, or nearly, where the usual formulas fail, "
        "above all where a few students are far ahead of the rest.",
        "Two raters say little about how severe others are: the interval of their agreement is for just these two.",
        "Where a few students are far ahead of the rest, intervals of averages, of rater differences and of agreement "
        "are still too narrow with few students, and that of kappa is with any scores; reports say so beside them.",
    ))  # fmt: skip


def cautions() -> Said:
    """Say what such checks cannot show."""
    return Said(
        (
            "An interval is right for studies like those simulated: students drawn at random, and nobody missing for a "
            "reason that has to do with the score.",
            "No simulation says whether a test measures sight-singing, nor where a gain came from.",
            "Who still doubts finds every formula in the docstring of its function and every check in the tests.",
        ),
        limits=True,
    )


def _people_who(kind: str) -> str:
    """Write a kind of scores behind "with"."""
    return {"skewed": "a few far ahead", "ceiling": "many at the top"}[kind]


def _worst(seldom: pd.DataFrame) -> str:
    """Name intervals with the smallest share of studies in which each holds the truth."""
    named = [
        f"{NAMES[way]} ({bare(rows['value'].min(), 'share', n=rows['told'].min())} at worst)"
        for way, rows in seldom.groupby("way", sort=False)
    ]
    return "; ".join(named) or "none that a report takes"
