"""What looks odd in logs, and what is left out for it."""

import pandas as pd
import pytest

from kit.load.log_checks import check_logs
from kit.questions.log_honesty import Doubt, doubts, of_many, trusted
from kit.questions.practice import meetings
from kit.tables import DRILLS, empty
from tests.questions.drilled import day, heard, log, meeting

NAMES = "ABCDE"


def kinds(found):
    """Give kind, choir and what follows of each doubt."""
    return [(one.kind, one.choir, one.follows) for one in found]


def heard_all(on, rights, **more):
    """Let five singers try on one day."""
    return [
        heard(name, "1 2 3" if right else "1 2 2", bool(right), on=on, **more)
        for name, right in zip(NAMES, rights, strict=True)
    ]


def test_nothing_is_odd_in_an_honest_log():
    """Right and wrong tries on different days raise no doubt; neither does an empty log, or a single line."""
    drills = log([
        *heard_all(0, (1, 0, 1, 1, 0)), meeting(0, 6), *heard_all(1, (1, 1, 0, 1, 0)), meeting(1, 7),
    ])  # fmt: skip
    assert doubts(drills, check_logs(drills)) == []
    assert doubts(empty(DRILLS)) == []
    assert doubts(log([meeting(0)])) == []
    assert trusted(drills, []) is drills


def test_a_log_of_few_singers_is_theirs():
    """Beyond the school, the days of a choir whose log names few singers and never the class are not counted."""
    few = [heard("A", "1 2 3", True, on=at, choir="Fir") for at in range(4)]
    drills = log([*heard_all(0, (1, 0, 1, 1, 0)), *few])
    assert set(of_many(drills, smallest=5)["choir"]) == {"Larch"}
    assert of_many(drills, smallest=6).empty
    assert of_many(drills, smallest=1) is drills
    with_class = log([*few, meeting(0, 6, choir="Fir")])
    assert len(of_many(with_class, smallest=5)) == 5
    assert of_many(empty(DRILLS), smallest=5).empty


def test_logs_of_mistakes_give_no_shares():
    """All lines of a log that says it holds mistakes only are left out of shares, and stay among the meetings."""
    drills = log([
        heard("A", "1 2 2", False, errors_only=True, file="t.csv"), heard("A", "1 2 3", True, choir="Fir"),
        meeting(0, 5, file="t.csv"),
    ])  # fmt: skip
    found = doubts(drills, check_logs(drills))
    assert kinds(found) == [("errors_only", "", "no_shares")]
    assert trusted(drills, found)["right"].tolist() == [True]
    assert len(trusted(drills, found, use="no_minutes")) == 3


@pytest.mark.parametrize(("right", "kind"), [(True, "all_right"), (False, "all_wrong")])
def test_a_choir_without_a_miss_or_a_hit_gives_no_shares(right, kind):
    """Twenty tries all alike are not believed; nineteen are; other choirs of the file still count."""
    sung = "1 2 3" if right else "1 2 2"
    drills = log([heard(f"S{at}", sung, right, on=at) for at in range(20)] + [heard("Z", sung, right, choir="Fir")])
    found = doubts(drills, check_logs(drills))
    assert (kind, "Larch", "no_shares") in kinds(found)
    assert trusted(drills, found)["choir"].tolist() == ["Fir"]
    assert kind not in {one.kind for one in check_logs(drills.iloc[1:])}


def good_days(bad_until, last, skipped=()):
    """Rate four meetings a week: every second one badly until a day, none after it, with days left out."""
    rows = []
    for week in range(last):
        for at in range(4):
            if (week, at) not in skipped:
                rating = 2 if week < bad_until and at % 2 == 0 else 4
                rows.append(meeting(7 * week + at, 5, class_rating=rating))
    return log(rows)


def test_fewer_meetings_and_none_bad_are_good_days_only():
    """Bad days stop on the third day of week 5 and a meeting of each later week is missing: doubted from then on."""
    skipped = {(week, at) for week in range(5, 12) for at in (0, 2)}
    drills = good_days(5, 12, skipped)
    found = doubts(drills)
    assert kinds(found) == [("good_days", "Larch", "no_shares")]
    assert found[0].since == day(31)
    assert trusted(drills, found)["date"].max() == day(30)


def test_good_days_need_a_change_on_both_counts():
    """As many meetings as before, or too short a stretch, or no bad day ever, raise no doubt."""
    assert doubts(good_days(5, 12)) == []
    assert doubts(good_days(5, 7, {(5, 0), (6, 0), (6, 2)})) == []
    assert doubts(good_days(0, 12, {(week, 0) for week in range(6, 12)})) == []


