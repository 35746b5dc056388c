"""Messy fixtures about persons across files: near names, two choirs, moves, personal data, grades (F35 to F52)."""

from __future__ import annotations

from datetime import datetime

from messy_files import IDS, STUDENTS, Messy, sheet
from messy_layout import PLAIN
from messy_odd_marks import told
from workbook import text_table, workbook

NAMES = tuple(STUDENTS.values())
CHANGED = "name replaced by a random study id"
PRIVATE = "column of personal data left out"


def roster_fixtures() -> Messy:
    """Make the fixtures about persons across files."""
    made = Messy()
    for part in (_near_names, _one_name_twice, _new_name, _personal, _two_choirs, _transfer, _moved_school, _grades,
                 _voices):  # fmt: skip
        part(made)
    return made


def _near_names(made: Messy) -> None:
    """F35: a name that is spelt another way the second time."""
    rows = [("ID", "Name", "Term", "Score")]
    rows += [(i, name, "Fall", marks[0]) for i, name, marks in zip(IDS[:6], NAMES, PLAIN, strict=False)]
    later = [*NAMES[:4], "Foxglove, Braam", NAMES[5]]
    rows += [(None, name, "Spring", marks[1]) for name, marks in zip(later, PLAIN, strict=False)]
    made.files["F35.csv"] = text_table(rows)
    after = [marks[1] for marks in PLAIN[:6]]
    named = [(CHANGED, 12), ("occasion renamed", 12)]
    made.study(
        "F35a", "A name that is nearly another student's is set aside with the place of that one, never matched.",
        sources={"scores": [{"file": "F35.csv"}]}, used=11, set_aside=[(12, "", "unmatched_student")],
        changes=[*named, ("row without an id matched by name", 5)],
        tables={"scores": _fall_and_spring([marks[0] for marks in PLAIN[:6]], [*after[:4], None, after[5]])},
    )  # fmt: skip
    made.study(
        "F35b", "The alias file decides that the two names are one student.", used=12,
        sources={"scores": [{"file": "F35.csv"}]}, rules={"aliases": {"student": {"Foxglove, Braam": "V3GL"}}},
        changes=[*named, ("row without an id matched by name", 5), ("student named as the alias file says", 1)],
        tables={"scores": _fall_and_spring([marks[0] for marks in PLAIN[:6]], after)},
    )  # fmt: skip
    only = [("Name", "Term", "Score"), *(row[1:] for row in rows[1:])]
    made.files["F35_names.csv"] = text_table(only)
    made.study(
        "F35c", "Without ids, a name that is nearly one of the first test is set aside too.", used=11,
        sources={"scores": [{"file": "F35_names.csv"}]}, set_aside=[(12, "", "unmatched_student")], changes=named,
        tables={"scores": [
            {"occasion": "pre", "points": float(marks[0])} for marks in PLAIN[:6]
        ] + [{"occasion": "post", "points": float(mark)} for at, mark in enumerate(after) if at != 4]},
    )  # fmt: skip


def _fall_and_spring(fall: list, spring: list) -> list[dict]:
    """List marks of a long file, the fall before the spring."""
    return [
        *told([(mark,) for mark in fall], columns=({"occasion": "pre"},)),
        *told([(mark,) for mark in spring], columns=({"occasion": "post"},)),
    ]


def _one_name_twice(made: Messy) -> None:
    """F36: two students of one name in one choir."""
    people = [("Nettlebed, Pim", 7), ("Saltmarsh, Ivo", 7), ("Foxglove, Bram", 8), ("Saltmarsh, Ivo", 8)]
    made.files["F36.csv"] = text_table([("Name", "Choir", "Grade"), *((n, "Treble Blue", g) for n, g in people)])
    made.study(
        "F36a", "Two rows of one name in one choir that say different things are refused: they may be two students.",
        sources={"rosters": [{"file": "F36.csv"}]}, refused=[("name_twice", 5)],
    )  # fmt: skip
    ids = [(i, n, "Treble Blue", g) for i, (n, g) in zip(IDS, people, strict=False)]
    made.files["F36_ids.csv"] = text_table([("ID", "Name", "Choir", "Grade"), *ids])
    made.study(
        "F36b", "With ids, two students may have one name.", sources={"rosters": [{"file": "F36_ids.csv"}]}, used=4,
        tables={"students": [{"student": i, "grade": str(g)} for i, _, _, g in ids]}, changes=[(CHANGED, 4)],
    )  # fmt: skip
    made.files["F36_marks.csv"] = text_table(
        [("Name", "Pre", "Post"), *((n, *marks) for (n, _), marks in zip(people, PLAIN, strict=False))]
    )
    made.study(
        "F36c", "Two rows of marks under one name are refused too.",
        sources={"scores": [{"file": "F36_marks.csv"}]}, refused=[("name_twice", 5)],
    )  # fmt: skip


