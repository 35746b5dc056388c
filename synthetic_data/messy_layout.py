"""Messy fixtures about files: encodings, delimiters, title lines, sheets, totals, repeated headings (F01 to F28)."""

from __future__ import annotations

from collections.abc import Sequence

from messy_files import IDS, STUDENTS, Messy, expect, marks, sheet
from openpyxl.styles import PatternFill
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook

HEADINGS = ("ID", "Pre", "Post")
PLAIN = ((11, 14), (7, 12), (15, 15), (9, 13), (12, 11), (4, 9), (18, 19), (0, 3))
"""Marks of eight students, before and after, of 20; a true zero is among them."""


def layout_fixtures() -> Messy:
    """Make the fixtures about files and layout."""
    made = Messy()
    for part in (_encodings, _accents, _delimiters, _decimals, _empty_edges, _titles, _choir_sheets, _choir_columns,
                 _totals, _repeated_headings, _unreadable, _nothing_there, _platform, _same_headings):  # fmt: skip
        part(made)
    return made


def _encodings(made: Messy) -> None:
    """F01 and F03: byte-order mark, UTF-16."""
    made.files["F01.csv"] = text_table(sheet(("id", "Pre", "Post"), PLAIN), encoding="utf-8-sig")
    made.used(
        "F01", "F01.csv", "A byte-order mark before the first heading is no part of it.",
        marks=marks(expect(PLAIN)), used=8,
    )  # fmt: skip
    text = text_table(sheet(("ID", "Name", "Pre", "Post"), PLAIN, named=True), delimiter="\t", encoding="utf-16-le")
    made.files["F03.csv"] = b"\xff\xfe" + text
    made.used(
        "F03", "F03.csv", "UTF-16 text with tabs is read, although its name ends in csv.",
        marks=marks(expect(PLAIN)), used=8,
    )  # fmt: skip


def _accents(made: Messy) -> None:
    """F02: letters outside ASCII in a single-byte encoding."""
    clear = ("Zoé Nettlebed", "Odo “Thimble” Thistlewick", "Ivo O’Saltmarsh", "Tansy Quíllfeather", "Bram Föxglove",
             "Lark Pennywhistle")  # fmt: skip
    unclear = ("Éda Nettlebed", "Odo Thistlewick", "Émo Saltmarsh", "Tansy Quillfeather", "Bram Foxglove",
               "Lark Pennywhistle")  # fmt: skip
    for file, names in (("F02_clear.csv", clear), ("F02_unclear.csv", unclear)):
        rows = [(name, *row) for name, row in zip(names, PLAIN, strict=False)]
        made.files[file] = text_table(sheet(("ID", "Name", "Pre", "Post"), rows), encoding="cp1252")
    made.used(
        "F02a", "F02_clear.csv", "Windows-1252 letters and quotes are read where no other encoding makes sense.",
        marks=marks(expect(PLAIN[:6])), used=6,
    )  # fmt: skip
    made.refused(
        "F02b", "F02_unclear.csv", "Letters that make sense in two encodings are not guessed.", why="encoding_unclear"
    )
    made.used(
        "F02c", "F02_unclear.csv", "The declared encoding settles it.", marks=marks(expect(PLAIN[:6])), used=6,
        settings={"encoding": "cp1252"},
    )  # fmt: skip


def _delimiters(made: Messy) -> None:
    """F06: a first line that names the delimiter."""
    rows = sheet(HEADINGS, PLAIN)
    rows[2][2] = "?"
    made.files["F06.csv"] = text_table(rows, delimiter=";", first="sep=;")
    expected = expect([(11, 14), (7, None), *PLAIN[2:]])
    made.used(
        "F06", "F06.csv", "The line sep=; is no row, and rows below it keep their line number.",
        marks=marks(expected), used=8, set_aside=[(4, "Post", "not_a_mark")],
    )  # fmt: skip