def test_one_week_alone_raises_no_doubt_about_good_days():
    """All meetings of a log in one week have neither before nor after."""
    drills = log([meeting(0, 5, class_rating=2 if at < 9 else 4, choir="Larch") | {"on": at // 4} for at in range(20)])
    assert doubts(drills) == []


def test_copied_days_are_left_out_and_other_days_kept():
    """A day that repeats another, singers, patterns and answers, is not counted, nor the other; the rest is."""
    drills = log([
        *heard_all(0, (1, 0, 1, 1, 0)), *heard_all(1, (1, 1, 0, 1, 0)), *reversed(heard_all(8, (1, 0, 1, 1, 0)))
    ])  # fmt: skip
    found = doubts(drills)
    assert [(one.kind, one.found, len(one.days)) for one in found] == [
        ("copied", "2 days hold the same students, patterns and answers", 2)
    ]
    assert set(trusted(drills, found)["date"]) == {day(1)}


def test_equal_days_of_right_tries_only_are_not_called_copied():
    """Five singers who are right on two days are no copy; nor are four equal lines, or equal days of two choirs."""
    assert doubts(log([*heard_all(0, (1, 1, 1, 1, 1)), *heard_all(8, (1, 1, 1, 1, 1))])) == []
    assert doubts(log([*heard_all(0, (1, 0, 1, 1, 0))[:4], *heard_all(8, (1, 0, 1, 1, 0))[:4]])) == []
    assert doubts(log([*heard_all(0, (1, 0, 1, 1, 0)), *heard_all(8, (1, 0, 1, 1, 0), choir="Fir")])) == []


def test_minutes_that_cannot_be_are_blank_and_the_meeting_stays():
    """More than ninety minutes in all, or none, are no minutes; the day is a meeting still."""
    drills = log([meeting(0, 60), meeting(0, 40), meeting(1, 0), meeting(2, 6), heard("A", "1 2 3", True, on=0)])
    found = doubts(drills)
    assert [(one.kind, one.found, one.follows) for one in found] == [
        ("minutes", "2 meetings with minutes that cannot be", "no_minutes")
    ]
    assert meetings(trusted(drills, found, use="no_minutes"))["minutes"].isna().tolist() == [True, True, False]
    assert len(trusted(drills, found)) == 5


def test_days_without_school_are_no_meetings():
    """Lines of a Saturday and of a closed day are not counted as meetings, and their tries are still tries."""
    drills = log([meeting(0, 5), meeting(1, 5), meeting(5, 5), heard("A", "1 2 3", True, on=5)])
    closed = [day(1).date()]
    findings = check_logs(drills, [day(1).date().isoformat()])
    found = doubts(drills, findings, closed)
    assert kinds(found) == [("weekend", "", "no_meetings"), ("no_school", "", "no_meetings")]
    assert meetings(trusted(drills, found, use="no_minutes"))["date"].tolist() == [day(0)]
    assert len(trusted(drills, found)) == 4
    # without the closed days it is told alone
    assert kinds(doubts(drills, findings)) == [("weekend", "", "no_meetings"), ("no_school", "", "told")]


def test_a_line_in_two_logs_counts_once():
    """Lines that stand in both files count once, as often as in the fuller one; other lines of both stay."""
    twice = heard("A", "1 2 2", False)
    drills = log([
        twice, twice, twice | {"file": "t.csv"}, heard("B", "1 2 3", True, file="t.csv"), meeting(0, 5),
        meeting(0, 5, file="t.csv"),
    ])  # fmt: skip
    found = doubts(drills, check_logs(drills))
    assert kinds(found) == [("two_logs", "Larch", "once")]
    kept = trusted(drills, found)
    assert kept["student"].tolist() == ["A", "A", "B", ""]
    assert meetings(trusted(drills, found, use="no_minutes"))["minutes"].tolist() == [5.0]


def test_a_doubt_reaches_no_further_than_its_choir_file_and_days():
    """Lines of other choirs, files and days stay."""
    drills = log([meeting(0), meeting(0, choir="Fir"), meeting(0, file="t.csv"), meeting(7)])
    doubt = Doubt("all_right", "Larch", "s.csv", "", "no_shares", since=pd.Timestamp(day(1)))
    assert len(trusted(drills, [doubt])) == 3
    assert len(trusted(drills, [doubt], use="no_minutes")) == 4
