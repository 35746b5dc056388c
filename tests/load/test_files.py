"""School files -> tables: layouts, people, attempts, and the law that no row is lost."""

from pathlib import Path

import openpyxl
import pandas as pd
import pyarrow as pa
import pyarrow.parquet
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared import MarkColumn, RosterSource, Rules, ScoreSource
from kit.load.declared_music import ItemSource
from kit.load.files import load_files
from kit.load.people.keys import Crosswalk


def load(folder: Path, text: str, *, name: str = "scores.csv", rules: Rules | None = None, **declared):
    """Write a file of marks and read it."""
    (folder / name).write_text(text, encoding="utf-8")
    return load_files(folder, [ScoreSource(file=name, **declared)], rules=rules)


def points(loaded) -> list[tuple]:
    """List the marks without the random ids: row, occasion, points, maximum, reason."""
    table = loaded.scores
    rows = zip(table.row, table.occasion, table.points, table.max_points, table.missing_reason, strict=True)
    return [(int(r), o, None if p != p else p, None if m != m else m, why) for r, o, p, m, why in rows]


def test_a_sheet_as_a_teacher_keeps_it(tmp_path):
    """Title lines, blank rows and the class average are counted; every student's row is used."""
    loaded = load(
        tmp_path,
        "Treble 2,,\nFall test,,\nID,Pre,Post\n00417,11/16,12/16\n00231,abs,9 of 16\n,,\nClass avg,11,10.5\nn=2,,\n",
    )
    assert loaded.problems == ()
    assert points(loaded) == [
        (4, "pre", 11, 16, ""), (4, "post", 12, 16, ""), (5, "pre", None, None, "absent"), (5, "post", 9, 16, "")
    ]  # fmt: skip
    ledger = loaded.ledger.iloc[0]
    assert (ledger.title, ledger.header, ledger.blank, ledger.total, ledger.used, ledger.set_aside) == (
        2,
        1,
        1,
        2,
        2,
        0,
    )


def test_long_layout_names_the_occasion_in_a_column(tmp_path):
    """One row for each test; an unknown occasion is set aside, never guessed."""
    loaded = load(
        tmp_path, "ID,Wave,Score\na1,Fall,11\na1,BOY,11\na2,Mid-June,9\na2,Pre,7\n",
        rules=Rules(occasions={"pre": ("Fall", "BOY")}),
    )  # fmt: skip
    assert points(loaded) == [(2, "pre", 11, None, ""), (5, "pre", 7, None, "")]
    assert list(loaded.set_aside.why) == ["same_row_twice", "unknown_occasion"] or list(loaded.set_aside.why) == [
        "second_attempt", "unknown_occasion",
    ]  # fmt: skip