def _new_name(made: Messy) -> None:
    """F37: a student whose name changed in the middle of the year."""
    before, after = list(NAMES[:4]), [*NAMES[:3], "Marrowfat, Tansy"]
    rows = [(n, "Fall", marks[0]) for n, marks in zip(before, PLAIN, strict=False)]
    rows += [(n, "Spring", marks[1]) for n, marks in zip(after, PLAIN, strict=False)]
    made.files["F37.csv"] = text_table([("Name", "Term", "Score"), *rows])
    scores = [{"occasion": {"Fall": "pre"}.get(term, "post"), "points": float(mark)} for _, term, mark in rows]
    made.study(
        "F37", "The alias file joins two names of one student.", sources={"scores": [{"file": "F37.csv"}]}, used=8,
        rules={"aliases": {"student": {"Marrowfat, Tansy": "Quillfeather, Tansy"}}}, tables={"scores": scores},
        changes=[(CHANGED, 8), ("occasion renamed", 8), ("student named as the alias file says", 1)],
    )  # fmt: skip


def _personal(made: Messy) -> None:
    """F39: columns of e-mail addresses and birth dates."""
    rows = [(name, f"s{at}@school.example", f"2012-0{at + 1}-11", f"p{at}@home.example", *marks)
            for at, (name, marks) in enumerate(zip(NAMES, PLAIN[:6], strict=False))]  # fmt: skip
    made.files["F39.csv"] = text_table(sheet(("ID", "Name", "E-mail", "DOB", "Contact", "Pre", "Post"), rows))
    made.study(
        "F39", "E-mail addresses and birth dates are left out, and counted.", used=6,
        sources={"scores": [{"file": "F39.csv"}]}, tables={"scores": told(PLAIN[:6])},
        changes=[(CHANGED, 6), (PRIVATE, 3)],
    )  # fmt: skip


def _two_choirs(made: Messy) -> None:
    """F40: two students who sing in two choirs, with the same marks in both lists."""
    treble = [(i, *marks) for i, marks in zip(IDS[:5], PLAIN, strict=False)]
    chamber = [(i, *marks) for i, marks in zip(IDS[3:7], PLAIN[3:7], strict=True)]
    made.files["F40.xlsx"] = workbook(
        {
            "Treble": [("ID", "Pre", "Post"), *treble],
            "Chamber": [("ID", "Pre", "Post"), *chamber],
        }
    )
    for letter, primary, says in (
        ("a", "Treble", "Of the same marks in two choirs the first listed count."),
        ("b", "Chamber", "The study file says which choir counts."),
    ):
        ids = [*IDS[:5], *IDS[5:7]] if primary == "Treble" else [*IDS[:3], *IDS[3:7]]
        choirs = ["Treble"] * 5 + ["Chamber"] * 2 if primary == "Treble" else ["Treble"] * 3 + ["Chamber"] * 4
        choir_of = dict(zip(ids, choirs, strict=True))
        rows = told(PLAIN[:7], ids=ids)
        made.study(
            f"F40{letter}", says, sources={"scores": [{"file": "F40.xlsx"}]}, used=7, header=2,
            rules={} if letter == "a" else {"primary_choir": ["Chamber"]},
            tables={"scores": [row | {"choir": choir_of[row["student"]]} for row in rows]},
            set_aside=[(2, "", "second_choir"), (3, "", "second_choir")] if letter == "a" else
            [(5, "", "second_choir"), (6, "", "second_choir")],
            changes=[("choir taken from the name of the sheet", 2)],
        )  # fmt: skip


