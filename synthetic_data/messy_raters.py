"""Messy fixtures about who marked and how often: attempts in columns, two raters, adjudicator (F47 to F50)."""

from __future__ import annotations

from messy_files import IDS, Messy, sheet
from messy_layout import PLAIN
from messy_odd_marks import told
from workbook import text_table


def rater_fixtures() -> Messy:
    """Make the fixtures about raters and attempts."""
    made = Messy()
    for part in (_attempts, _two_raters, _initials_only, _adjudicated, _in_the_cell):
        part(made)
    return made


def _attempts(made: Messy) -> None:
    """F47: three tries in three columns, the columns not in order."""
    rows = [(12, 9, 11), (8, 7, None), (15, 15, 16), (13, 10, 12), (None, 6, None)]
    heads = ("ID", "Pre attempt 2", "Pre attempt 1", "Pre attempt 3")
    made.files["F47.csv"] = text_table(sheet(heads, rows))
    kept = {"first": (9, 7, 15, 10, 6), "best": (12, 8, 16, 13, 6), "last": (11, 8, 16, 12, 6)}
    column_of = {
        "first": (heads[2],) * 5,
        "best": (heads[1], heads[1], heads[3], heads[1], heads[2]),
        "last": (heads[3], heads[1], heads[3], heads[3], heads[2]),
    }
    for letter, rule in zip("abc", kept, strict=True):
        scores = [
            {"student": i, "occasion": "pre", "attempt": int(head[-1]), "points": float(points), "column": head}
            for i, points, head in zip(IDS, kept[rule], column_of[rule], strict=False)
        ]
        aside = [
            (at, head, "second_attempt") for at, (row, mine) in enumerate(zip(rows, column_of[rule], strict=True), 2)
            for head, mark in zip(heads[1:], row, strict=True) if mark is not None and head != mine
        ]  # fmt: skip
        made.study(
            f"F47{letter}", f"Of three tries in three columns the rule decides: {rule}.", used=5,
            sources={"scores": [{"file": "F47.csv"}]}, rules={"attempts": rule}, tables={"scores": scores},
            set_aside=aside,
        )  # fmt: skip


def _two_raters(made: Messy) -> None:
    """F48: two raters in two columns of each test."""
    pairs = [((pre, post), (max(pre - at % 2, 0), post)) for at, (pre, post) in enumerate(PLAIN)]
    heads = ("ID", "Pre JM", "Pre KB", "Post JM", "Post KB")
    made.files["F48.csv"] = text_table(sheet(heads, [(jm[0], kb[0], jm[1], kb[1]) for jm, kb in pairs]))
    by = [{"occasion": when, "measure": "total", "rater": who} for when in ("pre", "post") for who in ("JM", "KB")]
    scores = told([(jm[0], kb[0], jm[1], kb[1]) for jm, kb in pairs], columns=by)
    made.study(
        "F48a", "Columns that differ in initials only and hold much the same marks are those of two raters.", used=8,
        sources={"scores": [{"file": "F48.csv"}]}, tables={"scores": scores},
    )  # fmt: skip
    marks = [{"column": f"{when.title()} {who}", "occasion": when, "measure": "total", "rater": who}
             for when in ("pre", "post") for who in ("JM", "KB")]  # fmt: skip
    made.study(
        "F48b", "Declared raters are kept apart, mark by mark.", used=8, tables={"scores": scores},
        sources={"scores": [{"file": "F48.csv", "student": "ID", "marks": marks}]},
    )  # fmt: skip
    other = [(jm[0], jm[0] % 4, jm[1], 20 - jm[1]) for jm, _ in pairs]
    made.files["F48_other.csv"] = text_table(sheet(("ID", "Pre SR", "Pre EAR", "Post SR", "Post EAR"), other))
    two = [{"occasion": when, "measure": what, "rater": ""} for when in ("pre", "post") for what in ("sr", "ear")]
    made.study(
        "F48c", "Columns that differ in capital letters and hold other marks are two measures, not two raters.", used=8,
        sources={"scores": [{"file": "F48_other.csv"}]}, tables={"scores": told(other, columns=two)},
    )  # fmt: skip


