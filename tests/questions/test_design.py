"""What kind of study this is."""

import pytest

from kit.questions.design import classify
from tests.questions.worlds import choirs_of, pairs_of

UP = list(range(5, 15))


def test_one_test_only():
    """Nobody with both tests: scores can be described, change cannot."""
    design = classify(pairs_of([5, 6, None], [None, None, None]))
    assert design.code == "D0"
    assert design.because == ("Nobody has a mark of both tests; only the first has any.",)


def test_one_choir():
    """One choir before and after is growth without comparison."""
    design = classify(pairs_of(UP, UP))
    assert (design.code, design.choirs, design.approaches, design.open_questions) == ("D1", 1, 0, ())


def test_several_choirs_taught_one_way():
    """Several choirs with one approach."""
    assert classify(choirs_of(("A", "", UP, UP), ("B", "", UP, UP))).code == "D1b"


def test_one_choir_for_an_approach():
    """One choir cannot be told from its approach, however it was chosen."""
    pairs = choirs_of(("A", "ear", UP, UP), ("B", "page", UP, UP), ("C", "page", UP, UP))
    assert classify(pairs, how="choirs_at_random").code == "D2"


@pytest.mark.parametrize(("shift", "code"), [(0, "D3a"), (6, "D3b")])
def test_choirs_not_at_random(shift, code):
    """Balance at the first test decides between the two designs."""
    pairs = choirs_of(
        ("A", "ear", UP, UP), ("B", "ear", UP, UP), ("C", "page", [x + shift for x in UP], UP), ("D", "page", UP, UP)
    )
    assert classify(pairs, how="schools_chose").code == code


@pytest.mark.parametrize(("choirs", "code"), [(4, "D5b"), (8, "D5")])
def test_choirs_at_random(choirs, code):
    """Few choirs at random give an estimate and no test."""
    pairs = choirs_of(*((f"C{n}", "ear" if n % 2 else "page", UP, UP) for n in range(choirs)))
    assert classify(pairs, how="choirs_at_random").code == code
    assert classify(pairs, how="students_at_random").code == "D4"


def test_undeclared_assignment_is_taken_as_not_at_random_and_asked_for():
    """The open question says what to type."""
    pairs = choirs_of(*((f"C{n}", "ear" if n % 2 else "page", UP, UP) for n in range(4)))
    design = classify(pairs)
    assert design.code == "D3a"
    assert design.open_questions == (
        'How did choirs come to their approach? Write in study.toml, under [assignment], how = "schools_chose", '
        '"teachers_chose", "cutoff", "students_at_random" or "choirs_at_random".',
    )
    assert "not declared" in design.because[1]
