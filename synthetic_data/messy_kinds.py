"""Messy fixtures about whole files: unquoted commas, other kinds, one thing given twice (F07 to F30, F111)."""

from __future__ import annotations

import io
import zipfile

from messy_files import IDS, STUDENTS, Messy, sheet
from messy_layout import HEADINGS, PLAIN
from messy_workbook import scores
from workbook import text_table, workbook

_MOMENT = (2026, 1, 5, 8, 0, 0)


def file_fixtures() -> Messy:
    """Make the fixtures about whole files."""
    made = Messy()
    for part in (_unquoted, _sheet_for_each_test, _other_kinds, _two_layouts, _one_file_twice, _other_subject):
        part(made)
    return made


def _unquoted(made: Messy) -> None:
    """F07: the low mark so, without quotation marks, in three places."""
    for letter, rows in (("a", [2]), ("b", [6]), ("c", list(range(2, 10)))):
        lines = ["ID,Hardest,Pre,Post"]
        for at, (student, (pre, post)) in enumerate(zip(IDS, PLAIN, strict=False), 2):
            lines.append(f"{student},{'so,' if at in rows else 'mi'},{pre},{post}")
        made.files[f"F07{letter}.csv"] = "".join(f"{line}\r\n" for line in lines).encode()
        where = {"a": "the first row", "b": "a later row", "c": "every row"}[letter]
        made.study(
            f"F07{letter}", f"A comma that was not quoted, in {where}, shifts no mark: the rows are named.",
            sources={"scores": [{"file": f"F07{letter}.csv"}]}, refused=[("row_shape", row) for row in rows],
        )  # fmt: skip


def _sheet_for_each_test(made: Messy) -> None:
    """F14: one sheet for each test, where only names tell who is who."""
    names = list(STUDENTS.values())[:5]
    turned = [" ".join(reversed(name.split(", "))) for name in names]
    fall = [["Name", "Score"], *([name, pre] for name, (pre, _) in zip(names, PLAIN, strict=False))]
    spring = [["Name", "Score"], *([name, post] for name, (_, post) in zip(turned, PLAIN, strict=False))]
    made.files["F14.xlsx"] = workbook({"Fall": fall, "Spring": spring})
    made.study(
        "F14a", "A sheet for each test is asked about: which mark belongs to which test is not guessed.",
        sources={"scores": [{"file": "F14.xlsx"}]}, refused=[("occasion_order", None), ("occasion_order", None)],
    )  # fmt: skip
    sources = [
        {"file": "F14.xlsx", "sheets": [name], "marks": [{"column": "Score", "occasion": occasion}]}
        for name, occasion in (("Fall", "pre"), ("Spring", "post"))
    ]
    marks = [
        {"occasion": occasion, "points": float(row[at])}
        for at, occasion in enumerate(("pre", "post"))
        for row in PLAIN[:5]
    ]
    made.study(
        "F14b", "Once declared, the sheets meet by name, whichever way round the names are written.",
        sources={"scores": sources}, used=10, tables={"scores": marks, "students": [{"choir": ""}] * 5},
        changes=[("name replaced by a random study id", 10)], header=2,
    )  # fmt: skip


def _other_kinds(made: Messy) -> None:
    """F25: the old binary kind, an archive, a photo, a web page."""
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as parts:
        parts.writestr(zipfile.ZipInfo("marks.csv", date_time=_MOMENT), text_table(sheet(HEADINGS, PLAIN)))
    page = b"<html><body><table><tr><td>ID</td><td>Pre</td></tr></table></body></html>\r\n"
    binary = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(1016)
    kinds = {
        "F25d": ("old_binary.xls", binary, "A workbook of the old binary kind"),
        "F25e": ("marks.zip", archive.getvalue(), "An archive with a table inside"),
        "F25f": ("board.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF\x00" + bytes(200), "A photo of the board"),
        "F25g": ("web_page.xls", page, "A web page that calls itself a workbook"),
    }
    for fixture, (file, content, what) in kinds.items():
        made.files[file] = content
        made.refused(fixture, file, f"{what} is refused, naming what is accepted.", why="file_kind")


def _two_layouts(made: Messy) -> None:
    """F29: the same marks with a column for each test, and with a row for each."""
    made.files["F29_wide.csv"] = text_table(sheet(HEADINGS, PLAIN))
    long = [(student, test, mark) for student, row in zip(IDS, PLAIN, strict=False)
            for test, mark in zip(("Pre", "Post"), row, strict=True)]  # fmt: skip
    made.files["F29_long.csv"] = text_table([("ID", "Test", "Score"), *long])
    made.study(
        "F29", "One test in two layouts is refused: choose one.",
        sources={"scores": [{"file": "F29_wide.csv"}, {"file": "F29_long.csv"}]}, refused=[("two_layouts", None)],
    )  # fmt: skip


def _one_file_twice(made: Messy) -> None:
    """F30: one file under two names."""
    made.files["F30.csv"] = made.files["F30_copy.csv"] = text_table(sheet(HEADINGS, PLAIN))
    made.study(
        "F30", "The second of two files that say the same is set aside, row by row.",
        sources={"scores": [{"file": "F30.csv"}, {"file": "F30_copy.csv"}]}, used=8, tables={"scores": scores(PLAIN)},
        set_aside=[(row, "", "file_twice") for row in range(1, 10)], header=1,
    )  # fmt: skip


def _other_subject(made: Messy) -> None:
    """F111: a file of another subject."""
    made.files["F111.csv"] = text_table([("Team", "Laps", "Colour"), ("Otters", 12, "blue"), ("Herons", 9, "red")])
    made.refused("F111", "F111.csv", "A file without any column that the kit needs is refused.", why="wrong_columns")