def test_one_sheet_for_each_choir(tmp_path):
    """Columns are found by name on each sheet, and the choir is the sheet's name; a seating plan is left unread."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, header in (("Treble", ["ID", "Pre", "Post"]), ("Bass", ["Post", "ID", "Pre"])):
        sheet = book.create_sheet(name)
        sheet.append(header)
        sheet.append([{"ID": name[0] + "1", "Pre": 5, "Post": 7}[heading] for heading in header])
    book.create_sheet("Seating").append(["window", "door"])
    book.save(tmp_path / "scores.xlsx")
    loaded = load_files(tmp_path, [ScoreSource(file="scores.xlsx")])
    assert loaded.problems == ()
    assert [(c, o, p) for c, o, p in zip(loaded.scores.choir, loaded.scores.occasion, loaded.scores.points, strict=True)
            ] == [("Treble", "pre", 5), ("Treble", "post", 7), ("Bass", "post", 7), ("Bass", "pre", 5)]  # fmt: skip
    assert list(loaded.ledger.unread) == [0, 0, 1]


def test_parquet_and_declared_columns(tmp_path):
    """A Parquet table is read like a sheet whose first row holds the names; declared headings go before known ones."""
    table = pa.table({"who": ["x1", "x2"], "eins": [3.5, None], "zwei": [4.0, 6.0]})
    pyarrow.parquet.write_table(table, tmp_path / "scores.parquet")
    marks = (MarkColumn(column="eins", occasion="pre"), MarkColumn(column="zwei", occasion="post", max_points=8))
    loaded = load_files(tmp_path, [ScoreSource(file="scores.parquet", student="WHO", marks=marks)])
    assert points(loaded) == [
        (2, "pre", 3.5, None, ""), (2, "post", 4, 8, ""), (3, "pre", None, None, "unspecified"), (3, "post", 6, 8, "")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("attempts", "expected"), [("first", [5.0]), ("last", [9.0]), ("best", [9.0]), ("mean", [5.0, 9.0])]
)
def test_which_attempt_counts(tmp_path, attempts, expected):
    """Of two different marks of one test the declared one counts; the other is set aside, listed."""
    loaded = load(tmp_path, "ID,Pre,Post\na1,5,6\na1,9,6\n", rules=Rules(attempts=attempts))
    pre = loaded.scores[loaded.scores.occasion == "pre"]
    assert list(pre.points) == expected
    assert ("second_attempt" in set(loaded.set_aside.why)) == (attempts != "mean")


def test_the_same_row_twice_counts_once(tmp_path):
    """An identical row is set aside as such."""
    loaded = load(tmp_path, "ID,Pre,Post\na1,5,6\na2,1,2\na1,5,6\n")
    assert [(int(r), why) for r, why in zip(loaded.set_aside.row, loaded.set_aside.why, strict=True)] == [
        (4, "same_row_twice")
    ]


def test_rosters_and_scores_meet_in_one_person(tmp_path):
    """A student has one study id in both tables, and a name without an id finds its id."""
    (tmp_path / "roster.csv").write_text(
        "ID,Name,Choir,Group\n007,Lee Ann,T2,Ear\n008,Bo Ek,T2,ear \n", encoding="utf-8"
    )
    (tmp_path / "scores.csv").write_text('Name,Pre,Post\n"Ann, Lee",5,6\nBo  Ek,4,4\n', encoding="utf-8")
    loaded = load_files(tmp_path, [ScoreSource(file="scores.csv"), RosterSource(file="roster.csv")])
    assert set(loaded.scores.student) == set(loaded.students.student)
    assert list(loaded.students.approach) == ["Ear", "Ear"]


def test_a_name_that_fits_two_students_is_set_aside(tmp_path):
    """A. Lee may be Ann or Abe: the row waits for a person to decide."""
    loaded = load(tmp_path, "Name,Pre,Post\nAnn Lee,5,6\nAbe Lee,3,3\nA. Lee,4,4\n")
    assert list(loaded.set_aside.why) == ["unclear_student"]
    assert "lee" not in loaded.set_aside.to_csv().lower()


def test_ids_of_two_widths_are_refused_until_the_width_is_declared(tmp_path):
    """00123 and 123 are one student only when somebody says so."""
    text = "ID,Pre,Post\n00123,5,6\n123,4,4\n04567,1,1\n"
    refused = load(tmp_path, text)
    assert [str(problem) for problem in refused.problems] == [
        "scores.csv, row 3: Ids that begin with zeros: 2; shorter ones: 1. One student may have two ids, since a "
        "spreadsheet program drops leading zeros. If ids have 5 digits, write id_width = 5 in study.toml."
    ]
    declared = load(tmp_path, text, rules=Rules(id_width=5))
    assert declared.problems == ()
    assert declared.students.shape[0] == 2


def test_names_never_reach_a_table(tmp_path):
    """No table of the study holds a name or a school id."""
    loaded = load(tmp_path, "ID,Name,Pre,Post\n00417,Quillon Ferbrake,5,6\n00418,Quillon Ferbrake,x,6\n")
    tables = "".join(
        getattr(loaded, name).to_csv() for name in ("students", "scores", "set_aside", "ledger", "changes")
    )
    assert "Quillon" not in tables
    assert "quillon" not in tables
    assert "00417" not in tables
    assert "quillon ferbrake" in loaded.personal


def test_every_problem_of_every_file_is_told_at_once(tmp_path):
    """Three files with three faults give three problems, not the first."""
    (tmp_path / "a.csv").write_text("")
    (tmp_path / "b.csv").write_text("colour,shape\nred,round\n")
    loaded = load_files(tmp_path, [ScoreSource(file=name) for name in ("a.csv", "b.csv", "c.csv")])
    assert [str(problem) for problem in loaded.problems] == [
        "a.csv: The file is empty. Export it again from the spreadsheet program.",
        "c.csv: The file is not there. Check its name and folder.",
        "b.csv: No row holds headings that the kit knows; the first one that is not blank is row 1. "
        "Give the columns headings such as ID, Choir, Pre, Post, or name yours in study.toml.",
    ]


def test_study_ids_last_from_one_reading_to_the_next(tmp_path):
    """With a crosswalk the same student has the same study id again."""
    path = tmp_path / "private" / "crosswalk.csv"
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\na1,5,6\n")
    ids = [
        load_files(tmp_path, [ScoreSource(file="scores.csv")], crosswalk=Crosswalk.open(path)).students.student.tolist()
        for _ in range(2)
    ]
    assert ids[0] == ids[1]


CELL = st.one_of(
    st.sampled_from(
        ["", "-", "12", "17/20", "85%", "abs", "excused", "22/20", "17-20", "x", "=1+1", "1,5", "0.85", "99"]
    ),
    st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=8),
)


@settings(max_examples=60, deadline=None)
@given(
    rows=st.lists(
        st.tuples(st.sampled_from(["", "a1", "a2", "007", "7", "Total", "n=3", "ID"]), CELL, CELL), max_size=12
    ),
    title=st.booleans(),
)
def test_rows_in_are_rows_used_plus_rows_set_aside(tmp_path_factory, rows, title):
    """Whatever stands in the cells, every row is accounted for once."""
    folder = tmp_path_factory.mktemp("fuzz")
    lines = ([["My choir", "", ""]] if title else []) + [["ID", "Pre", "Post"], *map(list, rows)]
    pd.DataFrame(lines).to_csv(folder / "scores.csv", header=False, index=False)
    loaded = load_files(folder, [ScoreSource(file="scores.csv")])
    ledger = loaded.ledger.iloc[0]
    kinds = ledger[["unread", "title", "header", "blank", "total"]].sum()
    assert ledger.rows == kinds + ledger.data
    assert ledger.data == ledger.used + ledger.set_aside
    whole = loaded.set_aside.drop_duplicates("row").row.nunique()
    assert ledger.set_aside <= whole <= ledger.set_aside + ledger.cells_set_aside
    if not loaded.problems:
        used = set(loaded.scores.row)
        assert len(used) == ledger.used


def test_two_students_of_one_name_are_not_one_student_tested_twice(tmp_path):
    """Without ids, one name with two different marks is a question for a person."""
    loaded = load(tmp_path, 'Name,Pre,Post\nAnn Lee,5,6\nBo Ek,7,7\nLee Ann,3,4\n"Lee, Ann",9,4\n')
    assert [str(problem) for problem in loaded.problems] == [
        "scores.csv, row 5, column Pre: Row 2 has the same name and another mark. "
        "Give the students ids: two students may have one name."
    ]


def test_a_sheet_for_each_test_is_asked_about(tmp_path):
    """Sheets called Fall and Spring are tests, not choirs: the study file must say which student is which."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, mark in (("Fall", 5), ("Spring", 7)):
        sheet = book.create_sheet(name)
        sheet.append(["ID", "Score"])
        sheet.append(["a1", mark])
    book.save(tmp_path / "scores.xlsx")
    refused = load_files(tmp_path, [ScoreSource(file="scores.xlsx")])
    assert [problem.why for problem in refused.problems] == ["occasion_order", "occasion_order"]
    sources = [
        ScoreSource(file="scores.xlsx", sheets=(name,), marks=(MarkColumn(column="Score", occasion=occasion),))
        for name, occasion in (("Fall", "pre"), ("Spring", "post"))
    ]
    declared = load_files(tmp_path, sources)
    assert declared.problems == ()
    assert declared.scores.occasion.tolist() == ["pre", "post"]
    assert declared.students.shape[0] == 1
    assert declared.ledger[["sheet", "used", "unread"]].to_numpy().tolist() == [["Fall", 1, 0], ["Spring", 1, 0]]


