"""Growth on notes like those drilled beside growth on other notes."""

import pytest

from kit.questions.practice.transfer import (
    DRILLED,
    MORE,
    NO_APPROACHES,
    NOT_TAGGED,
    OTHER,
    approaches,
    between_approaches,
    gains,
    transfer,
)
from kit.tables import ITEMS, STUDENTS, empty
from tests.questions.drilled import marked
from tests.questions.worlds import students

TESTS = ("pre", "post")


def sung(student, occasion, drilled, other, rater="own"):
    """Let a student sing ten notes of each kind, so many right."""
    return [
        {"student": student, "occasion": occasion, "measure": "pitch", "rater": rater, "melody": kind, "item": at + 1,
         "degree": 1, "right": at < right, "drilled": kind == "drilled"}
        for kind, right in (("drilled", drilled), ("other", other)) for at in range(10)
    ]  # fmt: skip


def world(*singers):
    """Make students and notes: (student, choir, approach, rights at pre, rights at post)."""
    people = students([{"student": who, "choir": choir, "approach": how} for who, choir, how, _, _ in singers])
    rows = [one for who, _, _, pre, post in singers for one in (*sung(who, "pre", *pre), *sung(who, "post", *post))]
    return marked(rows), people


def test_students_of_one_choir_are_the_units():
    """Gains of 3, 5 and 4 tenths on drilled notes and of 1, 0 and 2 on others: the difference of each student counts."""
    items, people = world(
        ("A", "Larch", "", (4, 4), (7, 5)), ("B", "Larch", "", (3, 6), (8, 6)), ("C", "Larch", "", (5, 5), (9, 7))
    )
    drilled, other, more = transfer(gains(items, people, occasions=TESTS, rater="own"))
    assert [one.about for one in (drilled, other, more)] == [DRILLED, OTHER, MORE]
    assert [one.value for one in (drilled, other, more)] == pytest.approx([0.4, 0.1, 0.3])
    # differences .2, .5, .2: mean .3, SD .1732, standard error .1, t(2) = 4.3027
    assert (more.interval.low, more.interval.high) == pytest.approx((0.3 - 0.43027, 0.3 + 0.43027), abs=1e-5)
    assert (more.n, more.counted, more.clusters) == (3, "students", None)


def test_choirs_are_the_units_where_there_are_several():
    """Each choir counts once, however many sing in it."""
    items, people = world(
        ("A", "Larch", "", (4, 4), (7, 5)), ("B", "Larch", "", (4, 4), (9, 5)), ("C", "Fir", "", (5, 5), (6, 6)),
        ("D", "Ash", "", (5, 5), (7, 5)),
    )  # fmt: skip
    more = transfer(gains(items, people, occasions=TESTS))[2]
    assert more.value == pytest.approx((0.3 + 0.0 + 0.2) / 3)
    assert (more.n, more.counted, more.clusters) == (3, "choirs", 3)
    assert "Students behind it: 4." in more.notes


def test_students_without_both_kinds_or_both_tests_are_left_out():
    """Who missed a test, or sang notes of one kind, has no gain on both."""
    items, people = world(("A", "Larch", "", (4, 4), (7, 5)), ("B", "Larch", "", (4, 4), (7, 5)))
    items = items[~((items["student"] == "B") & (items["occasion"] == "post"))]
    assert gains(items, people, occasions=TESTS)["student"].tolist() == ["A"]
    one_kind = items[items["drilled"]]
    assert gains(one_kind, people, occasions=TESTS).empty


def test_notes_that_are_not_tagged_are_neither():
    """Without tags nothing can be told, and why is said."""
    items, people = world(("A", "Larch", "", (4, 4), (7, 5)))
    items["drilled"] = items["drilled"].where(items["drilled"].isna())
    found = transfer(gains(items, people, occasions=TESTS))
    assert found == []
    assert found.left_out[0].why == NOT_TAGGED
    assert transfer(gains(empty(ITEMS), empty(STUDENTS), occasions=TESTS)) == []


def test_one_student_has_no_interval():
    """The bare values of one student stand without a range."""
    items, people = world(("A", "Larch", "", (4, 4), (7, 5)))
    found = transfer(gains(items, people, occasions=TESTS))
    assert [one.value for one in found] == pytest.approx([0.3, 0.1, 0.2])
    assert [one.interval for one in found] == [None, None, None]


FOUR = world(
    ("A", "Larch", "ear", (4, 4), (8, 5)), ("B", "Fir", "ear", (4, 4), (10, 5)), ("C", "Ash", "page", (4, 4), (6, 5)),
    ("D", "Elm", "page", (4, 4), (6, 6)),
)  # fmt: skip


def test_two_approaches_are_set_side_by_side_on_both_kinds():
    """Choirs' gains 4, 6 against 2, 2 tenths on drilled notes, 1, 1 against 1, 2 on others; intervals by t with 2 df."""
    items, people = FOUR
    found = between_approaches(gains(items, people, occasions=TESTS), approaches(people), ("ear", "page"))
    assert [one.about for one in found] == [f"ear minus page, {DRILLED}", f"ear minus page, {OTHER}"]
    assert [one.value for one in found] == pytest.approx([0.3, -0.05])
    # pooled variance (.02 + 0) / 2 = .01, standard error .1, t(2) = 4.3027
    assert found[0].interval.high - found[0].value == pytest.approx(0.43027, abs=1e-5)
    assert [one.clusters for one in found] == [4, 4]


@pytest.mark.parametrize("names", [("", ""), ("ear", "other")])
def test_without_two_approaches_nothing_is_compared(names):
    """Nothing declared, or nobody in one of them: left out with the reason."""
    items, people = FOUR
    found = between_approaches(gains(items, people, occasions=TESTS), approaches(people), names)
    assert found == []
    assert found.left_out[0].why == NO_APPROACHES


def test_too_few_choirs_are_left_out():
    """One choir on a side has no spread."""
    items, people = world(*[("A", "Larch", "ear", (4, 4), (8, 5)), ("C", "Ash", "page", (4, 4), (6, 5))])
    found = between_approaches(gains(items, people, occasions=TESTS), approaches(people), ("ear", "page"))
    assert found == []
    assert len(found.left_out) == 2


def test_a_choir_with_two_approaches_has_none():
    """Which approach a choir had must be clear."""
    people = students([
        {"student": "A", "choir": "Larch", "approach": "ear"}, {"student": "B", "choir": "Larch", "approach": "page"},
        {"student": "C", "choir": "Fir", "approach": "ear"}, {"student": "D", "choir": "", "approach": "ear"},
    ])  # fmt: skip
    assert approaches(people) == {"Fir": "ear"}
