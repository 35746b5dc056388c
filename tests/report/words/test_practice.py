"""Every sentence and table about practice, word by word, and that the gate lets it pass under every design."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from kit.questions.log_honesty import Doubt
from kit.questions.practice.confusion import NOT_APART
from kit.questions.practice.memory import FEW_SINGERS
from kit.report.captions import practice as captions
from kit.report.claims import CODES, gate
from kit.report.practice_sheet import page_end, stand_notes, stand_table
from kit.report.words import practice as words
from kit.report.words import practice_more as more
from kit.report.words import practice_weak as weakly
from tests.report.terms import estimate as plain

NBSP = "\u00a0"


def estimate(about, name, value, *, low=None, high=None, **more_):
    """Make an estimate from the ends of its interval and anything else it holds."""
    known = {key: more_.pop(key) for key in ("unit", "n", "counted") if key in more_}
    return replace(plain(about, name, value, None if low is None else (low, high), **known), **more_)


def share(value, low, high, about="drill log, pattern P1"):
    """Make a share of first tries."""
    return estimate(about, "degree_accuracy", value, unit="share", low=low, high=high)


def row(said="do re mi", *, pattern="P1", instead="re for do (4 of 6 misses)", sure=0.97, last="2025-12-01", order=1):
    """Make a row of the list of what to teach next."""
    return SimpleNamespace(
        pattern=pattern, said=said, kind="by step inside do-so", order=order, share=share(0.46, 0.23, 0.65), sure=sure,
        hits=4, tries=11, singers=9, instead=instead, last=None if last is None else pd.Timestamp(last),
    )  # fmt: skip


def listed(*rows, why="", secure=(), open_=0, known=0):
    """Make a list of what to teach next."""
    return SimpleNamespace(rows=rows, secure=secure, mark=0.8, open=open_, why=why, known=known)


TWO = listed(row(), row("so la so", pattern="P2", instead="", sure=0.8, last=None, order=2))


NOBODY = pd.DataFrame(columns=["student", "choir", "last", "days"])
NOBODY.attrs["heard"] = False
BEYOND = SimpleNamespace(**vars(row(instead="")) | {"kind": "beyond"})
WEAKER = SimpleNamespace(**vars(row("so la so", pattern="P2", order=2)) | {"share": share(0.3, 0.2, 0.4)})


def count(about, value, n):
    """Make a count."""
    return estimate(about, "count", value, unit="meetings", n=n)


FIDELITY = [
    count("all choirs, meetings logged", 46, 52), count("with minutes", 40, 46), count("all choirs, kept", 15, 40),
    count("minutes", 260, 260),
]  # fmt: skip
WEAK = SimpleNamespace(
    by="degree", labels=("do", "re", "mi"), why="", unplaced=3, wrong=40,
    pooled=SimpleNamespace(
        estimates=(share(0.9, 0.8, 0.95), share(0.5, 0.3, 0.7), share(0.7, 0.5, 0.9)),
        hits=[18, 6, 7], tries=[20, 12, 10], singers=[12, 3, 8],
    ),
)  # fmt: skip
NONE = SimpleNamespace(by="degree", labels=(), why="Too few.", pooled=None, unplaced=0, wrong=0)
INSTEAD = pd.DataFrame(
    [("1", "do", "7,", "low ti", 6, 10, 5, 0.6), ("1", "do", "2", "re", 4, 10, 5, 0.4)],
    columns=["note", "label", "sung", "sung_label", "times", "misses", "singers", "share"],
)
NAMES = [estimate(about, "count", value, unit="tries", n=20) for about, value in
         (("right pitch, right name", 12), ("wrong pitch, right name", 5), ("right pitch, wrong name", 1),
          ("wrong pitch, wrong name", 2))]  # fmt: skip


def rate(name, value, low, high, **more_):
    """Make a rate."""
    return estimate("first tries in the drill log", name, value, unit="log-odds", low=low, high=high, **more_)


CURVE = pd.DataFrame({"times": [0, 3], "low": [0.3, 0.5], "share": [0.41, 0.62], "high": [0.5, 0.7]})
RISING, FLAT = rate("learning_rate", 0.4, 0.2, 0.6), rate("learning_rate", 0.1, -0.2, 0.4)
FADING, OPEN = rate("forgetting_rate", -0.2, -0.3, -0.1), rate("forgetting_rate", 0.1, -0.1, 0.3)
LEFT = estimate("break", "retention_change", -0.07, unit="share", low=-0.29, high=0.14, n=27)
GAINS = [
    estimate("notes of drilled kinds", "mean_gain", 0.15, unit="share", low=0.09, high=0.2, n=14, counted="choirs"),
    estimate("notes of kinds not drilled", "mean_gain", 0.1, unit="share", low=0.05, high=0.16, n=14, counted="choirs"),
    estimate("notes of drilled kinds more", "mean_gain", 0.05, unit="share", low=0.01, high=0.08, n=14, counted="choirs"),
]  # fmt: skip
LESS = estimate("x", "mean_gain", -0.03, unit="share", low=-0.08, high=0.02, n=14, counted="choirs")
APART = [estimate("ear minus page, notes of drilled kinds", "cluster_mean_difference", 0.06, unit="share", low=-0.03,
                  high=0.16, clusters=12)]  # fmt: skip


def correlation(about, value, low, high):
    """Make a correlation between choirs."""
    return estimate(f"minutes and {about}, choirs", "correlation", value, unit="correlation", low=low, high=high, n=14)


GROWTH, NEED = correlation("growth", 0.49, -0.05, 0.81), correlation("first scores", -0.81, -0.94, -0.48)
HEARD = estimate("x", "within_slope", 0.02, unit="share", low=-0.01, high=0.05, n=265, clusters=12)
HEARD_LESS = estimate("x", "within_slope", -0.04, unit="share", low=-0.06, high=-0.01, n=265, clusters=12)
TOLD = {
    "monday": (words.monday(TWO), (
        "Next Monday, come back to “do re mi” (by step inside do-so).",
        "Why: 4 of 11 first tries by 9 singers were right. It is almost sure that fewer than 80 percent of first tries "
        "would be right if every one of these singers were asked.",
        "Listen for re in place of do (4 of 6 misses). Sing both notes to the choir and let it compare them.",
        "Then, within two weeks: “so la so”, in this order.",
        "This is about the choir as a whole; it is too little to judge a single singer by.",
    )),
    "monday of several choirs": (words.monday(listed(row(instead="")), 3), (
        "Next Monday, come back to “do re mi” (by step inside do-so).",
        "Why: 4 of 11 first tries by 9 singers were right. It is almost sure that fewer than 80 percent of first tries "
        "would be right if every one of these singers were asked.",
        "This is about 3 choirs together; what one of them needs can differ. Make this page for one choir to have the "
        "sheet for its music stand.",
    )),
    "monday, another one weaker": (words.monday(listed(row(instead=""), WEAKER)), (
        "Next Monday, come back to “do re mi” (by step inside do-so).",
        "Why: 4 of 11 first tries by 9 singers were right. It is almost sure that fewer than 80 percent of first tries "
        "would be right if every one of these singers were asked.",
        "Then, within two weeks: “so la so”, in this order.",
        "“do re mi” stands first since it is taught first, not since it is the weakest.",
        "This is about the choir as a whole; it is too little to judge a single singer by.",
    )),
    "no list": (words.monday(listed(why="Too few.")), (
        "There is no list of what to teach next. Too few.",
        "Log this instead: for each singer heard alone the pattern asked, what was sung, and whether the first try was "
        "right; right tries too, not mistakes only.",
        "Three to six singers at each meeting, another few each day, are enough for a list after some weeks.",
    )),
    "nothing weak": (words.monday(listed(why="No pattern is weak.", secure=("do mi",), open_=2, known=3)), (
        "Nothing has to be taught again by this log. No pattern is weak.", "Go on to the next pattern of your list.",
        "Probably secure: do mi. Sing one of them now and then.",
        "Of 2 patterns too little is known: hear singers alone on these first.",
    )),
    "nothing weak or secure": (words.monday(listed(why="No pattern is weak.", known=1)), (
        "Nothing has to be taught again by this log. No pattern is weak.", "Go on to the next pattern of your list.",
    )),
    "beyond": (words.monday(listed(BEYOND)), (
        "Next Monday, come back to “do re mi”.",
        "Why: 4 of 11 first tries by 9 singers were right. It is almost sure that fewer than 80 percent of first tries "
        "would be right if every one of these singers were asked.",
        "This is about the choir as a whole; it is too little to judge a single singer by.",
    )),
    "no weeks": (words.missing_weeks(pd.DataFrame(columns=["choir", "week"]), 0), ("No week is logged.",)),
    "nobody alone": (more.not_heard_words(NOBODY, smallest=1), (
        "The log has no try of a single singer, so whom to hear next cannot be told.",
    )),
    "meetings": (words.kept_or_not(FIDELITY, 5), (
        "46 of 52 possible meetings are logged; those with minutes on record have 6.5 minutes of drill each on average.",
        "15 of 40 meetings with minutes had at least 5 minutes of ear training before notation.",
        "A meeting that is not logged may have had drill all the same.",
    )),
    "meetings without minutes": (words.kept_or_not([FIDELITY[0], *[count("none", 0, 0)] * 3], 5), (
        "46 of 52 possible meetings are logged.",
        "No meeting has minutes on record, so ear training before notation cannot be counted.",
        "A meeting that is not logged may have had drill all the same.",
    )),
    "meetings without stages": (words.kept_or_not([*FIDELITY[:2], count("kept", 0, 0), FIDELITY[3]], 5), (
        "46 of 52 possible meetings are logged; those with minutes on record have 6.5 minutes of drill each on average.",
        "Whether ear training came before notation is not logged.",
        "A meeting that is not logged may have had drill all the same.",
    )),
    "no log": (words.kept_or_not([], 5), (
        "No drill log was read with this study, so what was practised is not known.",
    )),
    "gaps": (words.missing_weeks(pd.DataFrame({"choir": list("ABCDE"), "week": [pd.Timestamp("2025-12-08")] * 4
                                               + [pd.Timestamp("2025-12-15")]})), (
        "Week of 8 December 2025: no meeting logged by 4 choirs.", "Week of 15 December 2025: no meeting logged by E.",
        "Was there no drill, or was it not written down?",
    )),
    "no gaps": (words.missing_weeks(pd.DataFrame(columns=["choir", "week"])), (
        "No week of school is without a logged meeting.",
    )),
    "names and pitches": (weakly.name_or_pitch(NAMES), (
        "Of 20 first tries marked for both, 5 had the right names with a wrong pitch, 1 the right pitches with a wrong "
        "name, and 2 had both wrong.",
        "Many teachers answer a right name with a wrong pitch by ear training, a right pitch with a wrong name by "
        "reading and naming (common practice, no source).",
    )),
    "not marked apart": (weakly.name_or_pitch([], NOT_APART), (
        "Pitch and name were not marked apart, so neither can be told from the other.",
    )),
    "no doubts": (more.trust([], 12), (
        "Looked for and not found: logs of mistakes only or of good days only, copied days, the same lines twice, minutes "
        "that cannot be, days without school. That does not make a log complete.",
    )),
    "nothing to doubt": (more.trust([], 0), ("No drill log was read with this study.",)),
    "doubts": (more.trust([
        Doubt("errors_only", "", "t.csv", "", "no_shares"),
        Doubt("good_days", "Larch", "", "fewer meetings are logged", "no_shares", pd.Timestamp("2025-11-03")),
        Doubt("good_days", "Maple", "", "fewer meetings are logged", "no_shares", pd.Timestamp("2025-11-10")),
        Doubt("copied", "Larch", "", "2 days hold the same answers", "no_shares"),
        Doubt("minutes", "Larch", "", "1 meeting with minutes that cannot be", "no_minutes"),
        Doubt("weekend", "", "t.csv", "t.csv: 2 lines on a Saturday or Sunday.", "no_meetings"),
        Doubt("two_logs", "Larch", "", "3 days in more than one log.", "once"),
        Doubt("gap", "Larch", "", "No line from October on.", "told"),
    ]), (
        "t.csv holds mistakes only. Without the right tries there is no share; what was sung instead is still counted. "
        "These lines are not counted in shares of tries right.",
        "Larch (from 3 November 2025 on) and Maple (from 10 November 2025 on): fewer meetings are logged. Shares from good "
        "days only would look too high. These lines are not counted in shares of tries right.",
        "Larch: 2 days hold the same answers; they look copied. These lines are not counted in shares of tries right.",
        "Larch: 1 meeting with minutes that cannot be. These minutes are not counted.",
        "t.csv: 2 lines on a Saturday or Sunday. These lines are not counted as meetings.",
        "3 days in more than one log. What stands in both is counted once.",
        "No line from October on. Nothing is left out for it.",
    )),
    "sticking": (more.sticking([RISING, FADING], CURVE, [LEFT]), (
        "Of patterns not practised before, about 41 percent of first tries would be right; of patterns practised on 3 "
        "days before, about 62 percent (plausibly 50 to 70 percent).",
        "Patterns practised often were begun early, so this describes how tries went and does not show that practice is "
        "the reason.",
        "After more days without the pattern, first tries were right less often.",
        "Over the longest break the share of right tries differed by −7 percentage points (27 pairs of a singer and a "
        "pattern), plausibly between −29 and 14 percentage points, so it could be lower or higher.",
    )),
    "open": (more.sticking([FLAT, OPEN], CURVE, []), (
        "Whether first tries are right more often after more days of practice is open: the range includes zero.",
        "Whether tries are right less often after more days without the pattern is open.",
        "The log has no break with the same singers and patterns on both sides, so what is left cannot be told.",
    )),
    "nothing known": (more.sticking([], pd.DataFrame(), []), (
        "There are too few dated first tries to say how they go with practice.",
        "The log has no break with the same singers and patterns on both sides, so what is left cannot be told.",
    )),
    "carried over": (more.carried_over(GAINS), (
        "Notes of drilled kinds: 15 percentage points from the first test to the second, plausibly between 9 and 20 "
        "percentage points (14 choirs).",
        "Notes of kinds not drilled: 10 percentage points from the first test to the second, plausibly between 5 and 16 "
        "percentage points (14 choirs).",
        "On notes of drilled kinds the same students gained 5 percentage points more than on others, plausibly between 1 "
        "and 8 percentage points.",
        "Growth on both kinds holds a term of singing and practice with the test; only a comparison of approaches could "
        "tell what goes with the drill.",
    )),
    "carried over, two approaches": (more.carried_over([*GAINS[:2], LESS], APART), (
        "Notes of drilled kinds: 15 percentage points from the first test to the second, plausibly between 9 and 20 "
        "percentage points (14 choirs).",
        "Notes of kinds not drilled: 10 percentage points from the first test to the second, plausibly between 5 and 16 "
        "percentage points (14 choirs).",
        "On notes of drilled kinds the same students gained 3 percentage points less than on others, plausibly between "
        "−2 and 8 percentage points; the range includes zero.",
        "Ear minus page, notes of drilled kinds: growth differs by 6 percentage points, plausibly between −3 and 16 "
        "percentage points (12 choirs).",
        "Growth on both kinds holds a term of singing and practice with the test, under both approaches alike. If drill "
        "carries over, the approaches differ on notes of drilled kinds; if it goes beyond them, on the others too.",
    )),
    "not tagged": (more.carried_over([]), (
        "The tests do not say which notes are of drilled kinds, so transfer cannot be looked at.",
    )),
    "minutes": (more.minutes_and_growth([GROWTH, NEED], [RISING], [HEARD]), (
        "Between choirs: minutes and growth have a correlation of 0.49, plausibly −0.05 to 0.81, 14 choirs; the range includes zero.",
        "Minutes and first scores run in opposite directions (correlation −0.81, plausibly −0.94 to −0.48, 14 choirs), as "
        "they do where minutes follow need. So lower scores where there are many minutes do not show that drill does harm.",
        "Within choirs: singers heard alone on five days more than others of their choir grew by 2 percentage points more, "
        "plausibly between −1 and 5 percentage points (265 singers of 12 choirs); the range includes zero.",
        "Whom a teacher hears often may be no accident: those who need it, or those who offer. So the difference cannot be "
        "put down to being heard.",
        "Within singers: first tries were right more often for patterns practised on more days before.",
        "All this describes what was seen together. None of it says what more minutes would do.",
    )),
    "heard more and grown less": (more.minutes_and_growth([], [], [HEARD_LESS]), (
        "There are too few choirs with minutes and two tests to set one beside the other.",
        "Within choirs: singers heard alone on five days more than others of their choir grew by 4 percentage points less, "
        "plausibly between 1 and 6 percentage points (265 singers of 12 choirs).",
        "Whom a teacher hears often may be no accident: those who need it, or those who offer. So the difference cannot be "
        "put down to being heard.",
        "All this describes what was seen together. None of it says what more minutes would do.",
    )),
    "all grown alike": (more.minutes_and_growth([], [], [replace(HEARD, interval=None, notes=("x",))]), (
        "There are too few choirs with minutes and two tests to set one beside the other.",
        "Within choirs: singers heard alone on five days more than others of their choir grew by 2 percentage points more "
        "(265 singers of 12 choirs); how sure that is cannot be told.",
        "All this describes what was seen together. None of it says what more minutes would do.",
    )),
    "too few choirs": (more.minutes_and_growth([], [FLAT]), (
        "There are too few choirs with minutes and two tests to set one beside the other.",
        "Within singers: whether first tries go with practice before is open; the range includes zero.",
        "All this describes what was seen together. None of it says what more minutes would do.",
    )),
    "all heard": (more.not_heard_words(pd.DataFrame(columns=["student", "choir", "last", "days"]), smallest=1), (
        "By the log, no singer has waited more than two weeks for a try alone.",
    )),
    "not heard": (more.not_heard_words(pd.DataFrame({"last": [pd.NaT, pd.Timestamp("2025-10-01")]}), smallest=1), (
        "2 singers had no try alone in the last two weeks of the log; 1 of them never.",
    )),
    "not heard, beyond the teacher": (more.not_heard_words(pd.DataFrame({"last": [pd.NaT]}), smallest=5), (
        "Who has not been heard alone lately stands in the teacher's own copy only.",
    )),
}  # fmt: skip


NEEDS_TWO_TESTS = {"carried over", "carried over, two approaches", "minutes", "dose", "dose, both", "heard more and grown less",
    "all grown alike"}  # fmt: skip


@pytest.mark.parametrize("name", TOLD)
def test_sentences_word_by_word(name):
    """Each is as written here."""
    said, expected = TOLD[name]
    assert said.sentences == expected


@pytest.mark.parametrize("code", CODES)
def test_the_gate_lets_all_of_it_pass(code):
    """No sentence claims more than any design allows; what needs two tests is not said with one."""
    for name, (said, _) in TOLD.items():
        for sentence in () if code == "D0" and name in NEEDS_TWO_TESTS else said.sentences:
            gate(sentence, code=code, limits=said.limits, names=("Larch",))
    for note in (*words.next_notes(TWO, 0.95), *weakly.weak_notes(WEAK), *stand_notes()):
        gate(note, code=code, limits=True)


@pytest.mark.parametrize(
    ("chance", "word"), [(0.95, "almost sure"), (0.9499, "likely"), (0.75, "likely"), (0.7, "open")]
)
def test_chances_have_words(chance, word):
    """From .95 on almost sure, from .75 on likely."""
    assert words.how_sure(chance) == word


GOT = "Of 9 pairs of a singer and a pattern, 5 were heard on 3 first tries or more, and 3 had 3 in a row right."


@pytest.mark.parametrize(
    ("value", "interval", "told"),
    [(3.0, (2.0, 5.0), f"{GOT} Half would need about 3 first tries, plausibly 2 to 5, if those heard less often go like "
      "those heard more often. Who is not there yet is kept in the count."),
     (3.0, (2.0, float("inf")), f"{GOT} Half would need about 3 first tries, plausibly 2 or more, if those heard less often "
      "go like those heard more often. Who is not there yet is kept in the count."),
     (None, None, f"{GOT} Too few are followed for long enough to say how many tries half of them need.")],
)  # fmt: skip
def test_tries_until_there(value, interval, told):
    """The range may have no upper end; without an estimate the count stands alone."""
    found = [] if value is None else [
        estimate("x", "trials_to_criterion", value, unit="tries", low=interval[0], high=interval[1])
    ]  # fmt: skip
    curve = SimpleNamespace(reached=3, n=9, times=np.array([1.0, 3.0]), at_risk=np.array([9, 5]))
    assert " ".join(more.until_there(found, curve, 3).sentences) == told
    short = SimpleNamespace(reached=0, n=9, times=np.array([1.0]), at_risk=np.array([9]))
    assert more.until_there([], short, 3).sentences[0].startswith("Of 9 pairs of a singer and a pattern, 0 were heard")
    assert more.until_there([], None, 3, FEW_SINGERS).sentences == (
        "How many tries it takes until 3 in a row are right is not told. Too few singers stand behind it to be shown.",
    )


def test_drawn_singers_are_told():
    """Where singers were drawn at random the sentence about it is repeated."""
    note = "From the tries of 5 of 9 singers drawn at random, 50 of 90 tries."
    found = more.sticking([rate("learning_rate", 0.4, 0.2, 0.6, notes=(note,)), FADING], CURVE, [])
    assert found.sentences[-1] == note
    assert found.sentences.count(note) == 1


def test_the_list_as_a_table():
    """Counts, share with its range, certainty, what was sung instead, and the last day, which may be none."""
    assert words.next_table(TWO).to_dict("records") == [
        {"Pattern": "do re mi (P1)", "Right (singers)": f"4{NBSP}of{NBSP}11{NBSP}(9)",
         "Share, all asked": "46 % (23 to 65 %)", "Weak?": "almost sure", "Sung instead": "re for do (4 of 6 misses)",
         "Last drilled": "1 Dec"},
        {"Pattern": "so la so (P2)", "Right (singers)": f"4{NBSP}of{NBSP}11{NBSP}(9)",
         "Share, all asked": "46 % (23 to 65 %)", "Weak?": "likely", "Sung instead": "too few to tell",
         "Last drilled": "never"},
    ]  # fmt: skip
    assert words.next_shares(TWO) == tuple(one.share for one in TWO.rows)
    assert words.next_table(listed()).empty


def test_days_of_several_years_have_their_year():
    """Where the days of a list are of two years, each is written with its year."""
    two = listed(row(), row(pattern="P2", last="2026-01-07"), row(pattern="P3", last=None))
    assert words.next_table(two)["Last drilled"].tolist() == ["1 Dec 2025", "7 Jan 2026", "never"]


def test_lists_of_each_choir_stand_side_by_side():
    """A row for each choir with a list; counts in the teacher's copy only; who has none is named with the reason."""
    lists = {
        "Fir": TWO,
        "Larch": listed(row(instead=""), why=""),
        "Oak": listed(why="Too few tries."),
        "Yew": listed(why="Too few tries."),
    }
    assert words.each_table(lists).to_dict("records") == [
        {"Choir": "Fir", "Sing first": "do re mi", "Listen for": "re for do", "Then": "so la so",
         "Right (singers)": f"4{NBSP}of{NBSP}11{NBSP}(9)", "Weak?": "almost sure"},
        {"Choir": "Larch", "Sing first": "do re mi", "Listen for": "–", "Then": "–",
         "Right (singers)": f"4{NBSP}of{NBSP}11{NBSP}(9)", "Weak?": "almost sure"},
    ]  # fmt: skip
    assert list(words.each_table(lists, smallest=5).columns) == ["Choir", "Sing first", "Listen for", "Then", "Weak?"]
    assert words.each_table({"Oak": listed(why="Too few tries.")}).empty
    assert words.each_notes(lists) == [
        "Each list is made from the tries of that choir alone, in the order of the pattern list. Right, and how sure it "
        "is that it is weak: of the pattern to sing first.",
        "No list for Oak and Yew: too few tries.",
    ]  # fmt: skip
    assert words.each_notes({"Fir": TWO}, smallest=5) == [
        "Each list is made from the tries of that choir alone, in the order of the pattern list.",
    ]  # fmt: skip
    for note in words.each_notes(lists):
        gate(note, code="D1", limits=True)