def of_one_test(path, sheets):
    """Write a workbook with names and one column of marks on each sheet."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, marks in sheets.items():
        sheet = book.create_sheet(name)
        for row in (("Name", "Score"), *zip(("Ann Lee", "Bo Ek", "Cy Om"), marks, strict=True)):
            sheet.append(row)
    book.save(path)


def test_sheets_and_files_that_say_which_test_they_hold(tmp_path):
    """Pre and Post are tests, not choirs; so are files of such names; evidence says where the word was found."""
    of_one_test(tmp_path / "scores.xlsx", {"Pre": (5, 6, 7), "Post": (7, 8, 9)})
    loaded = load_files(tmp_path, [ScoreSource(file="scores.xlsx")])
    assert loaded.problems == ()
    assert loaded.scores.groupby("occasion")["points"].sum().to_dict() == {"pre": 18, "post": 24}
    assert set(loaded.scores["choir"]) == {""}
    assert loaded.suggestions[1].evidence[-1] == 'the name "Post" says post'
    for file, mark in (("pretest sept.csv", 5), ("posttest dec.csv", 9)):
        (tmp_path / file).write_text(f"Name,Score\nAnn Lee,{mark}\n")
    loaded = load_files(tmp_path, [ScoreSource(file="pretest sept.csv"), ScoreSource(file="posttest dec.csv")])
    assert loaded.scores[["occasion", "points"]].to_numpy().tolist() == [["pre", 5], ["post", 9]]


def test_sheets_of_several_tests_of_one_name_are_asked_about(tmp_path):
    """Fall pre and spring pre are not both the first test; choirs tested once are choirs."""
    of_one_test(tmp_path / "year.xlsx", {"Fall pre": (1, 2, 3), "Fall post": (4, 5, 6), "Spring pre": (4, 5, 6)})
    loaded = load_files(tmp_path, [ScoreSource(file="year.xlsx")])
    assert [problem.why for problem in loaded.problems] == ["occasion_order"] * 3
    assert [found.source.marks[0].occasion for found in loaded.suggestions] == ["fall pre", "fall post", "spring pre"]
    of_one_test(tmp_path / "year.xlsx", {"Treble pre": (1, 2, 3), "Treble post": (4, 5, 6)})
    assert len(load_files(tmp_path, [ScoreSource(file="year.xlsx")]).problems) == 2
    of_one_test(tmp_path / "year.xlsx", {"Treble post": (1, 2, 3), "Bass post": (1, 2, 3)})
    loaded = load_files(tmp_path, [ScoreSource(file="year.xlsx")])
    assert loaded.problems == ()
    assert set(loaded.scores["occasion"]) == {"post"}
    assert "Treble post" in set(loaded.scores["choir"])


def test_a_second_file_of_one_test_is_told_once(tmp_path):
    """Where most students have another mark in another file, that is another test, not many students of one name."""
    (tmp_path / "one.csv").write_text("Name,Score\nAnn Lee,5\nBo Ek,6\nCy Om,7\n")
    (tmp_path / "two.csv").write_text("Name,Score\nAnn Lee,7\nBo Ek,8\nDi Os,9\n")
    sources = [ScoreSource(file="one.csv"), ScoreSource(file="two.csv")]
    assert [str(problem) for problem in load_files(tmp_path, sources).problems] == [
        "two.csv, column Score: 2 of 3 students have another mark for this test (pre) in one.csv. "
        'If this is another test, write its occasion in study.toml, such as  occasion = "post".'
    ]
    (tmp_path / "two.csv").write_text("Name,Score\nAnn Lee,7\nDi Os,9\nEl Po,3\n")
    assert [str(problem) for problem in load_files(tmp_path, sources).problems] == [
        "two.csv, row 2, column Score: Row 2 of one.csv has the same name and another mark. "
        "Give the students ids: two students may have one name."
    ]


@pytest.mark.parametrize(
    ("headings", "occasions"),
    [("Sept Pre,Dec Post", ["pre", "post"]), ("Fall 2025,Spring 2026", ["pre", "post"]),
     ("Spring 2025,Fall 2025", ["pre", "post"]), ("Pre (Form A),Post (Form B)", ["pre", "post"]),
     ("Posttest (Dec.) /20,Pretest (Sept.) /20", ["post", "pre"]), ("Fall (Sept),Fall (Dec)", ["pre", "post"])],
)  # fmt: skip
def test_two_columns_of_one_test_have_one_measure(tmp_path, headings, occasions):
    """Months, years and forms tell the tests apart and name nothing that was marked."""
    loaded = load(tmp_path, f"ID,{headings}\na1,5,6\n")
    assert [(mark.measure, mark.occasion) for mark in loaded.suggestions[0].source.marks] == [
        ("total", occasion) for occasion in occasions
    ]
    assert loaded.problems == ()


@pytest.mark.parametrize(
    "headings",
    ["Fall Pre,Fall Post,Spring Pre,Spring Post", "Fall Test 1,Fall Test 2,Spring Test 1", "Pre 2024,Pre 2025",
     "Fall 2025,Winter 2026", "Pre,Post,Fall"],
)  # fmt: skip
def test_columns_whose_order_has_two_readings_are_asked_about(tmp_path, headings):
    """The file is refused, and the columns are proposed with the school's own words for their occasions."""
    loaded = load(tmp_path, f"ID,{headings}\na1,5,6,7,8\n")
    assert "occasion_order" in [problem.why for problem in loaded.problems]
    own = [mark.occasion for mark in loaded.suggestions[0].source.marks]
    assert own == [heading.casefold() for heading in headings.split(",")]


