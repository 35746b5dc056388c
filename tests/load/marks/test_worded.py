"""Words, letters and codes in columns of marks."""

import pytest

from kit.load.declared import MarkColumn, Rules, ScoreSource
from kit.load.files import load_files

PRE = MarkColumn(column="Pre", occasion="pre")


def load(folder, marks, *, column=PRE, rules=None):
    """Load one column of marks."""
    lines = ["ID,Pre", *(f"S{at},{mark}" for at, mark in enumerate(marks, 1))]
    (folder / "marks.csv").write_text("\n".join(lines), encoding="utf-8")
    source = ScoreSource(file="marks.csv", student="ID", marks=(column,))
    return load_files(folder, [source], rules=rules)


def test_declared_order(tmp_path):
    """Words are places in the declared order and have no share, whatever their case."""
    column = MarkColumn(column="Pre", occasion="pre", order=("Beginning", "Developing", "Advanced"))
    loaded = load(tmp_path, ["beginning", "ADVANCED ", "absent", "Developing"], column=column)
    assert loaded.scores.points.dropna().tolist() == [1, 3, 2]
    assert loaded.scores["share"].isna().all()
    assert loaded.scores.missing_reason.tolist() == ["", "", "absent", ""]


def test_a_word_outside_the_order_is_refused(tmp_path):
    """The message counts the cells and names their rows, not the word, which may be anything."""
    column = MarkColumn(column="Pre", occasion="pre", order=("Beginning", "Developing"))
    loaded = load(tmp_path, ["Beginning", "Pim", "7", "Developing"], column=column)
    assert [str(problem) for problem in loaded.problems] == [
        "marks.csv, row 3, column Pre: 2 cells hold no word of the declared order: rows 3, 4. "
        "Add the word to order in study.toml, from worst to best, or correct the cell."
    ]


def test_words_without_an_order_are_refused(tmp_path):
    """A few words again and again are the levels of a rubric."""
    loaded = load(tmp_path, ["Low", "High", "Low", "High", "High", "7"])
    assert [str(problem) for problem in loaded.problems] == [
        "marks.csv, column Pre: 5 of 6 marks are words: 2 different ones. Declare the column of marks in study.toml "
        "with  order = [...] , its words from worst to best."
    ]


def test_remarks_are_no_rubric(tmp_path):
    """Words that are all different are set aside one by one."""
    loaded = load(tmp_path, ["sang well", "shy", "12", "moved seat", "15"])
    assert not loaded.problems
    assert loaded.set_aside.why.tolist() == ["not_a_mark"] * 3


@pytest.mark.parametrize("marks", [[12, 999, 15], [12, -99, 15], [-1, 12, -1], [99, 12, 99]])
def test_codes_that_no_mark_can_be_are_refused(tmp_path, marks):
    """999 and its cousins are asked about, -1 and 99 where they repeat."""
    loaded = load(tmp_path, marks)
    assert [problem.why for problem in loaded.problems] == ["codes_unclear"]


def test_the_message_about_codes(tmp_path):
    """The message lists the codes and their rows, and the line that would settle it."""
    (problem,) = load(tmp_path, [12, 999, -99, 15]).problems
    assert str(problem) == (
        "marks.csv, row 3, column Pre: 2 cells hold -99, 999, which may stand for a missing mark: rows 3, 4. "
        'Write in study.toml what it stands for, such as  missing_codes = { "-99" = "absent" }.'
    )
    assert problem.type_this == 'missing_codes = { "-99" = "unspecified", "999" = "unspecified" }'


@pytest.mark.parametrize("marks", [[12, 99, 80, 75], [12, -1, 15], [999, 950, 800]])
def test_numbers_that_may_be_marks_are_no_codes(tmp_path, marks):
    """99 of a hundred is a mark; one -1 is a slip and is set aside by itself."""
    assert not load(tmp_path, marks).problems


def test_declared_codes(tmp_path):
    """A declared code is no mark, as a number and as text, and its reason is kept."""
    rules = Rules(missing_codes={"999": "absent", "X": "declined"})
    loaded = load(tmp_path, [12, 999, "x", "999.0"], rules=rules)
    assert loaded.scores.missing_reason.tolist() == ["", "absent", "declined", "absent"]


def test_words_that_stand_often_are_listed_for_somebody_to_put_in_order(tmp_path):
    """Each stands three times or more, so none is a name; they are in the order of the alphabet."""
    loaded = load(tmp_path, ["Low", "High", "low ", "High", "High", "Low"])
    assert loaded.problems[0].found == '6 of 6 marks are words: "High", "Low".'
