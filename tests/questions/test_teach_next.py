"""The list of what to teach next."""

import numpy as np
import pytest

from kit.questions.practice.degrees import weak
from kit.questions.practice.notes import tries
from kit.questions.practice.plan import Practice
from kit.questions.teach_next import FEW_SINGERS, each_choir, teach_next
from kit.tables import DRILLS, PATTERNS, empty
from tests.questions.drilled import day, heard, log, meeting, patterns

PLAN = Practice(secure=0.8)
LIST = patterns(("STEP", "1 2 3"), ("SKIP", "1 3 5"), ("LA", "5 6 5"), ("NEVER", "1 2 1"))


def sung(pattern, target, rights, *, singers=10, miss=None):
    """Let so many singers try a pattern; of ten tries so many are right, the rest end on the note missed."""
    miss = miss or target[:-1] + "7"
    return [
        heard(f"S{who}", target if at < rights else miss, at < rights, pattern=pattern, target=target, on=at)
        for who in range(singers) for at in range(10)
    ]  # fmt: skip


def listed(rows, *, plan=PLAN, **options):
    """Make the list."""
    drills = log(rows)
    return teach_next(tries(drills), drills, options.pop("order", LIST), plan, **options)


WORLD = [*sung("LA", "5 6 5", 3), *sung("STEP", "1 2 3", 10), *sung("SKIP", "1 3 5", 4)]


def test_weak_patterns_stand_in_the_order_of_the_list():
    """Two of three are weak; they stand by the order of the list, with counts, certainty and what was sung instead."""
    found = listed([*WORLD, meeting(30, pattern="LA SKIP")])
    assert [(row.pattern, row.said, row.kind, row.order) for row in found.rows] == [
        ("SKIP", "do mi so", "skips in the tonic chord", 2), ("LA", "so la so", "with la", 3),
    ]  # fmt: skip
    assert [(row.hits, row.tries, row.singers) for row in found.rows] == [(40, 100, 10), (30, 100, 10)]
    assert [row.instead for row in found.rows] == ["ti for so (60 of 60 misses)", "ti for so (70 of 70 misses)"]
    assert [row.last for row in found.rows] == [day(30), day(30)]
    assert all(row.sure > 0.95 and row.share.value < 0.6 for row in found.rows)
    assert found.secure == ("do re mi (STEP)",)
    assert (found.mark, found.open, found.why) == (0.8, 1, "")


def test_shares_that_are_known_already_give_the_same_list():
    """Handing the shares over saves time and changes nothing."""
    drills = log(WORLD)
    rows = tries(drills)
    assert teach_next(rows, drills, LIST, PLAN, found=weak(rows, by="pattern")) == teach_next(rows, drills, LIST, PLAN)


def test_a_lower_mark_lists_less():
    """What is weak depends on the mark of the plan."""
    found = listed(WORLD, plan=Practice(secure=0.2))
    assert found.rows == ()
    assert found.why == "No pattern is probably weak by the mark of the plan."
    assert len(found.secure) == 3


