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
    (aside,) = first.set_aside.itertuples()
    assert (aside.row, aside.why) == (3, "second_choir")
    assert aside.found == 'The student has the same marks in "Treble".'
    assert aside.what_to_do == "Name the choir that counts under primary_choir in study.toml if it is this one."
