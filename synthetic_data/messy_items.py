"""Messy fixtures about marks of single notes: strings, keys of another length, tests left out, signs (F80 to F101)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from messy_files import IDS, Messy
from openpyxl.worksheet.worksheet import Worksheet
from workbook import text_table, workbook

MELODY = ("do", "re", "mi", "so", "fa", "do")
"""One melody of six notes; the tags that its key gives follow."""
TAGS = ((1, ""), (2, "step"), (3, "step"), (5, "triad_skip"), (4, "step"), (1, "other_skip"))
SYSTEM = {"syllables": {"all": {"system": "movable_i_up_e_down"}}}
KEY = ("item_key.csv", 6, 5)
"""File of the key of that melody, its notes, and how many approaches its notes tell."""
SIGNS = "sign or word read as"


def item_fixtures() -> Messy:
    """Make the fixtures about single notes."""
    made = Messy()
    made.files["item_key.csv"] = text_table(
        [("Form", "Melody", "Note", "Degree"), *(("A", 1, at, name) for at, name in enumerate(MELODY, 1))]
    )
    for part in (_strings, _ticks, _eaten, _numbers, _counts, _no_count, _longer_key, _melody_left_out, _signs):
        part(made)
    return made


def notes_of(student: str, marks: str, *, melody: str = "1", form: str = "A", **more: object) -> list[dict]:
    """Expect the notes of one student: 1 right, 0 wrong, a point for no mark, a space for a note without a row."""
    return [
        {"student": student, "form": form, "melody": melody, "item": at, "degree": degree, "approached_by": approach,
         "right": {"1": True, "0": False, ".": None}[mark],
         "missing_reason": "unspecified" if mark == "." else ""} | more
        for at, (mark, (degree, approach)) in enumerate(zip(marks, TAGS, strict=False), 1)
        if mark != " "
    ]  # fmt: skip


def _study(
    made: Messy, fixture: str, says: str, source: Mapping, *, key: tuple[str, int, int] = KEY, used: int = 0,
    items: Sequence[dict] = (), **expected: Sequence[tuple],
) -> None:  # fmt: skip
    """Expect what comes of a file of marks and its key: the key's file, its rows, and the approaches that it tells."""
    file, rows, told = key
    changes = [("approach told by the notes of the key", told)] if told else []
    made.study(
        fixture, says, rules=SYSTEM, sources={"keys": [{"file": file}], "items": [dict(source)]}, used=used + rows,
        tables={} if "refused" in expected else {"items": list(items)},
        **(expected | {"changes": [*changes, *expected.get("changes", ())]}),
    )  # fmt: skip


def _column(cells: Sequence, heading: str = "Notes") -> list[tuple]:
    """Put ids before one column."""
    return [("ID", heading), *zip(IDS, cells, strict=False)]


def _strings(made: Messy) -> None:
    """F80: a string of digits for each student."""
    cells = ("110111", "1 1 0 . 1 1", "011011", "1,1,0,1,1,1", "101 110", "abs", "")
    made.files["F80.csv"] = text_table(_column(cells))
    items = [*notes_of(IDS[0], "110111"), *notes_of(IDS[1], "110.11"), *notes_of(IDS[2], "011011"),
             *notes_of(IDS[3], "110111"), *notes_of(IDS[4], "101110"),
             *notes_of(IDS[5], "......", missing_reason="absent"), *notes_of(IDS[6], "......")]  # fmt: skip
    _study(
        made, "F80a", "A string of marks has one sign for each note of the key, with or without separators.",
        {"file": "F80.csv", "form_is": "A"}, used=7, items=items,
        changes=[("word read as no mark, absent", 1), ("word read as no mark, no reason given", 1)],
    )  # fmt: skip


def _ticks(made: Messy) -> None:
    """F80: strings of ticks and crosses."""
    made.files["F80_ticks.csv"] = text_table(_column(("✓✓x✓✓x", "✓ ✓ ✓ x ✓ ✓", "XX✓✓✓✓")))
    items = [*notes_of(IDS[0], "110110"), *notes_of(IDS[1], "111011"), *notes_of(IDS[2], "001111")]
    _study(
        made, "F80b", "Beside ticks and nothing else, a cross is wrong.", {"file": "F80_ticks.csv"}, used=3,
        items=items, changes=[(f"{SIGNS} right", 13), (f"{SIGNS} wrong", 5)],
    )  # fmt: skip


def _eaten(made: Messy) -> None:
    """F80: a text file in which 011011 has become 11011."""
    made.files["F80_eaten.csv"] = text_table(_column(("110111", "11011", "101110", "111")))
    _study(
        made, "F80c", "A row of digits that is too short may have lost zeros, and the file is refused.",
        {"file": "F80_eaten.csv"}, refused=[("zeros_eaten", 3)],
    )  # fmt: skip


def _numbers(made: Messy) -> None:
    """F80: workbooks whose marks have become numbers."""
    whole = _column((110111, 101110, 111111))
    made.files["F80_numbers.xlsx"] = workbook({"Notes": whole})
    made.files["F80_eaten.xlsx"] = workbook({"Notes": [*whole, (IDS[3], 11011)]})
    long = _column(("110110110110110110110110", 110110110110110110110110.0))
    made.files["F80_long.xlsx"] = workbook({"Notes": long}, dress=_as_whole)
    items = [*notes_of(IDS[0], "110111"), *notes_of(IDS[1], "101110"), *notes_of(IDS[2], "111111")]
    _study(
        made, "F80d", "A number with as many digits as the key has notes has lost none.",
        {"file": "F80_numbers.xlsx"}, used=3, items=items,
    )  # fmt: skip
    _study(
        made, "F80e", "A number with fewer digits has lost zeros, and the file is refused.",
        {"file": "F80_eaten.xlsx"}, refused=[("zeros_eaten", 5)],
    )  # fmt: skip
    made.study(
        "F80f", "A number of 24 digits has lost its last ones, and the file is refused.",
        sources={"items": [{"file": "F80_long.xlsx", "item_count": 24}]}, refused=[("digits_lost", 3)],
    )  # fmt: skip