def test_measures_that_nobody_was_tested_in_twice_are_asked_about(tmp_path):
    """Pitch first and rhythm later may be one test of two names, or two tests."""
    loaded = load(tmp_path, "ID,Pitch Pre,Rhythm Post\na1,5,6\n")
    assert loaded.suggestions[0].decide == (
        'if "Pitch Pre", "Rhythm Post" are one test, write the same measure for each, such as measure = "total"',
    )
    assert load(tmp_path, "ID,Pitch Pre,Pitch Post,Rhythm Post\na1,5,6,7\n").suggestions[0].decide == ()


def test_forms_that_all_took_are_marked_apart(tmp_path):
    """Where each form has a column at both tests, each form is compared with itself."""
    loaded = load(tmp_path, "ID,Pre Form A,Pre Form B,Post Form A,Post Form B\na1,5,6,7,8\n")
    assert sorted(set(loaded.scores["measure"])) == ["form a", "form b"]
    headings = ",".join(
        f"{what} {when} Form {form}" for what in ("Pitch", "Rhythm") for when in ("Pre", "Post") for form in "AB"
    )
    loaded = load(tmp_path, f"ID,{headings}\na1,1,2,3,4,5,6,7,8\n")
    assert sorted(set(loaded.scores["measure"])) == ["pitch form a", "pitch form b", "rhythm form a", "rhythm form b"]


