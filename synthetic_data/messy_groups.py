"""Messy fixtures about dates, groups and names of choirs (F89, F92, F93)."""

from __future__ import annotations

from messy_files import IDS, Messy, sheet
from messy_layout import PLAIN
from messy_odd_marks import told
from workbook import text_table


def group_fixtures() -> Messy:
    """Make the fixtures about dates, groups and names of choirs."""
    made = Messy()
    for part in (_backward, _both_groups, _choir_names):
        part(made)
    return made


def _backward(made: Messy) -> None:
    """F89: the second test dated before the first, or on the same day."""
    days = ["2025-09-15", "2025-12-08"]
    rows = [(i, "Pre", days[0], marks[0]) for i, marks in zip(IDS, PLAIN, strict=False)]
    rows += [(i, "Post", days[1], marks[1]) for i, marks in zip(IDS, PLAIN, strict=False)]
    made.files["F89.csv"] = text_table([("ID", "Test", "Date", "Score"), *rows])
    made.study(
        "F89a", "Tests in the order of their dates are used.", used=16, sources={"scores": [{"file": "F89.csv"}]},
        tables={"scores": [
            {"student": i, "occasion": when.lower(), "date": day, "points": float(mark)} for i, when, day, mark in rows
        ]},
        changes=[("occasion renamed", 16)],
    )  # fmt: skip
    backward = [(i, when, {9: "2025-09-01", 12: days[0]}.get(at, day), mark)
                for at, (i, when, day, mark) in enumerate(rows)]  # fmt: skip
    made.files["F89_backward.csv"] = text_table([("ID", "Test", "Date", "Score"), *backward])
    made.study(
        "F89b", "A second test on or before the day of the first is refused, with its row.",
        sources={"scores": [{"file": "F89_backward.csv"}]}, refused=[("dates_backward", 11)],
    )  # fmt: skip
    wide = [(days[1], pre, days[0], post) for pre, post in PLAIN]
    made.files["F89_wide.csv"] = text_table(sheet(("ID", "Pre date", "Pre", "Post date", "Post"), wide))
    made.study(
        "F89c", "Dates in a column for each test are compared too.",
        sources={"scores": [{"file": "F89_wide.csv"}]}, refused=[("dates_backward", 2)],
    )  # fmt: skip


def _both_groups(made: Messy) -> None:
    """F92: one choir with the labels of both approaches."""
    choirs = ("Treble Blue",) * 4 + ("Treble Gold",) * 4
    labels = ("ear-first", "ear-first", "page-first", "ear-first", *("page-first",) * 4)
    rows = list(zip(IDS, choirs, labels, strict=False))
    made.files["F92.csv"] = text_table([("ID", "Choir", "Approach"), *rows])
    made.study(
        "F92a", "A choir with both approaches is refused: approaches are given to choirs.",
        sources={"rosters": [{"file": "F92.csv"}]}, refused=[("group_twice", 4)],
    )  # fmt: skip
    made.study(
        "F92b", "Where students were assigned one by one, a choir may have both.", used=8,
        sources={"rosters": [{"file": "F92.csv"}]}, rules={"groups_inside_choirs": True},
        tables={"students": [{"student": i, "choir": choir, "approach": label} for i, choir, label in rows]},
    )  # fmt: skip


def _choir_names(made: Messy) -> None:
    """F93: a choir that has one name on the roster and another beside the marks."""
    made.files["F93_roster.csv"] = text_table([("ID", "Choir"), *((i, "Per. 3 Treble") for i in IDS[:6])])
    rows = [(choir, *marks) for choir, marks in zip(("P3", "P3", "p3", "P3", "P3", "Per 3 Treb"), PLAIN, strict=False)]
    made.files["F93.csv"] = text_table(sheet(("ID", "Choir", "Pre", "Post"), rows))
    sources = {"rosters": [{"file": "F93_roster.csv"}], "scores": [{"file": "F93.csv"}]}
    for letter, names, rules, changes in (
        ("a", ["P3"] * 5 + ["Per 3 Treb"], {}, [("choir spelt one way", 1), ("choir that is on no roster", 6)]),
        ("b", ["Per. 3 Treble"] * 5 + ["Per 3 Treb"], {"aliases": {"choir": {"P3": "Per. 3 Treble"}}},
         [("choir named as the alias file says", 5), ("choir that is on no roster", 1)]),
    ):  # fmt: skip
        says = "Choirs are joined by the alias file only; a name that is on no roster is listed, and never matched."
        scores = told([row[1:] for row in rows])
        made.study(
            f"F93{letter}", says, sources=sources, rules=rules, used=12, changes=changes,
            tables={"scores": [row | {"choir": names[IDS.index(row["student"])]} for row in scores],
                    "students": [{"student": i, "choir": "Per. 3 Treble"} for i in IDS[:6]]},
        )  # fmt: skip
