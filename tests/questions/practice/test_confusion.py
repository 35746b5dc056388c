"""What was sung instead."""

import pandas as pd

from kit.questions.practice.confusion import NOT_APART, RARE, TOO_FEW, confusion, name_and_pitch
from kit.questions.practice.notes import tries
from kit.tables import DRILLS, empty
from tests.questions.drilled import heard, log


def missed(*answers):
    """Make first tries of ``1 2 3``, each answer given by singers of these numbers."""
    return tries(log([heard(f"S{who}", sung, False) for sung, singers in answers for who in singers]))


def test_misses_are_counted_by_what_was_sung():
    """Seven times fa and three times re instead of mi: 70 and 30 percent, answers in the order of the scale."""
    found = confusion(missed(("1 2 4", range(7)), ("1 2 2", range(3))))
    assert found.to_dict("list") == {
        "note": ["3", "3"], "label": ["mi", "mi"], "sung": ["2", "4"], "sung_label": ["re", "fa"], "times": [3, 7],
        "misses": [10, 10], "singers": [7, 7], "share": [0.3, 0.7],
    }  # fmt: skip
    assert found.attrs["hidden"] == 0


def test_notes_with_few_misses_have_no_row():
    """Nine misses are too few for percentages, and told."""
    found = confusion(missed(("1 2 4", range(9)), ("2 2 3", range(10))))
    assert set(found["label"]) == {"do"}
    assert found.attrs["hidden"] == 1


def test_notes_missed_by_few_singers_are_hidden():
    """Ten misses of four singers are hidden where five are needed."""
    rows = missed(("1 2 4", [0, 1, 2, 3, 0, 1, 2, 3, 0, 1]))
    assert len(confusion(rows, smallest=4)) == 1
    assert confusion(rows, smallest=5).empty
    assert confusion(rows, smallest=5).attrs["hidden"] == 1


def test_answers_of_few_singers_hide_behind_others():
    """Two singers with an answer of their own are joined with the next rarest answers until five stand behind it."""
    found = confusion(missed(("1 2 4", range(9)), ("1 2 5", range(10, 16)), ("1 2 2", range(20, 22))), smallest=5)
    assert found[["sung", "times"]].to_numpy().tolist() == [["4", 9], [RARE, 8]]
    alone = confusion(missed(("1 2 4", range(9)), ("1 2 2", range(20, 22))), smallest=5)
    assert alone[["sung", "times"]].to_numpy().tolist() == [[RARE, 11]]


def test_no_answer_stands_last():
    """Words stand behind notes."""
    rows = tries(log([
        *(heard(f"S{who}", "", False, response="none") for who in range(6)),
        *(heard(f"S{who}", "7, 2 3", False) for who in range(5)),
    ]))  # fmt: skip
    assert confusion(rows)["sung_label"].tolist() == ["low ti", "no answer"]


def test_without_misses_there_is_no_row():
    """Nothing was missed, or nothing logged: the same columns, no row."""
    for rows in (tries(empty(DRILLS)), tries(log([heard("A", "1 2 3", True)]))):
        found = confusion(rows)
        assert found.empty
        assert list(found.columns) == ["note", "label", "sung", "sung_label", "times", "misses", "singers", "share"]
        assert found.attrs["hidden"] == 0


def test_pitch_and_name_are_counted_apart():
    """Of seven tries marked for both: three both right, two the right name only, one the right pitch only, one none."""
    pairs = [(True, True)] * 3 + [(False, True)] * 2 + [(True, False), (False, False), (True, None), (None, True)]
    rows = pd.DataFrame(pairs, columns=["right", "syllable_right"]).astype("boolean").assign(student=list("ABCABABCD"))
    assert [(one.about, one.value, one.n, one.unit) for one in name_and_pitch(rows)] == [
        ("right pitch, right name", 3, 7, "tries"), ("wrong pitch, right name", 2, 7, "tries"),
        ("right pitch, wrong name", 1, 7, "tries"), ("wrong pitch, wrong name", 1, 7, "tries"),
    ]  # fmt: skip
    assert name_and_pitch(rows.iloc[7:]) == []
    assert name_and_pitch(rows.iloc[7:]).left_out[0].why == NOT_APART


def test_counts_of_few_singers_are_hidden():
    """Two singers behind one count hide all four where three are needed; a count of nought hides nothing."""
    pairs = [(True, True)] * 3 + [(False, True)] * 2
    rows = pd.DataFrame(pairs, columns=["right", "syllable_right"]).astype("boolean").assign(student=list("ABCAB"))
    assert len(name_and_pitch(rows, smallest=2)) == 4
    assert name_and_pitch(rows, smallest=3) == []
    assert name_and_pitch(rows, smallest=3).left_out[0].why == TOO_FEW
