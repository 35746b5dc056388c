"""Asking a statistic: too little data is an answer of its own, never an error."""

import pytest

from kit.questions.answers import ONE_STUDENT, STUDENTS_ALIKE, Answers, LeftOut, ask
from kit.stats.counts import count
from kit.stats.effects.sizes import d_pre
from kit.stats.means import mean_gain, mean_score
from kit.stats.segmented import segmented_change


def test_enough_data_is_the_statistic_itself():
    """Nothing is added to an estimate that stands on its own."""
    assert ask(mean_gain, [1, 2], [2, 5], about="a", unit="points") == mean_gain(
        [1, 2], [2, 5], about="a", unit="points"
    )


def test_too_little_data_says_what_is_missing():
    """The refusal of the statistic becomes a line in plain words."""
    assert ask(d_pre, [1, 2], [2, 5], about="Treble 1") == LeftOut(
        "Treble 1",
        "The average gain against the spread of first scores needs 3 students with both scores. Treble 1 has 2.",
    )


def test_a_search_that_does_not_arrive_is_left_out():
    """Where no fit is the best there is no number, and the reason in plain words."""
    values = [10 + (-1) ** at + 1e-6 * at for at in range(12)]
    assert ask(segmented_change, values, range(12), start=6, about="Treble 1", unit="points") == LeftOut(
        "Treble 1", "The change of a series has no best correlation of neighbouring results. Treble 1 runs to its end."
    )


def test_one_student_has_a_score_and_a_gain_without_interval():
    """The bare number of one student is given, and a note says why it has no interval."""
    gain = ask(mean_gain, [5, 6], [9, float("nan")], about="a", unit="points")
    assert (gain.value, gain.n, gain.dropped, gain.interval, gain.notes) == (4, 1, 1, None, (ONE_STUDENT,))
    score = ask(mean_score, [5], about="a", unit="points")
    assert (score.value, score.n, score.notes) == (5, 1, (ONE_STUDENT,))


def test_students_of_several_choirs_have_no_interval():
    """Value and number stay; interval, p and df go, and a note says why."""
    alone = ask(mean_gain, [1, 2, 4], [2, 5, 5], about="a", unit="points")
    several = ask(mean_gain, [1, 2, 4], [2, 5, 5], about="a", unit="points", choirs=2)
    assert (several.value, several.n) == (alone.value, alone.n)
    assert (several.interval, several.p, several.df, several.clusters) == (None, None, None, 2)
    assert several.notes[-1] == STUDENTS_ALIKE


def test_other_errors_are_not_hidden():
    """Only too little data is an answer; a wrong call stays an error."""
    with pytest.raises(ValueError, match="level must be between 0 and 1"):
        ask(mean_score, [1, 2], about="a", unit="points", level=95)


def test_answers_keep_order_and_hold_what_was_left_out():
    """The list holds estimates alone; what was left out stands beside it."""
    one, two = (ask(mean_score, [1, 2], about=about, unit="points") for about in ("a", "b"))
    answers = Answers([one, LeftOut("c", "Too few."), two])
    assert list(answers) == [one, two]
    assert answers.left_out == (LeftOut("c", "Too few."),)


def test_the_first_answer_or_none():
    """The first estimate stands for all where one is needed."""
    assert Answers([LeftOut("a", "why")]).first is None
    found = count(3, about="a")
    assert Answers([LeftOut("a", "why"), found]).first is found