def _decimals(made: Messy) -> None:
    """F04 and F05: the decimal comma, throughout and mixed with points."""
    comma = [("17,5", "18"), ("9,5", "12,5"), ("14", "16,5"), ("8,5", "8"), ("12", "13"), ("6,5", "11,5")]
    mixed = [("17,5", "18"), ("9,5", "12,5"), ("14", "16"), ("8.5", "8"), ("12", "13"), ("6", "11")]
    made.files["F04.csv"] = text_table(sheet(HEADINGS, comma), delimiter=";")
    made.files["F05.csv"] = text_table(sheet(HEADINGS, mixed), delimiter=";")
    expected = expect([(17.5, 18), (9.5, 12.5), (14, 16.5), (8.5, 8), (12, 13), (6.5, 11.5)])
    made.used("F04", "F04.csv", "A file with decimal commas throughout is read.", marks=marks(expected), used=6)
    made.refused(
        "F05", "F05.csv", "Decimal commas and points in one file are refused, naming a row of each (2 and 5).",
        why="decimals_mixed", row=2,
    )  # fmt: skip


def _empty_edges(made: Messy) -> None:
    """F08: empty columns and rows around the data, and a thousand formatted rows below it."""
    padded = [[*row, None, None, None] for row in sheet(HEADINGS, PLAIN)]
    padded += [[None] * 6] * 5
    made.files["F08.csv"] = text_table(padded)
    made.used(
        "F08a", "F08.csv", "Empty columns and rows at the edges are dropped and counted.",
        marks=marks(expect(PLAIN)), used=8, blank=5,
    )  # fmt: skip
    made.files["F08.xlsx"] = workbook({"Marks": sheet(HEADINGS, PLAIN)}, dress=_colour_below)
    made.used(
        "F08b", "F08.xlsx", "A thousand coloured empty rows are blank rows, not students.",
        marks=marks(expect(PLAIN)), used=8, blank=1000,
    )  # fmt: skip


def _colour_below(worksheet: Worksheet) -> None:
    """Colour a thousand empty rows below the data, three columns wide."""
    fill = PatternFill("solid", fgColor="FFF2CC")
    for row in range(10, 1010):
        for column in range(1, 4):
            worksheet.cell(row, column).fill = fill


def _titles(made: Messy) -> None:
    """F09: title lines above the header."""
    titles = [["Choir 3rd period"], ["Reading test, Fall"], [], ["ID", "Fall", "Spring"]]
    made.files["F09.csv"] = text_table([*titles, *sheet((), PLAIN)[1:]])
    expected = marks(expect(PLAIN))
    made.used(
        "F09a", "F09.csv", "The header is found below title lines; nobody said that they name the choir.",
        marks=expected, used=8, title=2, blank=1,
    )  # fmt: skip
    made.used(
        "F09b", "F09.csv", "Once declared, the first title line names the choir.", marks=expected, used=8,
        settings={"choir_from": "title"}, title=2, blank=1, choirs=["Choir 3rd period"],
    )  # fmt: skip


def _choir_sheets(made: Messy) -> None:
    """F12: one sheet per choir."""
    rows = sheet(HEADINGS, PLAIN)
    made.files["F12.xlsx"] = workbook({"Treble Blue": rows[:5], "Treble Gold": [rows[0], *rows[5:]]})
    made.used(
        "F12", "F12.xlsx", "With one sheet per choir, the sheet names the choir.",
        marks=marks(expect(PLAIN)), used=8, header=2, choirs=["Treble Blue", "Treble Gold"],
    )  # fmt: skip


def _choir_columns(made: Messy) -> None:
    """F13: one sheet per choir with columns in another order, and one column more."""
    rows = sheet(HEADINGS, PLAIN)
    other = [["Folder", "Post", "ID", "Pre"], *([at, row[2], row[0], row[1]] for at, row in enumerate(rows[5:], 31))]
    made.files["F13.xlsx"] = workbook({"Treble Blue": rows[:5], "Treble Gold": other})
    made.used(
        "F13", "F13.xlsx", "Columns are found by their headings, whatever their order on each sheet.",
        marks=marks(expect(PLAIN)), used=8, header=2, choirs=["Treble Blue", "Treble Gold"],
    )  # fmt: skip