def _as_whole(worksheet: Worksheet) -> None:
    """Show numbers with all their digits."""
    for (cell,) in worksheet.iter_rows(min_row=2, min_col=2):
        cell.number_format = "0"


def _counts(made: Messy) -> None:
    """F80: strings that are too long or too short, and could not have lost a zero."""
    made.files["F80_counts.csv"] = text_table(_column(("110111", "01101", "1101111", "1 1 0 1 1")))
    _study(
        made, "F80g", "A row with more or fewer marks than the key has notes is set aside.",
        {"file": "F80_counts.csv"}, used=1, items=notes_of(IDS[0], "110111"),
        set_aside=[(row, "Notes", "item_count") for row in (3, 4, 5)],
    )  # fmt: skip


def _no_count(made: Messy) -> None:
    """F80: strings without a key."""
    made.study(
        "F80h", "Without a key nothing tells how many notes there are.",
        sources={"items": [{"file": "F80_counts.csv"}]}, refused=[("item_count", 1)],
    )  # fmt: skip
    plain = [note | {"degree": None, "approached_by": "", "form": ""} for note in notes_of(IDS[0], "110111")]
    made.study(
        "F80i", "The number of notes can be declared instead.",
        sources={"items": [{"file": "F80_counts.csv", "item_count": 6}]}, used=1, tables={"items": plain},
        set_aside=[(row, "Notes", "item_count") for row in (3, 4, 5)],
    )  # fmt: skip


def _longer_key(made: Messy) -> None:
    """F81: a column for each note, and a form that has more notes than there are columns."""
    rows = [("Form", "Melody", "Note", "Degree", "Approach")]
    rows += [("A", 1, at, name, "") for at, name in enumerate(MELODY[:4], 1)]
    rows += [("B", 1, at, name, "") for at, name in enumerate(MELODY, 1)]
    made.files["F81_key.csv"] = text_table(rows)
    marks = [("ID", "Form", "n1", "n2", "n3", "n4"), (IDS[0], "A", 1, 1, 0, 1), (IDS[1], "B", 1, 1, 0, 1),
             (IDS[2], "a", 1, "", 0, 0), (IDS[3], "C", 1, 1, 1, 1), (IDS[4], "", 1, 1, 1, 1)]  # fmt: skip
    made.files["F81.csv"] = text_table(marks)
    _study(
        made, "F81", "A student whose form has more notes than there are marks is set aside; so is an unknown form.",
        {"file": "F81.csv"}, key=("F81_key.csv", 10, 0), used=2,
        items=[*notes_of(IDS[0], "1101", approached_by=""), *notes_of(IDS[2], "1.00", approached_by="")],
        set_aside=[(3, "", "item_count"), (5, "Form", "unknown_item"), (6, "Form", "unknown_item")],
    )  # fmt: skip


def _melody_left_out(made: Messy) -> None:
    """F82: a student who sang two melodies of three."""
    key = [("Melody", "Note", "Degree"), *((m, at, MELODY[at - 1]) for m in (1, 2, 3) for at in (1, 2))]
    made.files["F82_key.csv"] = text_table(key)
    rows = [("ID", "Melody", "Notes"), (IDS[0], 1, "11"), (IDS[0], 2, "10"), (IDS[0], 3, "01"), (IDS[1], 1, "11"),
            (IDS[1], 2, "11"), (IDS[1], 4, "11")]  # fmt: skip
    made.files["F82.csv"] = text_table(rows)
    marks = [(IDS[0], "1", "11"), (IDS[0], "2", "10"), (IDS[0], "3", "01"), (IDS[1], "1", "11"), (IDS[1], "2", "11")]
    items = [note for student, melody, mark in marks for note in notes_of(student, mark, melody=melody, form="")]
    _study(
        made, "F82", "The notes of the melodies that were sung are used; a melody that the key does not have is not.",
        {"file": "F82.csv"}, key=("F82_key.csv", 6, 3), used=5, items=items,
        set_aside=[(7, "Melody", "unknown_item")],
    )  # fmt: skip


def _signs(made: Messy) -> None:
    """F101: signs that mean right to one teacher and wrong to another."""
    rows = [("ID", "Note", "Right"), *((IDS[0], at, sign) for at, sign in enumerate("✔xX/o1", 1))]
    made.files["F101_notes.csv"] = text_table(rows)
    _study(
        made, "F101i", "A cross, a stroke and a circle can mean right or wrong, and are set aside.",
        {"file": "F101_notes.csv"}, used=2, items=notes_of(IDS[0], "1    1"), changes=[(f"{SIGNS} right", 1)],
        set_aside=[(row, "Right", "right_unclear") for row in (3, 4, 5, 6)],
    )  # fmt: skip
    _study(
        made, "F101j", "Declared, each sign means what the teacher says.",
        {"file": "F101_notes.csv", "right_words": {"x": "wrong", "/": "right", "o": "wrong"}}, used=6,
        items=notes_of(IDS[0], "100101"), changes=[(f"{SIGNS} right", 2), (f"{SIGNS} wrong", 3)],
    )  # fmt: skip