def test_notes_on_the_list_tell_what_is_secure_and_open():
    """The mark, the level, and both ends of the list."""
    notes = words.next_notes(listed(row(), secure=("do mi (P5)", "do re (P6)"), open_=2), 0.9)
    assert "fewer than 80 percent of first tries" in notes[0]
    assert notes[1] == (
        "Right: first tries, with the singers heard in brackets. Share, all asked: what would be right if every one of "
        "these singers had been asked, with its plausible range, a 90 % interval."
    )
    assert notes[-2:] == [
        "Probably secure: do mi (P5) and do re (P6).", "Patterns with too few first tries to tell: 2.",
    ]  # fmt: skip
    assert len(words.next_notes(TWO, 0.9)) == 3


def test_meetings_as_a_table():
    """A row for each choir; without minutes on record a word and a dash."""
    fir = [count("Fir, meetings logged", 3, 4), *[count("Fir, none", 0, 0)] * 3]
    ash = [count("Ash, meetings logged", 3, 4), count("Ash, timed", 2, 3), count("Ash, kept", 0, 0), count("m", 9, 9)]
    assert words.meetings_table([*FIDELITY, *fir, *ash]).to_numpy().tolist() == [
        ["all choirs", "46 of 52", "15 of 40", "260"], ["Fir", "3 of 4", "no minutes logged", "–"],
        ["Ash", "3 of 4", "stages not logged", "9"],
    ]  # fmt: skip


