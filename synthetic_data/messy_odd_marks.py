"""Messy fixtures about odd marks: fractions, dates, codes, letters, words, two marks in a cell (F56 to F79)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from messy_files import IDS, Messy, sheet
from messy_layout import HEADINGS, PLAIN
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook

Told = Mapping[str, object]


def odd_mark_fixtures() -> Messy:
    """Make the fixtures about odd marks."""
    made = Messy()
    for part in (_fractions, _years, _only_dates, _halves, _remarks, _reasons, _technical, _codes, _forms,
                 _letters, _words, _two_in_one, _melodies):  # fmt: skip
        part(made)
    return made


def told(
    rows: Sequence[Sequence], *, columns: Sequence[Told] = ({"occasion": "pre"}, {"occasion": "post"}),
    ids: Sequence[str] = IDS, most: float | None = None, share: bool = True,
) -> list[dict]:  # fmt: skip
    """List the rows of the scores table that must come out: a number, a word for no mark, or None where set aside."""
    listed = []
    for student, row in zip(ids, rows, strict=False):
        for column, mark in zip(columns, row, strict=True):
            if mark is None:
                continue
            points = None if isinstance(mark, str) else float(mark)
            ratio = {"share": points / most if points is not None and most else None} if share else {}
            missing = mark if isinstance(mark, str) else ""
            listed.append({"student": student, **column, "points": points, **ratio, "missing_reason": missing})
    return listed


def columns(**settings: object) -> list[dict]:
    """Declare Pre and Post as columns of marks."""
    return [{"column": "Pre", "occasion": "pre", **settings}, {"column": "Post", "occasion": "post", **settings}]


def marked(
    made: Messy, fixture: str, file: str, says: str, *, rows: Sequence[Sequence] = (), **expected: object
) -> None:
    """Expect marks before and after in one file; ``declared`` is what the study file says of it."""
    declared = {"file": file, **expected.pop("declared", {})}
    most, share = expected.pop("most", None), expected.pop("share", True)
    tables = {} if "refused" in expected else {"scores": told(rows, most=most, share=share)}
    used = {} if "refused" in expected else {"used": len(rows)}
    made.study(fixture, says, sources={"scores": [declared]}, tables=tables, **(used | expected))


def _as(number_format: str) -> object:
    """Make the function that shows every mark in one format."""

    def dress(worksheet: Worksheet) -> None:
        for row in worksheet.iter_rows(min_row=2, min_col=2):
            for cell in row:
                if not isinstance(cell.value, str):
                    cell.number_format = number_format

    return dress


def _fractions(made: Messy) -> None:
    """F56: 0.85 shown as 17/20."""
    rows = [(pre / 20, post / 20) for pre, post in PLAIN[:6]]
    made.files["F56.xlsx"] = workbook({"Marks": sheet(HEADINGS, rows)}, dress=_as("# ??/20"))
    rule = [("number shown as a fraction", 12)]
    made.study(
        "F56a", "A number shown as a fraction is a share; its numerator is no mark without the most points.",
        sources={"scores": [{"file": "F56.xlsx"}]}, used=6, changes=rule,
        tables={"scores": [
            {"student": student, "occasion": when, "points": None, "share": share}
            for student, row in zip(IDS, rows, strict=False) for when, share in zip(("pre", "post"), row, strict=True)
        ]},
    )  # fmt: skip
    marked(made, "F56b", "F56.xlsx", "With the most points declared, the fraction gives points.", rows=PLAIN[:6],
           declared={"student": "ID", "marks": columns(max_points=20)}, most=20, share=False, changes=rule)  # fmt: skip


def _years(made: Messy) -> None:
    """F58: 2/30 and 10/30, which became the first of February and of October 1930, beside 17/30."""
    cells = [(datetime(1930, 2, 1), "17/30"), ("14/30", datetime(1930, 10, 1)), ("19/30", "22/30"),
             (datetime(1930, 8, 1), "13/30"), ("15/30", "28/30")]  # fmt: skip
    made.files["F58.xlsx"] = workbook({"Marks": sheet(HEADINGS, cells)}, dress=_as("mmm-yy"))
    marked(
        made, "F58a", "F58.xlsx", "A first day of a month whose year ends in the most points is month of maximum.",
        rows=[(2, 17), (14, 10), (19, 22), (8, 13), (15, 28)], most=30,
        changes=[("points of maximum in one cell", 7), ("date read back as points of maximum", 3)],
    )  # fmt: skip
    other = [(datetime(1945, 10, 1), "17/30"), ("14/30", "20/30"), ("19/30", "22/30")]
    made.files["F58_other.xlsx"] = workbook({"Marks": sheet(HEADINGS, other)}, dress=_as("mmm-yy"))
    marked(
        made, "F58b", "F58_other.xlsx", "Where the year does not end in the most points, the date is set aside.",
        rows=[(None, 17), (14, 20), (19, 22)], most=30, set_aside=[(2, "Pre", "unclear_mark")],
        changes=[("points of maximum in one cell", 5)],
    )  # fmt: skip


def _only_dates(made: Messy) -> None:
    """F59: 5/10 that became the tenth of May, or the fifth of October."""
    pairs = ((5, 7), (8, 9), (3, 6), (10, 4), (1, 2))
    for name, day in (("month_first", lambda points: (points, 10)), ("day_first", lambda points: (10, points))):
        rows = [[datetime(2025, *day(points)) for points in pair] for pair in pairs]
        made.files[f"F59_{name}.xlsx"] = workbook({"Marks": sheet(HEADINGS, rows)}, dress=_as("d-mmm"))
    changes = [("date read back as points of maximum", 10)]
    for letter, name, way in (("a", "month_first", "month_is_points"), ("b", "day_first", "day_is_points")):
        marked(
            made, f"F59{letter}", f"F59_{name}.xlsx", f"With the maximum declared, the dates fit one way: {way}.",
            rows=pairs, most=10, declared={"student": "ID", "marks": columns(max_points=10)}, changes=changes,
        )  # fmt: skip
        marked(
            made, f"F59{letter}2", f"F59_{name}.xlsx", f"Without a maximum, the study file settles it: {way}.",
            rows=pairs, most=10, declared={"date_marks": way}, changes=changes,
        )  # fmt: skip
    made.files["F59.xlsx"] = workbook(
        {"Marks": [("ID", "Pre"), *((i, datetime(2025, a, 10)) for i, (a, _) in zip(IDS, pairs, strict=False))]},
        dress=_as("d-mmm"),
    )
    marked(made, "F59c", "F59.xlsx", "A column of dates without a maximum is refused with what to declare.",
           refused=[("date_unclear", None)])  # fmt: skip


def _halves(made: Messy) -> None:
    """F60: halves and quarters, four ways."""
    cells = [("17½", "18"), ("9 1/2", "12.5"), ("½", "16¾"), ("8 1/4", "8½/20"), ("12", "13"), ("6.5", "11 ½")]
    made.files["F60.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F60", "F60.csv", "Halves and quarters are numbers, however they are written.", share=False,
        rows=[(17.5, 18), (9.5, 12.5), (0.5, 16.75), (8.25, 8.5), (12, 13), (6.5, 11.5)],
        changes=[("half or quarter written as a fraction", 6), ("points of maximum in one cell", 1)],
    )  # fmt: skip


def _remarks(made: Messy) -> None:
    """F61: marks with a remark in them."""
    cells = [("17+3", 14), ("17*", 12), ("~17", 15), ("17?", 13), ("<5", 11), ("16-17", 9), (18, 19)]
    made.files["F61.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F61", "F61.csv", "A bonus, a star, a sign of doubt or a range is no certain mark.",
        rows=[*((None, post) for _, post in cells[:6]), (18, 19)],
        set_aside=[(row, "Pre", "unclear_mark") for row in range(2, 8)],
    )  # fmt: skip


def _reasons(made: Messy) -> None:
    """F65: refused, and no voice, apart from each other."""
    cells = [("ref", 14), ("wouldn’t sing", 12), ("declined", 15), ("lost voice", 13), ("voice change", 11),
             (4, "sick"), (18, 19)]  # fmt: skip
    made.files["F65.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F65", "F65.csv", "Who would not sing and who could not are told apart.",
        rows=[*(("declined", post) for _, post in cells[:3]), *(("voice", post) for _, post in cells[3:5]),
              (4, "voice"), (18, 19)],
        changes=[("word read as no mark, declined", 3), ("word read as no mark, voice", 3)],
    )  # fmt: skip


def _technical(made: Messy) -> None:
    """F66: recordings that failed."""
    cells = [("unscorable", 14), ("mic off", 12), (15, "file corrupt"), (9, 13), (18, 19)]
    made.files["F66.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F66", "F66.csv", "A failed recording is no mark of the student.",
        rows=[("unscorable", 14), ("technical", 12), (15, "technical"), (9, 13), (18, 19)],
        changes=[("word read as no mark, technical", 2), ("word read as no mark, unscorable", 1)],
    )  # fmt: skip


def _codes(made: Messy) -> None:
    """F67: numbers that stand for a missing mark."""
    cells = [(11, 14), (999, 12), (-1, 15), (9, 13), (-99, 11), (-1, 9), (18, 19), (7, 3)]
    made.files["F67.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F67a", "F67.csv", "Numbers that no mark can be are refused until the study file says what they are.",
        refused=[("codes_unclear", 3)],
    )  # fmt: skip
    meant = {"999": "absent", "-99": "excused", "-1": "unspecified"}
    marked(
        made, "F67b", "F67.csv", "Declared codes are no marks, each with its reason.",
        rows=[tuple(meant.get(str(mark), mark) for mark in row) for row in cells],
        rules={"missing_codes": meant}, changes=[("declared code read as no mark", 4)],
    )  # fmt: skip


def _forms(made: Messy) -> None:
    """F71 and F72: the form of the test, the same for all at one time, and left blank for some."""
    waves = [("Fall", "A", 0), ("Spring", "B", 1)]
    rows = [(i, wave, form, row[at]) for wave, form, at in waves for i, row in zip(IDS, PLAIN, strict=False)]
    blank = [(i, wave, None if i in IDS[1:3] else form, mark) for i, wave, form, mark in rows]
    for fixture, listed, says in (
        ("F71", rows, "Form A before and form B after for everybody is read as it stands."),
        ("F72", blank, "A form that was not noted stays empty."),
    ):
        made.files[f"{fixture}.csv"] = text_table([("ID", "Term", "Form", "Score"), *listed])
        made.study(
            fixture, says, sources={"scores": [{"file": f"{fixture}.csv"}]}, used=16,
            tables={"scores": [
                {"student": i, "occasion": {"Fall": "pre"}.get(wave, "post"), "form": form or "", "points": float(mark)}
                for i, wave, form, mark in listed
            ]},
            changes=[("occasion renamed", 16)],
        )  # fmt: skip


def _letters(made: Messy) -> None:
    """F73: letter grades."""
    cells = [("B+", "A-"), ("C", "B"), ("A", "A"), ("B", "B-"), ("absent", "C+")]
    made.files["F73.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F73a", "F73.csv", "Letter grades are set aside: they are no numbers.",
        rows=[(None, None)] * 4 + [("absent", None)], used=1,
        set_aside=[*((row, "Pre", "not_a_mark") for row in range(2, 6)),
                   *((row, "Post", "not_a_mark") for row in range(2, 7))],
        changes=[("word read as no mark, absent", 1)],
    )  # fmt: skip
    order = ["C", "C+", "B-", "B", "B+", "A-", "A"]
    marked(
        made, "F73b", "F73.csv", "With their order declared, letters are places in it, and A is no absence.",
        declared={"student": "ID", "marks": columns(order=order)}, rows=[(5, 6), (1, 4), (7, 7), (4, 3), ("absent", 2)],
        changes=[("word or letter read as its place in the declared order", 9), ("word read as no mark, absent", 1)],
    )  # fmt: skip


def _words(made: Messy) -> None:
    """F74: the words of a rubric."""
    words = ("Beginning", "Developing", "Proficient", "Advanced")
    places = [(1, 2), (2, 2), (2, 3), (3, 3), (1, 1), (4, 4), (3, 4), (1, 3)]
    cells = [[words[place - 1] for place in row] for row in places]
    made.files["F74.csv"] = text_table(sheet(HEADINGS, cells))
    made.files["F74_once.csv"] = text_table(sheet(("ID", "Pre"), [row[:1] for row in cells]))
    marked(
        made, "F74a", "F74_once.csv", "The words of a rubric are refused until their order is declared.",
        refused=[("grades_order", None)],
    )  # fmt: skip
    order = {"student": "ID", "marks": columns(order=words)}
    marked(
        made, "F74b", "F74.csv", "With their order declared, words are places in it.", rows=places, declared=order,
        changes=[("word or letter read as its place in the declared order", 16)],
    )  # fmt: skip
    cells[4][1] = "Emerging"
    made.files["F74_unknown.csv"] = text_table(sheet(HEADINGS, cells))
    marked(
        made, "F74c", "F74_unknown.csv", "A word that the declared order does not have is refused.", declared=order,
        refused=[("grades_order", 6)],
    )  # fmt: skip


def _two_in_one(made: Messy) -> None:
    """F79: pitch and rhythm in one cell."""
    pairs = [((12, 8), (14, 9)), ((7, 6), (11, 8)), ((15, 10), (16, 10)), ((9, 4), (13, 7)), ((10, 9), (8, 9))]
    for name, write in (("letters", lambda pitch, rhythm: f"P{pitch} R{rhythm}"),
                        ("stroke", lambda pitch, rhythm: f"{pitch}/{rhythm}")):  # fmt: skip
        made.files[f"F79_{name}.csv"] = text_table(sheet(HEADINGS, [[write(*pair) for pair in row] for row in pairs]))
        made.files[f"F79_{name}_once.csv"] = text_table(sheet(("ID", "Pre"), [[write(*pre)] for pre, _ in pairs]))
    two = [{"occasion": when, "measure": what} for when in ("pre", "post") for what in ("pitch", "rhythm")]
    rows = told([(*pre, *post) for pre, post in pairs], columns=two, share=False)
    parts = columns(parts=["pitch", "rhythm"], part_points=[16, 10])
    for letter, name, says in (("a", "letters", "With letters"), ("c", "stroke", "With a stroke")):
        made.study(
            f"F79{letter}", f"{says} between them, two marks in a cell are the declared parts.", used=5,
            sources={"scores": [{"file": f"F79_{name}.csv", "student": "ID", "marks": parts}]},
            tables={"scores": rows}, changes=[("several marks in one cell", 10)],
        )  # fmt: skip
    marked(made, "F79b", "F79_letters_once.csv", "Two marks in a cell are refused until their parts are declared.",
           refused=[("one_of_two", 2)])  # fmt: skip
    marked(made, "F79d", "F79_stroke_once.csv", "12/8 looks like points of a maximum and is refused, not read as one.",
           refused=[("one_of_two", 2)])  # fmt: skip


def _melodies(made: Messy) -> None:
    """F82: one of three melodies not taken."""
    rows = [(5, 6, 7), (4, None, 6), (8, 8, 8), ("absent", "absent", "absent"), (3, 5, "abs")]
    made.files["F82_marks.csv"] = text_table(sheet(("ID", "M1", "M2", "M3"), rows))
    parts = [f"melody {at}" for at in (1, 2, 3)]
    marks = [{"column": f"M{at}", "occasion": "pre", "measure": part, "max_points": 8}
             for at, part in enumerate(parts, 1)]  # fmt: skip
    measures = [{"occasion": "pre", "measure": part} for part in (*parts, "total")]
    read = [(5, 6, 7), (4, "unspecified", 6), (8, 8, 8), ("absent",) * 3, (3, 5, "absent")]
    for letter, prorate_from, totals, rules in (
        ("b", 0, (18, "unspecified", 24, "absent", "absent"), {"no total, since a part has no mark": 3}),
        ("c", 2, (18, 15, 24, "absent", 12),
         {"total estimated from the parts that have a mark": 2, "no total, since a part has no mark": 1}),
    ):  # fmt: skip
        made.study(
            f"F82{letter}", "Two of three melodies give a total only where the study file asks for one.", used=5,
            sources={"scores": [{"file": "F82_marks.csv", "student": "ID", "marks": marks, "total_of": parts,
                                 "prorate_from": prorate_from}]},
            tables={"scores": told([(*row, total) for row, total in zip(read, totals, strict=True)], columns=measures,
                                   share=False)},
            changes=[("word read as no mark, absent", 4), ("marks of the parts added up", 2), *rules.items()],
        )  # fmt: skip