def test_rows_that_name_nobody_are_told_what_to_fill_in(tmp_path):
    """The id where there is a column for it, the name where there is one; else which column names the students."""
    for head, advice in (
        ("ID", "Fill in the id, or delete it."), ("Name", "Fill in the name, or delete it."),
        ("Hat", "No column is known to name the students: say in study.toml, with student or name, which one does."),
    ):  # fmt: skip
        loaded = load(tmp_path, f"{head},Pre,Post\n{'' if head != 'Hat' else 'x'},5,6\na1,5,6\n")
        assert loaded.set_aside["what_to_do"].iloc[0] == advice


def test_an_unquoted_comma_shifts_nothing(tmp_path):
    """A low mark typed as so, splits its row; the file is refused with every such row, and no score moves a column."""
    loaded = load(tmp_path, "ID,Pattern,Pre,Post\na1,so,,5,6\na2,mi,7,8\na3,so,,4,4\n")
    assert [(problem.why, problem.row) for problem in loaded.problems] == [("row_shape", 2), ("row_shape", 4)]
    assert str(loaded.problems[0]) == (
        "scores.csv, row 2: The row has 1 more field than the header. "
        'Put a field with a comma in it, such as the low mark in so, between quotation marks: "so,".'
    )


def test_a_file_in_which_no_mark_can_be_read(tmp_path):
    """Words instead of marks leave nothing to report, and that is a problem."""
    loaded = load(tmp_path, "ID,Pre,Post\na1,Beginning,Secure\na2,Developing,Secure\n")
    assert [str(problem) for problem in loaded.in_the_way] == [
        "No mark could be read. See what was set aside, and why."
    ]


