"""Headings that differ in the initials of a rater."""

from kit.load.declared import ScoreSource
from kit.load.files import load_files


def load(folder, *lines):
    """Load lines of marks, everything recognised."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    return load_files(folder, [ScoreSource(file="marks.csv")])


def test_two_raters_are_told_with_the_evidence(tmp_path):
    """Columns of much the same marks are two raters', and the suggestion asks whose marks count."""
    loaded = load(tmp_path, "ID,Pre JM,Pre KB", "S1,11,12", "S2,7,7", "S3,15,14")
    (suggestion,) = loaded.suggestions
    assert [mark.rater for mark in suggestion.source.marks] == ["JM", "KB"]
    assert suggestion.evidence[-1] == "the columns that differ in JM and KB hold much the same marks: two raters"
    assert suggestion.decide == ('whose marks count? write, for example, rater = "JM" at the top of the study file',)


def test_other_marks_are_other_measures(tmp_path):
    """Columns that differ in capital letters and hold other marks are two measures."""
    loaded = load(tmp_path, "ID,Pre SR,Pre EAR", "S1,11,3", "S2,7,19", "S3,15,2")
    assert loaded.scores.measure.unique().tolist() == ["sr", "ear"]
    assert set(loaded.scores.rater) == {""}


def test_an_empty_column_shows_no_rater(tmp_path):
    """Without marks in both columns nothing shows that they are raters'."""
    loaded = load(tmp_path, "ID,Pre JM,Pre KB", "S1,11,", "S2,7,", "S3,15,")
    assert set(loaded.scores.rater) == {""}