def _initials_only(made: Messy) -> None:
    """F48: headings that are initials and nothing else."""
    rows = [(i, term, marks[at], marks[at]) for at, term in enumerate(("Fall", "Spring"))
            for i, marks in zip(IDS, PLAIN, strict=False)]  # fmt: skip
    made.files["F48_bare.csv"] = text_table([("ID", "Term", "JM", "KB"), *rows])
    made.study(
        "F48d", "Headings that are initials only, above the same kind of marks, are raters.", used=16,
        sources={"scores": [{"file": "F48_bare.csv"}]}, changes=[("occasion renamed", 16)],
        tables={"scores": [
            {"student": i, "occasion": "pre" if term == "Fall" else "post", "rater": who, "points": float(mark)}
            for i, term, *both in rows for who, mark in zip(("JM", "KB"), both, strict=True)
        ]},
    )  # fmt: skip


def _adjudicated(made: Messy) -> None:
    """F49: a third rater who marked only where the two others disagree."""
    rows = [(11, 11, None), (7, 9, 8), (15, 15, None), (9, 9, None), (12, 14, 14), (4, 4, None), (18, 18, None)]
    made.files["F49.csv"] = text_table(sheet(("ID", "JM", "KB", "LS"), rows))
    declared = [{"column": who, "occasion": "pre", "rater": who} for who in ("JM", "KB", "LS")]
    scores = [
        {"student": i, "rater": who, "points": float(mark)}
        for i, row in zip(IDS, rows, strict=False)
        for who, mark in zip(("JM", "KB", "adjudicator LS"), row, strict=True) if mark is not None
    ]  # fmt: skip
    for letter, adjudicates, says in (
        ("a", None, "Marks of a third rater only where two disagree are set aside until it is declared what they are."),
        ("b", True, "A declared adjudicator is named as such, and has no mark where none was needed."),
    ):
        marks = [*declared[:2], declared[2] | ({"adjudicates": True} if adjudicates else {})]
        made.study(
            f"F49{letter}", says, sources={"scores": [{"file": "F49.csv", "student": "ID", "marks": marks}]}, used=7,
            tables={"scores": [row for row in scores if adjudicates or not row["rater"].startswith("adj")]},
            set_aside=[] if adjudicates else [(row, "LS", "adjudicator_unclear") for row in (3, 6)],
        )  # fmt: skip


def _in_the_cell(made: Messy) -> None:
    """F50: the rater behind the mark, in its cell."""
    cells = ["17 (JM)", "14 (KB)", "12/20 (JM)", "9 (KB)", "11 (IV)", "15 (ELL)", "18"]
    made.files["F50.csv"] = text_table(sheet(("ID", "Pre"), [[cell] for cell in cells]))
    marks = [(17, "JM"), (14, "KB"), (12, "JM"), (9, "KB"), (11, "IV"), (None, ""), (18, "")]
    for letter, raters, says in (
        ("a", [], "Initials behind several marks are split off as the rater; behind one mark only they are unclear."),
        ("b", ["JM", "KB", "IV"], "Declared raters are split off wherever they stand."),
    ):
        made.study(
            f"F50{letter}", says, used=7 - 1 - (not raters),
            sources={"scores": [{"file": "F50.csv", "raters": raters}]},
            tables={"scores": [
                {"student": i, "rater": who, "points": float(mark)} for i, (mark, who) in zip(IDS, marks, strict=False)
                if mark is not None and (raters or who != "IV")
            ]},
            set_aside=[*([] if raters else [(6, "Pre", "rater_inside")]), (7, "Pre", "unclear_mark")],
            changes=[("rater split from the mark in its cell", 4 + bool(raters)), ("points of maximum in one cell", 1)],
        )  # fmt: skip