def _transfer(made: Messy) -> None:
    """F41: a student who went to another choir between the tests."""
    rows = [(i, "Treble", "Fall", marks[0]) for i, marks in zip(IDS[:4], PLAIN, strict=False)]
    rows += [(i, "Mixed" if i == IDS[1] else "Treble", "Spring", marks[1])
             for i, marks in zip(IDS[:4], PLAIN, strict=False)]  # fmt: skip
    made.files["F41.csv"] = text_table([("ID", "Choir", "Term", "Score"), *rows])
    made.study(
        "F41", "A student who moved to another choir stays with the first one, and is counted.", used=8,
        sources={"scores": [{"file": "F41.csv"}]},
        tables={"students": [{"student": i, "choir": "Treble"} for i in IDS[:4]],
                "scores": _fall_and_spring([m[0] for m in PLAIN[:4]], [m[1] for m in PLAIN[:4]])},
        changes=[("occasion renamed", 8), ("student moved to another choir, the first one counts", 1)],
    )  # fmt: skip


def _moved_school(made: Messy) -> None:
    """F42: students who moved to another school between the tests, and one who only changed choirs."""
    roster = [(i, "Treble", "Hobnail Lane", "") for i in IDS[:5]] + [(IDS[5], "Mixed", "Hobnail Lane", "")]
    roster[1] = (IDS[1], "Treble", "Hobnail Lane", "Thimble Hill")
    roster[2] = (IDS[2], "Treble", "Hobnail Lane", "Mixed")
    made.files["F42_roster.csv"] = text_table(
        [("ID", "Choir", "School", "Moved to"), *roster, (IDS[3], "Tenors", "Ninepin Row", "")]
    )
    made.files["F42.csv"] = text_table(sheet(("ID", "Pre", "Post"), PLAIN[:6]))
    rows = [list(marks) for marks in PLAIN[:6]]
    rows[1][1] = rows[3][1] = "left"
    made.study(
        "F42", "Who moved to another school has no second mark; who only changed choirs keeps it.",
        sources={"rosters": [{"file": "F42_roster.csv"}], "scores": [{"file": "F42.csv"}]}, used=12,
        tables={"scores": told(rows)},
        set_aside=[(3, "Post", "moved_school"), (5, "Post", "moved_school"), (8, "", "moved_school")],
    )  # fmt: skip


def _grades(made: Messy) -> None:
    """F51: grades in several spellings, one of them split and one turned into a date."""
    found = ("9th", "Yr 9", "Fr", 9, "9/10", "Senior", datetime(2025, 9, 10), "Kindergarten", "Grade 7", "mixed")
    read = ("9", "9", "9", "9", "", "12", "", "K", "7", "mixed")
    made.files["F51.xlsx"] = workbook({"Choir list": [("ID", "Grade"), *zip(IDS, found, strict=False)]})
    made.study(
        "F51", "Grades are numbers; a cell that names two is left out.", sources={"rosters": [{"file": "F51.xlsx"}]},
        used=10, tables={"students": [{"student": i, "grade": grade} for i, grade in zip(IDS, read, strict=False)]},
        set_aside=[(6, "Grade", "grade_split"), (8, "Grade", "grade_split")],
        changes=[("grade written as a number", 6)],
    )  # fmt: skip


def _voices(made: Messy) -> None:
    """F52: voice parts in several spellings."""
    found = ("S1", "Sop", "A/T", "cambiata", "changing", "Bari", "tenor II", "Treble 2", "kazoo", "", "Altos")
    read = ("Soprano 1", "Soprano", "Alto or tenor", "Cambiata", "Changing", "Baritone", "Tenor 2", "Treble 2", "", "",
            "Alto")  # fmt: skip
    made.files["F52.csv"] = text_table([("ID", "Voice part"), *zip(IDS, found, strict=False)])
    made.study(
        "F52", "Voice parts are written in full; a word that is none is left out and is no error.", used=11,
        sources={"rosters": [{"file": "F52.csv"}]},
        tables={"students": [{"student": i, "voice_part": voice} for i, voice in zip(IDS, read, strict=False)]},
        set_aside=[(10, "Voice part", "unknown_code")], changes=[("voice part written in full", 8)],
    )  # fmt: skip