def test_weak_rows_stand_fewest_right_first():
    """Counts beside shares; without shares no row and no note."""
    assert weakly.weak_table(WEAK).to_numpy().tolist() == [
        ["re", f"6{NBSP}of{NBSP}12", 3, "50 %", "30 to 70 %"], ["mi", f"7{NBSP}of{NBSP}10", 8, "70 %", "50 to 90 %"],
        ["do", f"18{NBSP}of{NBSP}20", 12, "90 %", "80 to 95 %"],
    ]  # fmt: skip
    assert weakly.weak_table(WEAK).columns[0] == "Degree"
    assert weakly.weak_table(NONE).empty
    assert weakly.weak_estimates(NONE) == ()
    assert weakly.weak_notes(NONE) == []


def test_hidden_rows_take_another_along():
    """Re has three singers; where five are needed mi, the next smallest, is hidden too, in table and numbers.

    Where ten are needed re and mi may be of the same few, so do, the rest of the total, is hidden as well.
    """
    assert weakly.weak_table(WEAK, smallest=5)["Degree"].tolist() == ["do"]
    assert weakly.weak_estimates(WEAK, smallest=5) == (WEAK.pooled.estimates[0],)
    assert weakly.weak_table(WEAK, smallest=10).empty
    assert weakly.weak_notes(WEAK, smallest=5)[-1] == (
        "Rows left out because too few singers stand behind one of them: 2."
    )


