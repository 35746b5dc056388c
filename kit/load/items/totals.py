"""Marks of single notes -> marks of whole tests; a test with a note unmarked has no total unless that is declared."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from kit.load.items.key import ItemKey
from kit.tables import ITEMS, SCORES, conform

_TEST = ["student", "choir", "occasion", "measure", "form", "rater"]


@dataclass(frozen=True, slots=True)
class Totals:
    """Marks of whole tests.

    Attributes
    ----------
    scores : DataFrame
        Rows of the scores table: points are notes right, of all notes of the form. A test that is not complete has
        no points, and its missing reason.
    incomplete : DataFrame
        The tests that are not complete: student, choir, occasion, measure, form, rater, the notes ``marked`` and
        ``asked``, and whether they were ``prorated``.
    """

    scores: pd.DataFrame
    incomplete: pd.DataFrame


def totals(items: pd.DataFrame, keys: pd.DataFrame | None = None, *, prorate_from: float | None = None) -> Totals:
    """Sum the marks of single notes to one mark for each test and rater.

    Parameters
    ----------
    items : DataFrame
        The items table.
    keys : DataFrame, optional
        The key, as `kit.load.items.keys.read_keys` gives it: how many notes a form has. Without a key of the form, it
        has the notes that were marked for anybody.
    prorate_from : float or None, optional
        Least share of the notes, 0 to 1, from which on an incomplete test counts as if the notes without a mark
        had gone as those with one. None: an incomplete test has no total.

    Returns
    -------
    Totals
        One row of scores for each student, occasion, measure, form and rater.

    Raises
    ------
    ValueError
        If the least share is not within 0 and 1, or is 0.
    """
    if prorate_from is not None and not 0 < prorate_from <= 1:
        raise ValueError(f"totals: prorate_from must be above 0 and at most 1. Got {prorate_from}.")
    given = items[ITEMS.names].assign(mark=items.right.notna(), points=items.right.astype("Float64").fillna(0.0))
    tests = given.groupby(_TEST, sort=False, dropna=False).agg(
        marked=("mark", "sum"), right=("points", "sum"), reasons=("missing_reason", _one_reason),
        file=("file", "first"), sheet=("sheet", "first"), row=("row", "first"),
    ).reset_index()  # fmt: skip
    tests["asked"] = _asked(tests, items, keys)
    complete = tests.marked >= tests.asked
    prorated = ~complete & (tests.marked >= (prorate_from or 2.0) * tests.asked)
    counted = complete | prorated
    share = (tests.right / tests.marked.where(tests.marked > 0)).where(counted)
    scores = tests[[*_TEST, "file", "sheet", "row"]].assign(
        points=(share * tests.asked).astype("float64"), max_points=tests.asked.astype("float64"),
        share=share.astype("float64"), missing_reason=tests.reasons.where(~counted, ""), attempt=1,
        column="single notes",
    )  # fmt: skip
    incomplete = tests.loc[~complete, [*_TEST, "marked", "asked"]].assign(prorated=prorated[~complete])
    return Totals(conform(scores, SCORES), incomplete.reset_index(drop=True))


def _one_reason(reasons: pd.Series) -> str:
    """Say why marks of a test are missing: the reason that all of them share, else that none is given."""
    found = set(reasons[reasons != ""])
    return found.pop() if len(found) == 1 else "unspecified"


def _asked(tests: pd.DataFrame, items: pd.DataFrame, keys: pd.DataFrame | None) -> list[int]:
    """Count the notes of the form of each test."""
    seen = items.drop_duplicates(["measure", "form", "melody", "item"]).groupby(["measure", "form"]).size()
    known = {measure: ItemKey.of(keys, measure) for measure in tests.measure.unique()}
    counts = {}
    for measure, form in set(zip(tests.measure, tests.form, strict=True)):
        key = known[measure]
        place = key.form(form)
        counts[measure, form] = int(seen[measure, form]) if place is None else len(key.notes(place, ""))
    return [counts[place] for place in zip(tests.measure, tests.form, strict=True)]