def test_at_most_five_are_listed_and_those_with_the_lowest_shares():
    """Of seven weak patterns the five lowest fit into two weeks."""
    targets = ["1 2 3", "3 2 1", "1 2 1", "2 3 4", "4 3 2", "3 4 5", "5 4 3"]
    rows = [one for at, target in enumerate(targets) for one in sung(f"P{at}", target, 1 + at // 2, miss="7 7 7")]
    found = listed(rows, order=empty(PATTERNS))
    assert len(found.rows) == 5
    assert {"P0", "P1", "P2", "P3"} < {row.pattern for row in found.rows}
    assert [row.order for row in found.rows] == sorted(row.order for row in found.rows)


def test_patterns_of_few_singers_are_not_listed():
    """Four singers are too few for anyone, eight for the public; those patterns count as open."""
    rows = [*sung("STEP", "1 2 3", 9), *sung("SKIP", "1 3 5", 2, singers=4), *sung("LA", "5 6 5", 2, singers=8)]
    assert [row.pattern for row in listed(rows).rows] == ["LA"]
    public = listed(rows, smallest=10)
    assert public.rows == ()
    assert public.open == 3


def test_what_was_sung_instead_is_that_of_enough_singers():
    """An answer of a single singer is never told, one of four not where five are needed."""
    rows = sung("LA", "5 6 5", 3, miss="5 6 5")
    at = 0
    for row in rows:
        if not row["right"]:
            row["sung"] = "5 6 4" if row["student"] in {"S0", "S1", "S2", "S3"} else ""
            at += 1
    assert listed(rows).rows[0].instead == "fa for so (28 of 28 misses)"
    assert listed(rows, smallest=5).rows[0].instead == ""
    for row in rows:
        row["sung"] = row["sung"] if row["student"] == "S0" else ""
    assert listed(rows).rows[0].instead == ""


def test_nothing_logged_gives_no_list_and_says_what_is_needed():
    """Too few tries, or none: no list, the reason, and nothing made up."""
    assert listed([]).why == "No first try is logged."
    rows = [heard(f"S{at}", "1 2 2", False, pattern=f"P{at % 6}", on=at) for at in range(24)]
    found = listed(rows)
    assert found.rows == ()
    assert found.why == (
        "No pattern has 5 first tries of 5 singers yet; about 20 first tries of 5 singers or more are a start."
    )


def test_a_log_of_class_ratings_alone_gives_no_list():
    """The class's yes is no try of a singer."""
    found = listed([meeting(at, 5, pattern="STEP", class_rating=4, right=True) for at in range(40)])
    assert found.rows == ()
    assert found.why.startswith("No first try is logged")


def test_a_pattern_never_dated_has_no_last_day():
    """Undated tries are counted; when it was last drilled is then not known."""
    drills = log(sung("LA", "5 6 5", 3))
    drills["date"] = np.datetime64("NaT")
    assert teach_next(tries(drills), drills, LIST, PLAN).rows[0].last is None


@pytest.mark.parametrize("order", [LIST, empty(PATTERNS)])
def test_all_right_is_no_reason_to_teach_again(order):
    """Everything right: nothing is weak, all is secure."""
    found = listed(sung("STEP", "1 2 3", 10), order=order)
    assert (found.rows, len(found.secure)) == ((), 1)
    assert teach_next(tries(empty(DRILLS)), empty(DRILLS), order, PLAN).rows == ()


def of_choirs(**singers):
    """Make a log in which so many singers of each choir try two patterns; they miss the one named by the choir."""
    return log([
        row | {"choir": choir, "student": f"{choir}{row['student']}"}
        for choir, many in singers.items()
        for row in [*sung("STEP", "1 2 3", 3 if choir == "Fir" else 10, singers=many),
                    *sung("SKIP", "1 3 5", 10 if choir == "Fir" else 3, singers=many)]
    ])  # fmt: skip


def of_each(drills, **options):
    """Give the patterns on the list of each choir, or why there is none."""
    found = each_choir(tries(drills), drills, LIST, PLAN, **options)
    return {choir: [row.pattern for row in one.rows] or one.why for choir, one in found.items()}


def test_each_choir_has_the_list_of_its_own_tries():
    """Each list is the one that the choir alone would have; a choir without tries is told why it has none."""
    drills = log([*of_choirs(Larch=8, Fir=6).to_dict("records"), meeting(3, choir="Oak")])
    found = of_each(drills)
    assert list(found) == ["Fir", "Larch", "Oak"]
    assert (found["Fir"], found["Larch"]) == (["STEP"], ["SKIP"])
    assert found["Oak"].startswith("No first try is logged")
    alone = drills[drills["choir"] == "Fir"]
    assert each_choir(tries(drills), drills, LIST, PLAN)["Fir"] == teach_next(tries(alone), alone, LIST, PLAN)


def test_a_choir_of_few_singers_hides_and_takes_another_with_it():
    """Where six singers are needed, a choir of five has no list, nor has the next smallest: it would give it away."""
    drills = of_choirs(Larch=12, Fir=5, Oak=7)
    assert of_each(drills, smallest=6) == {"Fir": FEW_SINGERS, "Larch": ["SKIP"], "Oak": FEW_SINGERS}
    assert of_each(drills, smallest=8) == {"Fir": FEW_SINGERS, "Larch": ["SKIP"], "Oak": FEW_SINGERS}
    assert of_each(drills, smallest=5) == {"Fir": ["STEP"], "Larch": ["SKIP"], "Oak": ["SKIP"]}


def test_no_log_has_no_lists():
    """Without a log there is no choir to have one."""
    assert each_choir(tries(empty(DRILLS)), empty(DRILLS), empty(PATTERNS), PLAN) == {}