def test_notes_under_shares():
    """How shares go together, that notes of one try are alike, what is left out; the second time only what is new."""
    notes = weakly.weak_notes(WEAK)
    assert notes[1:] == [
        "Single notes of first tries; notes of one try are alike, so the ranges are somewhat too narrow.",
        "Left out: 3 of 40 wrong first tries, which do not say which note was missed. So the shares are a little too high.",
    ]  # fmt: skip
    assert weakly.weak_notes(WEAK, again=True) == []
    assert len(weakly.weak_notes(SimpleNamespace(**{**vars(WEAK), "by": "pattern", "unplaced": 0}))) == 1


def test_what_was_sung_instead_as_a_table():
    """Most often first, in percent of the misses; hidden notes are counted."""
    assert weakly.instead_table(INSTEAD).to_numpy().tolist() == [["do", 10, 5, "low ti 60 %, re 40 %"]]
    assert weakly.instead_table(INSTEAD.iloc[:0]).empty
    hidden = INSTEAD.copy()
    hidden.attrs["hidden"] = 2
    assert weakly.instead_notes(hidden, 10) == [
        "Percent of the misses of each note. A note with fewer than 10 misses has no row.",
        "Notes left out because misses or singers are too few: 2.",
    ]  # fmt: skip
    assert len(weakly.instead_notes(INSTEAD, 10)) == 1


