"""Cells that hold two marks: taken apart as declared, refused otherwise."""

import pytest

from kit.load.declared import MarkColumn, ScoreSource
from kit.load.files import load_files

PARTS = MarkColumn(column="Pre", occasion="pre", parts=("pitch", "rhythm"), part_points=(16, 10))
PLAIN = MarkColumn(column="Pre", occasion="pre")


def load(folder, cells, column=PARTS):
    """Load one column of marks, each quoted."""
    lines = ["ID,Pre", *(f'S{at},"{cell}"' for at, cell in enumerate(cells, 1))]
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="marks.csv", student="ID", marks=(column,))])


@pytest.mark.parametrize(
    "cell", ["P12 R8", "p12r8", "R8 P12", "12/8", "12, 8", "12 8", "P: 12; R: 8", "pitch 12 / rhythm 8"]
)
def test_spellings_of_two_marks(tmp_path, cell):
    """Letters tell which mark is which; without letters the order of the parts does."""
    scores = load(tmp_path, [cell]).scores
    assert dict(zip(scores.measure, scores.points, strict=True)) == {"pitch": 12, "rhythm": 8}
    assert scores.max_points.tolist() == [16, 10]


@pytest.mark.parametrize("cell", ["12", "P12", "12/8/3", "X12 R8", "P12 P8", "P12 8", "128"])
def test_cells_that_are_not_two_marks(tmp_path, cell):
    """One number, three numbers or a strange letter are set aside."""
    loaded = load(tmp_path, [cell, "P1 R1"])
    assert loaded.set_aside.why.tolist() == ["one_of_two"]
    assert len(loaded.scores) == 2


def test_a_part_above_its_maximum_is_set_aside_alone(tmp_path):
    """P17 of 16 is set aside; the rhythm of the same cell stays."""
    loaded = load(tmp_path, ["P17 R8"])
    assert loaded.set_aside.why.tolist() == ["over_maximum"]
    assert loaded.scores.measure.tolist() == ["rhythm"]


def test_absent_from_both_parts(tmp_path):
    """A word for no mark holds for every part."""
    assert load(tmp_path, ["absent", "12/8"]).scores.missing_reason.tolist() == ["absent", "absent", "", ""]


def test_two_marks_without_declared_parts_are_refused(tmp_path):
    """The message says what the cells seem to hold and what to declare."""
    loaded = load(tmp_path, ["12/8", "14/9", "9/10", "13/7"], PLAIN)
    assert [str(problem) for problem in loaded.problems] == [
        "marks.csv, row 2, column Pre: The cells of the column seem to hold two marks each, and nothing says which is "
        'which. Declare the column of marks in study.toml with its parts, such as  parts = ["pitch", "rhythm"].'
    ]


def test_marks_of_two_maxima_are_not_refused(tmp_path):
    """Two maxima in a column, or one mark above the one maximum, are no pairs of marks."""
    assert not load(tmp_path, ["12/16", "14/20", "16/16"], PLAIN).problems
    assert load(tmp_path, ["12/20", "22/20", "15/20"], PLAIN).set_aside.why.tolist() == ["over_maximum"]
