"""Messy fixtures about persons: ids, names, absences, repeats, group labels (F31 to F46, F91)."""

from __future__ import annotations

from collections.abc import Sequence

from messy_files import IDS, Messy, expect, marks, sheet
from messy_layout import HEADINGS, PLAIN
from workbook import text_table

LONG = ("ID", "Name", "Term", "Score")


def people_fixtures() -> Messy:
    """Make the fixtures about persons and groups."""
    made = Messy()
    for part in (_zeros, _odd_ids, _names, _names_present, _one_test_only, _same_row, _tested_again, _labels):
        part(made)
    return made


def _with_ids(ids: Sequence[str]) -> list[list]:
    """Lay PLAIN out for other ids."""
    return [list(HEADINGS), *([student, *row] for student, row in zip(ids, PLAIN, strict=True))]


def _zeros(made: Messy) -> None:
    """F31: ids with and without their leading zeros."""
    found = ("00123", "00417", "1846", "20955", "388", "00029", "31702", "4410")
    whole = ("00123", "00417", "01846", "20955", "00388", "00029", "31702", "04410")
    made.files["F31.csv"] = text_table(_with_ids(found))
    made.refused(
        "F31a", "F31.csv", "Ids that lost zeros are refused until their width is declared.", why="id_width", row=4
    )
    made.used(
        "F31b", "F31.csv", "With the width declared, short ids are padded.", used=8,
        settings={"rules": {"id_width": 5}}, marks=marks(dict(zip(whole, PLAIN, strict=True))),
    )  # fmt: skip


def _odd_ids(made: Messy) -> None:
    """F32 and F33: ids that look like numbers, like nothing, or like yes."""
    numbers = ("12E3", "1E2", "7E1", "3E05", "12000", "100", "0E0", "5D2")
    words = ("NA", "NULL", "None", "TRUE", "FALSE", "nan", "N/A", "Inf")
    for fixture, ids, says in (
        ("F32", numbers, "Ids such as 12E3 are text and never become numbers."),
        ("F33", words, "Ids such as NA, NULL, None and TRUE are text and never become missing."),
    ):
        made.files[f"{fixture}.csv"] = text_table(_with_ids(ids))
        made.used(fixture, f"{fixture}.csv", says, marks=marks(dict(zip(ids, PLAIN, strict=True))), used=8)


def _names(made: Messy) -> None:
    """F34: one name written in several ways, and names that fit more than one student."""
    rows = [
        LONG, ("R4KT", "Nettlebed, Pim", "Fall", 11), ("B9WX", "Thistlewick, Odo", "Fall", 7),
        ("H2MZ", "Ivo Saltmarsh", "Fall", 15), ("Q7DN", "Saltmarsh, Ivo", "Fall", 9),
        ("V3GL", "Bram Foxglove", "Fall", 12),
        (None, "Pim  Nettlebed ", "Spring", 14), (None, "THISTLEWICK,  odo", "Spring", 12),
        (None, "Ivo Saltmarsh", "Spring", 15), (None, "B. Foxglove", "Spring", 11),
    ]  # fmt: skip
    made.files["F34.csv"] = text_table(rows)
    expected = {"R4KT": (11, 14), "B9WX": (7, 12), "H2MZ": (15, None), "Q7DN": (9, None), "V3GL": (12, None)}
    made.used(
        "F34", "F34.csv", "A name in another order finds its student; one that fits two, or is short, is set aside.",
        marks=marks(expected), used=7, set_aside=[(9, "", "unclear_student"), (10, "", "unclear_student")],
    )  # fmt: skip


def _names_present(made: Messy) -> None:
    """F38: a name column beside the id."""
    made.files["F38.csv"] = text_table(sheet(("ID", "Name", "Pre", "Post"), PLAIN, named=True))
    made.used(
        "F38", "F38.csv", "Names are replaced by study ids on loading and appear in no table.",
        marks=marks(expect(PLAIN)), used=8,
    )  # fmt: skip