def test_class_ratings_as_a_table():
    """Days, tries and the share right."""
    found = pd.DataFrame([(2.0, 3, 14, 9, 0.5)], columns=["rating", "days", "tries", "singers", "share"])
    assert more.class_table(found).to_numpy().tolist() == [["2", 3, 14, "50 %"]]


def test_singers_are_listed_for_their_teacher_only():
    """Twelve at most; nothing outside the teacher's own copy."""
    rows = [(f"S{at}", "Larch", pd.NaT if at == 0 else pd.Timestamp("2025-10-01"), 20) for at in range(15)]
    found = pd.DataFrame(rows, columns=["student", "choir", "last", "days"])
    table = more.not_heard_table(found, smallest=1)
    assert len(table) == 12
    assert table.iloc[:2].to_numpy().tolist() == [["S0", "Larch", "never"], ["S1", "Larch", "1 October 2025"]]
    assert more.not_heard_table(found, smallest=5).empty


def test_the_sheet_spreads_the_patterns_over_two_weeks():
    """Two patterns over six meetings, the earlier one again from the second on, and room to write."""
    table = stand_table(TWO, 3)
    assert table["Meeting"].tolist() == [f"week{NBSP}{week},{' '}{at}" for week in (1, 2) for at in (1, 2, 3)]
    assert table["Sing"].tolist() == ["do re mi"] * 3 + ["so la so"] * 3
    assert table["Then again"].tolist() == ["–"] * 3 + ["do re mi"] * 3
    assert table["Listen for"].tolist() == ["re for do"] * 3 + ["–"] * 3
    assert table["Heard alone"].str.strip().eq("").all()
    assert stand_table(listed(), 3).empty
    assert len(stand_table(listed(*[row(order=at) for at in range(5)]), 1)) == 2


