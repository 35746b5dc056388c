"""What only the whole column tells about a mark."""

from kit.load.declared import ScoreSource
from kit.load.files import load_files


def load(folder, *lines, **declared):
    """Load lines of marks, everything recognised."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="marks.csv", **declared)])


def test_maxima_in_a_row_above_the_students(tmp_path):
    """A row of points possible gives each column its most points."""
    scores = load(tmp_path, "Student,ID,Pre,Post", "Points possible,,20,24", "Pim,S1,11,12", "Ivo,S2,7,9").scores
    assert scores.max_points.tolist() == [20, 24, 20, 24]


def test_the_best_mark_of_the_class_is_no_maximum(tmp_path):
    """A row called Max below the students holds the best marks, which are not the most that can be earned."""
    scores = load(tmp_path, "ID,Pre,Post", "S1,11,12", "S2,7,9", "Max,11,12").scores
    assert scores.max_points.isna().all()
    assert len(scores) == 4


def test_mixed_scales_are_refused(tmp_path):
    """The message counts each kind."""
    (problem,) = load(tmp_path, "ID,Pre", "S1,0.85", "S2,85", "S3,90%").problems
    assert str(problem) == (
        "marks.csv, column Pre: 1 marks are shares such as 0.85, 1 are whole numbers such as 85, 1 have a percent sign. "
        'Write them all one way, or declare scale = "points", "percent" or "share".'
    )


def test_letters_show_that_a_is_no_absence(tmp_path):
    """Among letter grades A is a grade; alone among numbers it is an absence."""
    assert load(tmp_path, "ID,Pre", "S1,A", "S2,B", "S3,12").set_aside.row.tolist() == [2, 3]
    assert load(tmp_path, "ID,Pre", "S1,A", "S2,11", "S3,12").scores.missing_reason.tolist() == ["absent", "", ""]
