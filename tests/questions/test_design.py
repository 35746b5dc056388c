"""What kind of study this is."""

import subprocess
import sys

import pytest

from kit.errors import UnknownChoiceError
from kit.questions import design
from kit.questions.design import classify
from kit.stats.effects.sizes import hedges_g
from tests.questions.worlds import choirs_of, pairs_of

UP = list(range(5, 15))
FOUR = tuple((f"C{number}", "ear" if number % 2 else "page", UP, UP) for number in range(4))


@pytest.mark.parametrize(
    ("pre", "post", "because"),
    [
        ([5, 6, None], [None, None, None], "Nobody has a mark of both tests; only the first has any."),
        ([None, None], [5, 6], "Nobody has a mark of both tests; only the second has any."),
        ([5, None], [None, 6], "Both tests have marks, but no student has a mark of both."),
        ([None], [None], "Nobody has a mark of either test."),
        ([], [], "Nobody has a mark of either test."),
    ],
)
def test_nobody_with_both_tests(pre, post, because):
    """Nobody with both tests: scores can be described, change cannot."""
    found = classify(pairs_of(pre, post))
    assert (found.code, found.because, found.open_questions) == ("D0", (because,), ())


def test_one_choir():
    """One choir before and after is growth without comparison."""
    found = classify(pairs_of(UP, UP))
    assert (found.code, found.choirs, found.approaches, found.open_questions) == ("D1", 1, 0, ())
    assert found.because == ("Every student tested both times is in one choir.",)


def test_no_choir_named():
    """Without any choir all students are taken as one."""
    found = classify(pairs_of(UP, UP, choir=""))
    assert (found.code, found.choirs) == ("D1", 0)
    assert found.because == ("No choir is named, so all students are taken as one choir.",)


def test_several_choirs_taught_one_way():
    """Several choirs and no second approach."""
    found = classify(choirs_of(("A", "", UP, UP), ("B", "", UP, UP)))
    assert (found.code, found.choirs) == ("D1b", 2)
    assert found.because == ("Students of 2 choirs were tested both times, and no second approach is named.",)


def test_a_choir_tested_once_makes_no_comparison():
    """Choirs and approaches count by their students with both tests."""
    found = classify(choirs_of(("A", "ear", UP, UP), ("B", "page", UP, [None] * 10)))
    assert (found.code, found.choirs, found.approaches) == ("D1", 1, 1)


@pytest.mark.parametrize("how", ["undeclared", "schools_chose", "choirs_at_random"])
def test_one_choir_for_an_approach(how):
    """One choir cannot be told from its approach, however it was chosen."""
    found = classify(choirs_of(("A", "ear", UP, UP), ("B", "page", UP, UP), ("C", "page", UP, UP)), how=how)
    assert found.code == "D2"
    assert found.because == (
        "Number of choirs tested both times, by approach: ear: 1, page: 2.",
        "Where an approach has no second choir, it cannot be told from that choir.",
    )


@pytest.mark.parametrize(("shift", "code", "words"), [(0, "D3a", "no more"), (1, "D3b", "more"), (-1, "D3b", "more")])
def test_choirs_not_at_random(shift, code, words):
    """The difference at the first test, a quarter of an SD or more, decides between the two designs."""
    moved = [score + shift for score in UP]
    pairs = choirs_of(("A", "ear", UP, UP), ("B", "ear", UP, UP), ("C", "page", moved, UP), ("D", "page", moved, UP))
    apart = hedges_g(moved * 2, UP * 2, about="x").value
    assert (abs(apart) > design.BALANCED) == (code == "D3b")
    found = classify(pairs, how="schools_chose")
    assert (found.code, found.open_questions) == (code, ())
    assert found.because[1:] == (
        "Schools chose their approach, as declared.",
        f"At the first test approaches differed by {words} than 0.25 SD.",
    )


def test_the_two_furthest_of_three_approaches_decide():
    """With three approaches the largest difference at the first test counts."""
    high = [score + 3 for score in UP]
    three = (*FOUR, ("E", "both", high, UP), ("F", "both", high, UP))
    assert (classify(choirs_of(*FOUR)).code, classify(choirs_of(*three)).code) == ("D3a", "D3b")