def test_the_sheet_ends_its_page():
    """In print what follows begins on a new page."""
    assert 'class="note page-end"' in page_end().body


WEEKS = pd.DataFrame({
    "label": ["do", "do", "re"], "week": pd.to_datetime(["2025-09-01", "2025-09-08", "2025-09-01"]), "tries": [10, 4, 7],
    "share": [0.9, float("nan"), float("nan")],
})  # fmt: skip
CAPTIONS = {
    "weeks": (captions.weeks_caption(WEEKS), "First tries right for each degree, week by week",
              "A grid of 2 rows, weeks from left to right. do: 90 % of 10; re: hidden."),
    "instead": (captions.instead_caption(INSTEAD), "What was sung instead of each note",
                "A grid, notes asked from low at the bottom to high at the top. do (10 misses): low ti 60 %, re 40 %."),
    "days": (captions.days_caption(pd.DataFrame({"choir": ["Fir", "Fir"], "date": pd.to_datetime(["2025-09-01"] * 2),
                                                 "minutes": [5.0, float("nan")]})),
             "Minutes of drill, meeting by meeting",
             "A strip of bars for each choir, a bar for each meeting. Fir: 2 meetings, 5 minutes."),
    "learning": (captions.learning_caption(CURVE), "First tries right by days of practice before",
                 "A line with a band around it. 0 days: 41 % (30 % to 50 %); 3 days: 62 % (50 % to 70 %)."),
    "waiting": (captions.waiting_caption(pd.DataFrame({"times": [3.0], "waiting": [0.5]}), 3),
                "Not there yet: pairs of a singer and a pattern without 3 right first tries in a row",
                "Steps downward from all. after 3: 50 %."),
    "break": (captions.break_caption(pd.DataFrame({"before": [0.74], "after": [0.67], "pairs": [27]})),
              "Tries right before and after the longest break", "Two points: 74 % before, 67 % after."),
    "dose": (captions.dose_caption(pd.DataFrame({"choir": ["Fir"], "minutes": [200.0], "gain": [-0.04]})),
             "Minutes of drill and average growth, a point for each choir",
             "1 point. Fir: 200 minutes, −4.0 percentage points."),
    "dose, both": (captions.dose_caption(
        pd.DataFrame({"choir": ["Fir"], "minutes": [200.0], "gain": [-0.04]}),
        pd.DataFrame({"choir": ["Fir"], "slope": [0.031], "spread": [2.0]}), HEARD,
    ), "Drill and growth, between choirs and within them",
        "Above, 1 point. Fir: 200 minutes, −4.0 percentage points. Below, lines through each choir's average, percentage "
        "points of growth for 5 days more heard alone: Fir +3.1; all choirs +2.0, band −1.0 to +5.0."),
}  # fmt: skip


@pytest.mark.parametrize("name", CAPTIONS)
def test_captions_word_by_word(name):
    """The title, and what a blind reader is told in place of the picture."""
    caption, title, alt = CAPTIONS[name]
    assert (caption.title, caption.alt) == (title, alt)
    for code in set(CODES) - ({"D0"} if name in NEEDS_TWO_TESTS else set()):
        gate(caption.note, code=code, place="caption")
        gate(caption.title, code=code, place="caption")


def test_answers_stand_from_low_to_high():
    """By octave and degree, words last."""
    rows = [
        ("no answer", "no answer"),
        ("1'", "high do"),
        ("something else", "something else"),
        ("7,", "low ti"),
        ("2", "re"),
    ]
    found = pd.DataFrame(rows, columns=["sung", "sung_label"])
    assert captions.answers_in_order(found) == ["low ti", "re", "high do", "something else", "no answer"]
