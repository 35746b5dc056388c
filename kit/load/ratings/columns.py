"""Headings of files of ratings, recognised with the evidence."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from kit.load.columns import plain
from kit.load.declared_music import RatingSource
from kit.load.formats.cells import Value
from kit.load.layout import Header
from kit.load.suggest import Suggestion, fill_fields

_WORDS = {
    "date": ("date", "day", "event date"),
    "choir": ("choir", "ensemble", "group", "school", "school and choir", "chorus"),
    "part": ("part", "event", "portion", "category", "what", "stage"),
    "judge": ("judge", "adjudicator", "juror", "clinician"),
    "rating": ("rating", "division", "rating given"),
    "final": ("final", "final rating", "overall", "overall rating", "panel", "panel rating", "composite"),
}
_FIELD_OF = {word: field for field, words in _WORDS.items() for word in words}
_JUDGE = re.compile(r"(?:judge|adjudicator|juror|j|clinician)\s?(?:no\.?\s*)?(?:\d{1,2}|[a-f])")
_ONLY_RATINGS = ("judge", "rating", "final")


def rating_field(heading: object) -> str:
    """Name the field of a file of ratings that a heading means; empty for none."""
    return _FIELD_OF.get(plain(heading), "")


def names_judge(heading: object) -> bool:
    """Say whether a heading is that of one judge's column, such as Judge 1, Adjudicator B or J2."""
    return bool(_JUDGE.fullmatch(plain(heading)))


def known_rating_heading(cell: object) -> bool:
    """Say whether a cell could be a heading of a file of ratings."""
    return bool(rating_field(cell)) or names_judge(cell)


def suggest_ratings(source: RatingSource, header: Header, rows: list[list[Value]]) -> Suggestion:
    """Fill the undeclared fields of a file of ratings from the headings.

    Parameters
    ----------
    source : RatingSource
        As far as it is declared; declared fields stay as they are.
    header : Header
        The header of the sheet.
    rows : list of list
        The rows below the header.

    Returns
    -------
    Suggestion
        With a column for each judge, or a row for each.
    """
    filled, evidence = fill_fields(source, header, rows, ("date", "choir", "part", "final"), rating_field)
    if not (source.judges or source.rating):
        judges = tuple(heading for heading in header.headings if names_judge(heading))
        filled = replace(filled, judges=judges)
        evidence += [f'"{heading}" holds the ratings of one judge' for heading in judges]
    if not filled.judges:
        filled, more = fill_fields(filled, header, rows, ("judge", "rating"), rating_field)
        evidence += more
    decide = () if filled.judges or filled.rating or filled.final else ("no column of ratings is recognised",)
    return Suggestion(filled, tuple(evidence), decide)


def looks_like_ratings(headings: Sequence[str]) -> int:
    """Count the headings that only a file of ratings has."""
    judges = sum(map(names_judge, headings))
    return judges + sum(rating_field(heading) in _ONLY_RATINGS for heading in headings)