def _one_test_only(made: Messy) -> None:
    """F43 and F44: students who came late or left early."""
    late = [*PLAIN[:6], (None, 10), (None, 16)]
    left = [*PLAIN[:6], (10, None), (16, "left")]
    made.files["F43.csv"] = text_table(sheet(HEADINGS, late))
    made.files["F44.csv"] = text_table(sheet(HEADINGS, left))
    made.used(
        "F43", "F43.csv", "A late joiner is kept, with no mark before.", used=8,
        marks=marks(expect([*PLAIN[:6], ("unspecified", 10), ("unspecified", 16)])),
    )  # fmt: skip
    made.used(
        "F44", "F44.csv", "A student who left is kept, with no mark after and the reason where one is given.", used=8,
        marks=marks(expect([*PLAIN[:6], (10, "unspecified"), (16, "left")])),
    )  # fmt: skip


def _same_row(made: Messy) -> None:
    """F45: one row twice."""
    rows = sheet(HEADINGS, PLAIN)
    made.files["F45.csv"] = text_table([*rows[:5], rows[2], *rows[5:]])
    made.used(
        "F45", "F45.csv", "The second of two rows that say the same is set aside.",
        marks=marks(expect(PLAIN)), used=8, set_aside=[(6, "", "same_row_twice")],
    )  # fmt: skip


def _tested_again(made: Messy) -> None:
    """F46: a student tested twice on one occasion."""
    rows = [("ID", "Term", "Score"), *((i, "Fall", row[0]) for i, row in zip(IDS[:6], PLAIN, strict=False))]
    rows += [(i, "Spring", row[1]) for i, row in zip(IDS[:6], PLAIN, strict=False)]
    made.files["F46.csv"] = text_table([*rows, (IDS[1], "Spring", 17), (IDS[2], "Spring", 13)])
    again = {"first": ((12,), (15,)), "best": ((17,), (15,)), "last": ((17,), (13,)), "mean": ((12, 17), (15, 13))}
    aside = {"first": (14, 15), "best": (9, 15), "last": (9, 10), "mean": ()}
    for letter, attempts in zip("abcd", again, strict=True):
        expected = marks(expect([(11, 14), (7, None), (15, None), *PLAIN[3:6]]))
        for student, counted in zip(IDS[1:3], again[attempts], strict=True):
            expected += [mark for points in counted for mark in marks({student: (points,)}, ("post",))]
        made.used(
            f"F46{letter}", "F46.csv", f"Of two marks of one occasion the rule decides: {attempts}.", marks=expected,
            settings={"rules": {"attempts": attempts}}, used=14 - len(aside[attempts]),
            set_aside=[(row, "Score", "second_attempt") for row in aside[attempts]],
        )  # fmt: skip


def _labels(made: Messy) -> None:
    """F91: one approach under several labels."""
    found = ("Ear", "ear ", "EAR-FIRST", "Page", "page", " PAGE", "Ear", "Page-first", "ear")
    choirs = ("Treble Blue", "Treble Blue", "Mixed", *("Treble Gold",) * 3, "Treble Blue", "Chamber", "Treble Blue")
    rows = zip(IDS, choirs, found, strict=False)
    made.files["F91.csv"] = text_table([("ID", "Choir", "Approach"), *rows])
    by_case = ("Ear", "Ear", "EAR-FIRST", "Page", "Page", "Page", "Ear", "Page-first", "Ear")
    by_alias = ["page-first" if label.startswith("Page") else "ear-first" for label in by_case]
    aliases = {"ear-first": ["ear"], "page-first": ["page"]}
    for fixture, labels, settings, says in (
        ("F91a", by_case, {}, "Labels that differ in case and spaces only are one; other words stay apart."),
        ("F91b", by_alias, {"rules": {"approaches": aliases}}, "Declared words for an approach are one."),
    ):
        students = [{"student": i, "choir": c, "approach": a} for i, c, a in zip(IDS, choirs, labels, strict=False)]
        made.roster(fixture, "F91.csv", says, students=students, settings=settings)
