"""The declared plan, names of notes, kinds of patterns and the order of teaching."""

import pytest
from pydantic import TypeAdapter, ValidationError

from kit.questions.practice.plan import Practice, approach, by_name, height, in_order, kind_of, spoken
from kit.tables import DRILLS, PATTERNS, empty
from tests.questions.drilled import heard, log, meeting, patterns


@pytest.mark.parametrize(
    ("note", "steps"), [("1", 0), ("7", 6), ("1'", 7), ("5,", -3), ("5,,", -10), ("#4", 3), ("b7", 6), ("5*", 4)]
)
def test_height_counts_steps_above_do(note, steps):
    """Octave marks move a note by seven steps; accidentals stay on their step."""
    assert height(note) == steps


@pytest.mark.parametrize(
    ("note", "said"),
    [("1", "do"), ("5,", "low so"), ("1'", "high do"), ("5,,", "low low so"), ("5*", "so"), ("#4", "raised fa"),
     ("b7,", "lowered low ti"), ("0", "rest"), ("-", "held"), ("?", "not heard"), ("n", "on one syllable"),
     ("no answer", "no answer")],
)  # fmt: skip
def test_spoken_names_every_kind_of_note(note, said):
    """A note is written by its name, with its octave; what is no note by what it is."""
    assert spoken(note) == said


def test_a_pattern_is_named_with_commas_where_a_name_has_two_words():
    """Names of one word are parted by spaces alone."""
    assert by_name("1 3 5") == "do mi so"
    assert by_name("1 5, 1") == "do, low so, do"
    assert by_name("") == ""


@pytest.mark.parametrize(
    ("before", "after", "way"),
    [(0, 0, "repeat"), (0, 1, "step"), (4, 3, "step"), (0, 4, "tonic-chord skip"), (0, -3, "tonic-chord skip"),
     (4, 7, "tonic-chord skip"), (1, 3, "other skip"), (0, 7, "tonic-chord skip"), (0, 5, "other skip")],
)  # fmt: skip
def test_approach(before, after, way):
    """One step, a skip between notes of the tonic chord in any octave, or another skip."""
    assert approach(before, after) == way


@pytest.mark.parametrize(
    ("notes", "kind"),
    [("1 2 3", "by step inside do-so"), ("1 1 2", "by step inside do-so"), ("1 3 5", "skips in the tonic chord"),
     ("1 2 3 5", "skips in the tonic chord"), ("2 4", "beyond"), ("5 6 5", "with la"), ("1 6", "with la"),
     ("1 5, 1", "beyond"), ("5 1' 5", "beyond"), ("1 0 2 - 3", "by step inside do-so"), ("1 #4 5", "beyond")],
)  # fmt: skip
def test_kind_of(notes, kind):
    """Kinds follow range and skips; rests and holds are no notes, and a raised note lies beyond."""
    assert kind_of(notes) == kind


def test_listed_patterns_keep_the_order_of_their_file_and_others_follow_by_kind():
    """The list comes first as it stands, then what the log holds beside it, by step before skips before the rest."""
    drills = log([
        heard("A", "1 3 5", True, pattern="X", target="5 1' 5"), heard("A", "", None, pattern="Y", target="1 2 1"),
        heard("B", "", None, pattern="P2", target="1 2 3"), meeting(0, pattern="P1 P2"),
        heard("B", "", None, pattern="", target="1 3 1"),
    ])  # fmt: skip
    found = in_order(drills, patterns(("P2", "1 2 3"), ("P1", "1 3 5")))
    assert found["pattern"].tolist() == ["P2", "P1", "Y", "1 3 1", "X"]
    assert found["order"].tolist() == [1, 2, 3, 4, 5]
    assert found["kind"].tolist()[2:] == ["by step inside do-so", "skips in the tonic chord", "beyond"]


def test_a_pattern_has_one_place():
    """A code used for two targets, or listed twice, stands once, with what was said first."""
    drills = log([heard("A", "1", True, pattern="P", target="1 2"), heard("A", "1", True, pattern="P", target="1 3")])
    assert in_order(drills, empty(PATTERNS))[["pattern", "notes"]].to_numpy().tolist() == [["P", "1 2"]]
    assert in_order(drills, patterns(("P", "1 5"), ("P", "1 4")))["notes"].tolist() == ["1 5"]


def test_without_log_and_list_there_is_no_order():
    """Nothing listed and nothing logged gives no row, with the same columns."""
    found = in_order(empty(DRILLS), empty(PATTERNS))
    assert found.empty
    assert list(found.columns) == ["pattern", "notes", "kind", "order"]


@pytest.mark.parametrize(
    "wrong", [{"minutes_before_notation": -1}, {"meetings_per_week": 8}, {"secure": 1.0}, {"secure": 0.0},
              {"in_a_row": 0}, {"in_a_row": 21}, {"minutes": 5}],
)  # fmt: skip
def test_the_plan_refuses_what_cannot_be(wrong):
    """Minutes below zero, eight meetings in a week, a mark of none or all, and words that mean nothing."""
    with pytest.raises(ValidationError):
        TypeAdapter(Practice).validate_python(wrong)
    assert TypeAdapter(Practice).validate_python({}) == Practice(
        minutes_before_notation=5.0, meetings_per_week=0, secure=0.8, in_a_row=3
    )