def _totals(made: Messy) -> None:
    """F18: averages, spreads and counts below the students."""
    footer = [["Class avg", None, 9.5, 12.0], ["Mean", None, 9.5, 12.0], ["SD", None, 5.8, 4.7],
              ["n=24", None, None, None], [None, "Total", 76, 96]]  # fmt: skip
    made.files["F18.csv"] = text_table([*sheet(("ID", "Name", "Pre", "Post"), PLAIN, named=True), [], *footer])
    made.used(
        "F18", "F18.csv", "Class averages, spreads, counts and totals are no students.",
        marks=marks(expect(PLAIN)), used=8, blank=1, total=5,
    )  # fmt: skip


def _repeated_headings(made: Messy) -> None:
    """F20: the header again on every printed page, with an empty row above it."""
    rows = sheet(HEADINGS, PLAIN)
    made.files["F20.csv"] = text_table([*rows[:4], [None] * 3, rows[0], *rows[4:7], [None] * 3, rows[0], *rows[7:]])
    made.used(
        "F20", "F20.csv", "Headings repeated for each printed page are headings, not students.",
        marks=marks(expect(PLAIN)), used=8, header=3, blank=2,
    )  # fmt: skip


def _unreadable(made: Messy) -> None:
    """F25: locked, damaged, and no spreadsheet at all."""
    locked = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504)
    locked += "EncryptedPackage".encode("utf-16-le") + bytes(480)
    made.files["locked.xlsx"] = locked
    whole = workbook({"Marks": sheet(HEADINGS, PLAIN)})
    made.files["broken.xlsx"] = whole[: len(whole) // 2]
    made.files["not_a_sheet.pdf"] = b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<< >>\nendobj\ntrailer\n<< >>\n%%EOF\n"
    made.refused("F25a", "locked.xlsx", "A workbook behind a password is refused, saying so.", why="file_locked")
    made.refused("F25b", "broken.xlsx", "A workbook cut off in the middle is refused, saying so.", why="file_broken")
    made.refused("F25c", "not_a_sheet.pdf", "A printed page is no spreadsheet.", why="file_kind")


def _nothing_there(made: Messy) -> None:
    """F26: files without any student."""
    made.files["empty.csv"] = b""
    made.files["F26_empty.csv"] = b"\r\n\r\n"
    made.files["F26_header.csv"] = text_table([HEADINGS])
    made.refused("F26a", "F26_empty.csv", "A file of line ends is empty.", why="file_empty")
    made.refused("F26b", "F26_header.csv", "A header with nothing below it holds no students.", why="no_data")
    made.refused("F26c", "empty.csv", "A file without a byte is empty.", why="file_empty")


PLATFORM = ("Student", "ID", "Class", "Reading task 1", "Reading task 2", "Attendance", "Running total (calculated)")


def _platform(made: Messy) -> None:
    """F27: an export with a row of most points, calculated columns and a test account."""
    rows: list[Sequence] = [PLATFORM, ["    Points possible", None, None, 20, 24, 5, "(read only)"]]
    rows += [[name, student, "Period 3", pre, post, 5, f"{pre + post}"]
             for (student, name), (pre, post) in zip(STUDENTS.items(), PLAIN, strict=False)]  # fmt: skip
    rows += [["Student, Test", None, "Period 3", 20, 20, None, "40"]]
    made.files["F27.csv"] = text_table(rows)
    columns = [{"column": "Reading task 1", "occasion": "pre"}, {"column": "Reading task 2", "occasion": "post"}]
    made.used(
        "F27", "F27.csv", "Most points come from their row, the test account is set aside, other columns stay unread.",
        settings={"student": "ID", "name": ["Student"], "choir": "Class", "marks": columns},
        marks=marks(expect(((pre, 20), (post, 24)) for pre, post in PLAIN)), used=8, total=1, choirs=["Period 3"],
        set_aside=[(11, "", "test_student")],
    )  # fmt: skip


def _same_headings(made: Messy) -> None:
    """F28: two columns with one heading."""
    made.files["F28.csv"] = text_table(
        [("ID", "Score", "Score"), *((i, *row) for i, row in zip(IDS, PLAIN, strict=False))]
    )
    made.refused("F28", "F28.csv", "Two columns of one name are refused, never numbered.", why="column_twice", row=1)
