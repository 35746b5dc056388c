"""Rosters: who is listed, once each, and what is said of them."""

from kit.load.declared import RosterSource, Rules
from kit.load.files import load_files


def load(folder, *lines, **rules):
    """Load the lines of a roster."""
    (folder / "roster.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [RosterSource(file="roster.csv")], rules=Rules(**rules))


def test_two_rows_of_one_name_may_be_two_students(tmp_path):
    """Without ids, rows of one name in one choir that differ are refused; rows that do not differ are one student's."""
    lines = ("Name,Choir,Grade", "Pim Nettlebed,Treble,7", "Pim Nettlebed,Treble,8")
    assert [str(problem) for problem in load(tmp_path, *lines).problems] == [
        "roster.csv, row 3: Row 2 has the same name in the same choir and says something else. "
        "Give the students ids: two students may have one name."
    ]
    again = load(tmp_path, *lines[:2], "PIM  NETTLEBED,Treble,7")
    assert not again.problems
    assert again.set_aside.found.tolist() == ["The student is listed twice."]


def test_the_choir_that_counts(tmp_path):
    """A student of two choirs is listed with the first, or with the one that the study file names."""
    lines = ("ID,Choir", "S1,Treble", "S1,Chamber", "S2,Treble")
    first, declared = load(tmp_path, *lines), load(tmp_path, *lines, primary_choir=("Chamber",))
    assert first.students.choir.tolist() == ["Treble", "Treble"]
    assert sorted(declared.students.choir) == ["Chamber", "Treble"]
    assert declared.set_aside.what_to_do.tolist() == [
        "Nothing: the other choir is named under primary_choir in study.toml."
    ]
    assert first.set_aside.what_to_do.tolist() == [
        "Put the row of the choir that should count first, or name it under primary_choir in study.toml."
    ]


def test_a_second_choir_is_remembered(tmp_path):
    """Beside the table stands who is listed in another choir too; rows listed twice, and other schools, do not count."""
    lines = ("ID,Choir,School", "S1,Treble,North", "S1,Chamber,North", "S1,Third,North", "S2,Treble,North",
             "S2,Treble,North", "S3,Treble,North", "S3,Chamber,South")  # fmt: skip
    found = load(tmp_path, *lines).students
    assert found.attrs["second_choirs"] == {found.student[0]: "Chamber"}
    assert "second_choirs" not in load(tmp_path, *lines[:2]).students.attrs


def test_grades_and_voice_parts_that_cannot_be_read(tmp_path):
    """The cell is set aside under its own heading with what to do, and the student stays."""
    loaded = load(tmp_path, "ID,Choir,Yr,Section", "S1,Treble,9/10,kazoo")
    assert loaded.set_aside[["column", "why", "what_to_do"]].to_numpy().tolist() == [
        ["Section", "unknown_code", "Write the voice part, such as Alto or Tenor 2; it is left empty until then."],
        ["Yr", "grade_split", "Write the one grade that the student is in; the grade is left empty until then."],
    ]
    assert loaded.students[["grade", "voice_part"]].to_numpy().tolist() == [["", ""]]


def test_two_words_of_the_alias_file_for_one_approach(tmp_path):
    """The alias file gives approaches other words, as the study file does."""
    aliases = {"approach": {"Ear": "ear-first", "by ear": "ear-first"}}
    loaded = load(tmp_path, "ID,Choir,Approach", "S1,Treble,ear", "S2,Treble,By Ear", aliases=aliases)
    assert loaded.students.approach.tolist() == ["ear-first", "ear-first"]


def test_schools_that_number_their_own_singers(tmp_path):
    """Many ids listed at two schools are asked about; a few moved, and a name may be that of two students."""
    rows = [f"{number},Treble,{school}" for school in ("Alder", "Birch") for number in (1, 2, 3)]
    assert [
        problem.found
        for problem in load(tmp_path, "ID,Choir,School", *rows, choir_of_several_schools="one_choir").problems
    ] == ["3 of 3 ids are listed at two schools."]
    moved = load(tmp_path, "ID,Choir,School", *rows[:5], choir_of_several_schools="one_choir")
    assert moved.problems == ()
    assert set(moved.set_aside["found"]) == {'The student is also listed at "Alder".'}
    named = load(tmp_path, "Name,Choir,School", "Pim Nettlebed,Treble,Alder", "Pim Nettlebed,Bass,Birch")
    assert named.set_aside[["found", "what_to_do"]].to_numpy().tolist() == [[
        'The name is also listed at "Alder".', "If these are two students of one name, give them ids. If it is one: "
        "Put the row of the school first where the student was tested first.",
    ]]  # fmt: skip