def test_balance_that_cannot_be_told_is_not_taken_for_balance():
    """Without any spread at the first test the study is held to the stricter design."""
    found = classify(choirs_of(*((name, approach, [5] * 3, [6] * 3) for name, approach, _, _ in FOUR)), how="cutoff")
    assert found.code == "D3b"
    assert found.because[1:] == (
        "A cut-off decided the approach, as declared; the kit treats that as not at random.",
        "How alike the approaches were at the first test cannot be told from these marks.",
    )


@pytest.mark.parametrize(("choirs", "code", "words"), [
    (4, "D5b", "A test needs 6 choirs here, and there are 4."),
    (5, "D5b", "A test needs 6 choirs here, and there are 5."),
    (6, "D5", "A test needs 6 choirs here, and there are 6."),
])  # fmt: skip
def test_choirs_at_random(choirs, code, words):
    """Few choirs at random give an estimate and no test."""
    pairs = choirs_of(*((f"C{number}", "ear" if number % 2 else "page", UP, UP) for number in range(choirs)))
    found = classify(pairs, how="choirs_at_random")
    assert (found.code, found.because[1:]) == (code, ("Choirs were assigned at random, as declared.", words))


def test_a_lot_that_lost_too_many_counts_no_longer():
    """Choirs lost are told by number; of students lost no number is told, since it may be hidden elsewhere."""
    gone = [None] * len(UP)
    choirs = [(f"C{number}", "ear" if number % 2 else "page", UP, UP) for number in range(6)]
    lost = choirs_of(*choirs, *((f"D{number}", "ear", UP, gone) for number in range(4)))
    found = classify(lost, how="choirs_at_random")
    assert found.code == "D3a"
    assert found.because[2] == (
        "Since then choirs were lost (page: 0 of 3, ear: 4 of 7), so many or so unevenly that the groups count as not "
        "assigned at random."
    )
    few = [mark if at < 2 else None for at, mark in enumerate(UP)]
    students = choirs_of(*((name, way, pre, few if way == "ear" else post) for name, way, pre, post in choirs))
    assert classify(students, how="choirs_at_random").because[2] == (
        "Since then so many students were lost, or so unevenly, that the groups count as not assigned at random."
    )


def test_students_at_random_within_one_choir():
    """Where students were assigned at random, one choir holds both approaches and is a comparison."""
    pairs = choirs_of(("A", "ear", UP, UP), ("A", "page", UP, UP))
    found = classify(pairs, how="students_at_random")
    assert (found.code, found.because[-1]) == ("D4", "Students were assigned at random, as declared.")


def test_undeclared_assignment_is_taken_as_not_at_random_and_asked_for():
    """The open question says what to type, and where."""
    found = classify(choirs_of(*FOUR))
    assert (found.code, found.choirs, found.approaches) == ("D3a", 4, 2)
    assert found.open_questions == (
        'How did choirs come to their approach? Write in study.toml, under [assignment], how = "schools_chose", '
        'or instead of it "teachers_chose", "cutoff", "students_at_random" or "choirs_at_random".',
    )
    assert found.because[1] == "How choirs came to their approach is not declared, so it is taken as not at random."


def test_approaches_beside_a_declared_none_are_asked_about():
    """A study that declares no comparison and holds two approaches is treated as not at random, and asks."""
    found = classify(choirs_of(*FOUR), how="none")
    assert (found.code, len(found.open_questions)) == ("D3a", 1)
    assert found.because[1] == (
        "The study file declares no comparison, so the approaches are taken as not assigned at random."
    )


def test_students_without_an_approach_are_asked_about():
    """Where some name an approach and some do not, the count and what to do are told."""
    found = classify(choirs_of(("A", "ear", UP, UP), ("B", "", UP, UP)))
    assert (found.code, found.approaches) == ("D1b", 1)
    assert found.open_questions == (
        "Which approach do the others have? Students without one who were tested both times: 10. "
        "Name it in the roster; until then they are in no comparison.",
    )


def test_a_misspelt_assignment_is_refused_with_the_list():
    """The words are those of the study file, and no others."""
    with pytest.raises(UnknownChoiceError) as refused:
        classify(pairs_of(UP, UP), how="random")
    assert str(refused.value) == (
        "classify: how must be one of 'undeclared', 'none', 'schools_chose', 'teachers_chose', 'cutoff', "
        "'students_at_random', 'choirs_at_random'. Got 'random'."
    )


def test_the_check_command_does_not_wait_for_scipy():
    """Importing what the check page needs loads no scipy."""
    code = "import kit.questions.design, kit.questions.whom, sys; sys.exit('scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
