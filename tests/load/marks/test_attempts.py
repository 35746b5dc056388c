"""Several marks of one test: which counts, and what becomes of the others."""

import pytest

from kit.load.declared import Rules, ScoreSource
from kit.load.files import load_files


def load(folder, *lines, **rules):
    """Load lines of marks, everything recognised."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="marks.csv")], rules=Rules(**rules))


@pytest.mark.parametrize(("rule", "points", "attempt"), [("first", 9, 1), ("last", 11, 3), ("best", 12, 2)])
def test_columns_of_attempts_count_by_their_number(tmp_path, rule, points, attempt):
    """The number in the heading decides, not the order of the columns."""
    scores = load(tmp_path, "ID,Pre try 2,Pre try 1,3rd try Pre", "S1,12,9,11", attempts=rule).scores
    assert scores[["points", "attempt"]].to_numpy().tolist() == [[points, attempt]]


def test_all_attempts_stay_for_the_mean(tmp_path):
    """With the mean, every attempt keeps its number."""
    scores = load(tmp_path, "ID,Pre try 2,Pre try 1", "S1,12,9", attempts="mean").scores
    assert sorted(zip(scores.attempt, scores.points, strict=True)) == [(1, 9), (2, 12)]


def test_a_column_that_numbers_the_attempts(tmp_path):
    """In a long file the number beside the mark decides, not the order of the rows."""
    lines = ("ID,Term,Attempt,Score", "S1,Fall,2,12", "S1,Fall,1,9", "S2,Fall,1,7", "S2,Spring,1,8", "S1,Spring,1,10")
    scores = load(tmp_path, *lines).scores
    assert sorted(scores.points) == [7, 8, 9, 10]


def test_attempts_in_one_row_need_no_id(tmp_path):
    """Two tries in one row are one student's, also where the student has a name only."""
    assert not load(tmp_path, "Name,Pre try 1,Pre try 2", "Pim Nettlebed,9,12", "Ivo Saltmarsh,3,4").problems


def test_the_same_marks_in_two_choirs(tmp_path):
    """The choir that counts is the one listed first or the one declared."""
    lines = ("ID,Choir,Pre", "S1,Treble,9", "S1,Chamber,9", "S2,Treble,7")
    first, declared = load(tmp_path, *lines), load(tmp_path, *lines, primary_choir=("chamber",))
    assert first.scores.choir.tolist() == ["Treble", "Treble"]
    assert sorted(declared.scores.choir) == ["Chamber", "Treble"]
    assert declared.set_aside.what_to_do.tolist() == [
        "Nothing: the other choir is named under primary_choir in study.toml."
    ]
    (aside,) = first.set_aside.itertuples()
    assert (aside.row, aside.why) == (3, "second_choir")
    assert aside.found == 'The student has the same marks in "Treble".'
    assert aside.what_to_do == "Name the choir that counts under primary_choir in study.toml if it is this one."


def ids(folder, **rules):
    """Load two files in which the same ids have marks of the same test, and one id of its own each."""
    for file, marks in (("alder.csv", (5, 6, 7, 8)), ("birch.csv", (9, 10, 11, 12))):
        own = "4" if file == "alder.csv" else "5"
        lines = ["ID,Pre", *(f"{number},{mark}" for number, mark in zip(("1", "2", "3", own), marks, strict=True))]
        (folder / file).write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="alder.csv"), ScoreSource(file="birch.csv")], rules=Rules(**rules))


def test_schools_that_number_their_own_singers(tmp_path):
    """Many ids with two marks of one test are no second attempts, unless a rule for those is declared."""
    assert [str(problem) for problem in ids(tmp_path).problems] == [
        "birch.csv, row 2, column Pre: 3 of 4 ids stand in alder.csv too, with other marks of the same test. If each "
        "school numbers its own singers, write the school before the id in all files, such as B-1. If they are tries "
        'of one student, say which mark counts: attempts = "first", "last", "best" or "mean".'
    ]
    assert ids(tmp_path, attempts="first").problems == ()


def test_few_ids_with_two_marks_are_second_attempts(tmp_path):
    """Two students tested again in a second file are no reason to ask."""
    (tmp_path / "one.csv").write_text("ID,Pre\n1,5\n2,6\n3,7\n")
    (tmp_path / "two.csv").write_text("ID,Pre\n1,8\n2,9\n")
    loaded = load_files(tmp_path, [ScoreSource(file="one.csv"), ScoreSource(file="two.csv")])
    assert loaded.problems == ()
    assert loaded.scores["points"].tolist() == [5, 6, 7]


def test_choirs_of_one_file_that_number_their_own_singers(tmp_path):
    """The same question where one file has the marks of several choirs."""
    rows = [f"{number},{choir},{mark}" for choir, mark in (("Treble", 5), ("Bass", 7)) for number in (1, 2, 3)]
    assert load(tmp_path, "ID,Choir,Pre", *rows).problems[0].found == (
        "3 of 6 ids stand in another choir (compare row 2) too, with other marks of the same test."
    )


@pytest.mark.parametrize("who", ["ID", "Name"])
def test_two_terms_in_one_file(tmp_path, who):
    """Students with two rows are asked about once, with the column that tells the rows apart."""
    students = (1, 2, 3) if who == "ID" else ("Ann Lee", "Bo Ek", "Cy Om")
    rows = [f"{student},{term},{mark}" for term, mark in (("Fall", 5), ("Spring", 7)) for student in students]
    assert [str(problem) for problem in load(tmp_path, f"{who},Semester,Pre", *rows).problems] == [
        "marks.csv, row 5, column Pre: 3 students have two rows with other marks of the same test. They differ in the "
        'column "Semester". If these are two terms, leave one of them; if they are two students, give each an id of '
        'its own. If they are tries of one student, say which mark counts: attempts = "first", "last", "best" or "mean".'
    ]


def test_numbered_attempts_are_not_asked_about(tmp_path):
    """A column that numbers them says what they are."""
    rows = [f"{student},{number},{number + 4}" for number in (1, 2) for student in "ABCD"]
    loaded = load(tmp_path, "ID,Attempt,Pre", *rows)
    assert loaded.problems == ()
    assert loaded.scores["points"].tolist() == [5, 5, 5, 5]