def test_a_file_in_which_every_mark_is_missing(tmp_path):
    """Nobody has a mark, so there is nothing to report."""
    loaded = load(tmp_path, "ID,Pre,Post\na1,absent,\na2,abs,\n")
    assert [problem.why for problem in loaded.in_the_way] == ["no_data"]


def test_percents_and_points_in_one_column(tmp_path):
    """What settles it is the most points of the test, which the message names."""
    marks = "\n".join(f"a{at},{mark}" for at, mark in enumerate(("56%", "70%", "11", "12")))
    (problem,) = load(tmp_path, f"ID,Pre\n{marks}\n").problems
    assert problem.do.endswith("or the most points of the test beside the column in study.toml: max_points.")


def test_an_apostrophe_of_either_kind_is_one_name(tmp_path):
    """Word processors write it in another way."""
    (tmp_path / "one.csv").write_text("Name,Pre\nAnn O'Lee,5\nBo Ek,5\n", encoding="utf-8")
    (tmp_path / "two.csv").write_text("Name,Post\nAnn O\u2019Lee,7\nBo Ek,5\n", encoding="utf-8")
    loaded = load_files(tmp_path, [ScoreSource(file="one.csv"), ScoreSource(file="two.csv")])
    assert (len(loaded.students), len(loaded.set_aside)) == (2, 0)


def test_a_percent_sign_in_the_heading(tmp_path):
    """Under "Pre %" the number 56 is 56 of 100."""
    loaded = load(tmp_path, "ID,Pre %,Percent Post\na1,56,70\n")
    assert loaded.scores["share"].tolist() == [0.56, 0.70]


def test_marks_of_single_notes_alone_give_the_marks_of_the_tests(tmp_path):
    """Without a file of marks, notes right are counted; a test with a note unmarked has no total."""
    rows = ["student,occasion,melody,note,right"]
    rows += [f"a1,{when},1,{note},{right}" for when, marks in (("pre", "110"), ("post", "111"))
             for note, right in enumerate(marks, 1)]  # fmt: skip
    rows += ["a2,pre,1,1,1", "a2,pre,1,2,1", "a2,pre,1,3,"]
    (tmp_path / "items.csv").write_text("\n".join(rows) + "\n")
    scores = load_files(tmp_path, [ItemSource(file="items.csv")]).scores
    assert [(o, p if p == p else None, m) for o, p, m in zip(scores.occasion, scores.points, scores.max_points, strict=True)] == [
        ("pre", 2, 3), ("post", 3, 3), ("pre", None, 3)
    ]  # fmt: skip
    assert scores.missing_reason.tolist() == ["", "", "unspecified"]
