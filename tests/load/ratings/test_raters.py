"""Who marked: in the cell, in the column, and only where others disagree."""

from kit.load.declared import MarkColumn, ScoreSource
from kit.load.files import load_files


def load(folder, lines, *marks, **declared):
    """Load lines of marks; without declared columns the headings tell."""
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    student = {"student": "ID"} if marks else {}
    return load_files(folder, [ScoreSource(file="marks.csv", marks=marks, **student, **declared)])


def columns(*raters, **last):
    """Declare a column for each rater; ``last`` holds for the last of them."""
    declared = [{"column": rater, "occasion": "pre", "rater": rater} for rater in raters]
    declared[-1] |= last
    return [MarkColumn(**column) for column in declared]


def test_rater_in_the_cell(tmp_path):
    """Initials that repeat are split off; a mark with its maximum keeps both."""
    loaded = load(tmp_path, ["ID,Pre", "S1,17 (JM)", "S2,12/20 (JM)", "S3,14"])
    assert loaded.scores.rater.tolist() == ["JM", "JM", ""]
    assert loaded.scores.points.tolist() == [17, 12, 14]


def test_initials_that_stand_once(tmp_path):
    """One pair of initials may be a remark, and the message says what to declare."""
    loaded = load(tmp_path, ["ID,Pre", "S1,17 (JM)", "S2,12"])
    (aside,) = loaded.set_aside.itertuples()
    assert (aside.why, aside.row) == ("rater_inside", 2)
    assert aside.found == "The cell names a rater whom the study file does not know."
    assert aside.what_to_do == "Write the initials under raters in study.toml if they are a rater's, or the mark alone."
    assert load(tmp_path, ["ID,Pre", "S1,17 (JM)", "S2,12"], raters=("JM",)).set_aside.empty


def test_private_words_in_brackets_are_no_raters(tmp_path):
    """ELL is never taken for a rater, nor repeated."""
    loaded = load(tmp_path, ["ID,Pre", "S1,17 (ELL)", "S2,12 (ELL)"])
    assert loaded.set_aside.why.tolist() == ["unclear_mark", "unclear_mark"]
    assert "ELL" not in loaded.set_aside.to_csv() + loaded.changes.to_csv() + loaded.scores.to_csv()


LINES = ("ID,JM,KB,LS", "S1,11,11,", "S2,7,9,8", "S3,15,15,", "S4,9,9,", "S5,12,14,14")


def test_who_marks_only_disagreements_is_asked_about(tmp_path):
    """The marks of a third rater where the two others disagree are set aside until declared."""
    loaded = load(tmp_path, LINES, *columns("JM", "KB", "LS"))
    assert set(loaded.scores.rater) == {"JM", "KB"}
    assert loaded.set_aside.why.tolist() == ["adjudicator_unclear"] * 2
    assert loaded.set_aside.what_to_do[0] == (
        "Write adjudicates = true for the column in study.toml, or false if it is no adjudicator."
    )


def test_declared_adjudicator(tmp_path):
    """A declared adjudicator is no ordinary rater, and is not missing where there was nothing to settle."""
    scores = load(tmp_path, LINES, *columns("JM", "KB", "LS", adjudicates=True)).scores
    third = scores[~scores.rater.isin(["JM", "KB"])]
    assert third.rater.tolist() == ["adjudicator LS"] * 2
    assert third.points.tolist() == [8, 14]


def test_declared_ordinary_third_rater(tmp_path):
    """Who is declared to be no adjudicator is a rater like the others; what a rater did not hear is no missing mark."""
    scores = load(tmp_path, LINES, *columns("JM", "KB", "LS", adjudicates=False)).scores
    assert scores[scores.rater == "LS"].missing_reason.tolist() == ["", ""]


def test_a_third_rater_of_a_sample_is_no_adjudicator(tmp_path):
    """Marks where the others agree show that the third rater marked a sample."""
    lines = [*LINES[:1], "S1,11,11,11", *LINES[2:]]
    assert load(tmp_path, lines, *columns("JM", "KB", "LS")).set_aside.empty
