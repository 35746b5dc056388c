"""What the questions really answer, put into words and on a page: every kind of study, every awkward class."""

import re

import numpy as np
import pytest

from kit.figures.distribution import draw_before_after
from kit.figures.flow import draw_flow
from kit.figures.intervals import draw_intervals
from kit.figures.start import draw_gains_by_start
from kit.questions import growth, quality, whom
from kit.questions.design import classify
from kit.report import words
from kit.report.page import Page
from tests.questions.worlds import choirs_of, pairs_of

OCCASIONS = ("fall", "spring")


def marks(n, average=8.0, seed=1):
    """Draw whole marks from 0 to 16."""
    return list(np.clip(np.random.default_rng([seed, n]).normal(average, 3, n).round(), 0, 16))


def choirs(number, *, approaches=("",)):
    """Make choirs of eleven that take the approaches in turn."""
    return choirs_of(*(
        (f"Choir {at}", approaches[at % len(approaches)], marks(11, seed=at), marks(11, 10, seed=at + 50))
        for at in range(number)
    ))  # fmt: skip


NONE = [None]
BOTH = ("ear", "page")
WORLDS = {
    "first test only": ("D0", "undeclared", lambda: pairs_of(marks(20), NONE * 20)),
    "second test only": ("D0", "undeclared", lambda: pairs_of(NONE * 20, marks(20))),
    "nobody twice": ("D0", "undeclared", lambda: pairs_of(marks(9) + NONE * 9, NONE * 9 + marks(9))),
    "no marks at all": ("D0", "undeclared", lambda: pairs_of(NONE * 5, NONE * 5)),
    "one student": ("D1", "undeclared", lambda: pairs_of([5], [8])),
    "two students": ("D1", "undeclared", lambda: pairs_of([5, 6], [8, 8])),
    "all gain the same": ("D1", "undeclared", lambda: pairs_of([5] * 12, [7] * 12)),
    "all at the top": ("D1", "undeclared", lambda: pairs_of([20] * 12, [20] * 12)),
    "other maximum": ("D1", "undeclared", lambda: pairs_of(marks(12), marks(12, 11), most=16, most_after=20)),
    "some missing": ("D1", "undeclared", lambda: pairs_of(marks(22) + NONE * 3, marks(18, 10) + NONE * 4 + marks(3))),
    "scores fell": ("D1", "undeclared", lambda: pairs_of(marks(22, 12), marks(22, 6, seed=2))),
    "several choirs": ("D1b", "undeclared", lambda: choirs(4)),
    "a tiny choir": ("D1b", "undeclared", lambda: choirs_of(
        ("Bass", "", marks(12), marks(12, 10)), ("Tiny", "", [3, 4], [5, 5]))),
    "one choir an approach": ("D2", "undeclared", lambda: choirs(2, approaches=BOTH)),
    "not at random": (("D3a", "D3b"), "schools_chose", lambda: choirs(6, approaches=BOTH)),
    "students at random": ("D4", "students_at_random", lambda: choirs(6, approaches=BOTH)),
    "few choirs at random": ("D5b", "choirs_at_random", lambda: choirs(4, approaches=BOTH)),
    "choirs at random": ("D5", "choirs_at_random", lambda: choirs(12, approaches=BOTH)),
}  # fmt: skip


def everything(pairs, how):
    """Write every part of a term review on a page; give the page's texts by part."""
    design = classify(pairs, how=how)
    page = Page(title="Reading test", design=design.code)
    flow, changes, reasons = whom.flow(pairs), growth.before_and_after(pairs), whom.reasons(pairs)
    facts, ends, noise = quality.how_tested(pairs), quality.ceiling_and_floor(pairs), quality.scoring_noise(
        pairs, reliability=0.56)  # fmt: skip
    starters, (gains, left_out) = growth.by_starting_third(pairs), growth.by_choir(pairs)
    bands, unit = growth.bands(pairs), growth.scale(pairs).unit
    said = {
        "headline": words.headline([*flow, *changes], code=design.code),
        "question": words.question_and_limits(flow, code=design.code, occasions=OCCASIONS),
        "who": words.who_is_counted(flow, reasons),
        "leavers": words.leavers(whom.leavers_and_stayers(pairs)),
        "test": words.how_tested(facts, what="One melody of 16 notes"),
        "noise": words.scoring_noise(noise, borrowed_from="another choir"),
        "change": words.change(changes, code=design.code),
        "starters": words.starting_points(starters),
        "choirs": words.choirs(gains, left_out),
        "individuals": words.individuals(quality.changed_beyond_noise(pairs, noise)),
        "ends": words.ceiling(ends),
        "next": words.next_steps(facts, code=design.code, estimates=ends),
        "detectable": words.detectable(growth.detectable(pairs)),
        "design": words.design_sentence(design.code, design.because),
    }
    drawn = [
        (draw_flow, (flow, reasons), {}, words.flow_caption(flow, reasons)),
        (draw_before_after, (bands,), {"unit": unit, "occasions": OCCASIONS},
         words.distribution_caption(bands, unit=unit, occasions=OCCASIONS)),
        (draw_gains_by_start, (starters,), {}, words.start_caption(starters)),
        (draw_intervals, (gains,), {}, words.intervals_caption(gains)),
    ]  # fmt: skip
    texts = {part: page.say(one).plain for part, one in said.items()}
    for draw, data, options, caption in drawn:
        if len(data[0]):  # where there is nothing to draw, the page says so and shows no caption
            caption.passed(design.code)
            draw(*data, **options)
    return design.code, texts


@pytest.mark.parametrize("world", WORLDS)
def test_a_review_is_written_for_every_kind_of_class(world):
    """Whatever the class, each part says something and passes its gate; nothing odd is printed."""
    code, how, make = WORLDS[world]
    found, texts = everything(make(), how)
    assert found in code if isinstance(code, tuple) else found == code
    for part, text in texts.items():
        assert text.strip(), part
        for odd in ("nan", "None", "inf ", "  ", "..", " ,", "−0.0", "LeftOut"):
            assert odd not in text, (part, text)
        assert not re.search(r"(?<![\d.])1 (?:students|choirs|points)\b", text), (part, text)


def test_one_test_is_never_spoken_of_as_change():
    """With one test the review says that it cannot tell, and no part speaks of a gain."""
    for world in ("first test only", "second test only", "nobody twice"):
        _, texts = everything(WORLDS[world][2](), "undeclared")
        assert texts["change"] == "There was only one test, so this report cannot say whether scores rose or fell."
        assert not any("gain" in text for text in texts.values())
        told = "took one of the two tests, and nobody took both; no average is told here."
        assert (told if world == "nobody twice" else "On average, 20 students scored ") in texts["headline"]
        assert "Too few" not in texts["headline"]


def test_averages_of_choirs_are_told_as_such():
    """Where each choir counts once, no sentence calls these averages those of all students together."""
    _, texts = everything(choirs(4), "undeclared")
    assert texts["change"].startswith("Averaged over 4 choirs, each choir counting once, scores rose by ")
    assert "all students together" not in texts["change"]


def test_a_reason_that_is_given_is_the_true_one():
    """A part that is missing does not blame what is there: the reliability is known here, and students are enough."""
    _, texts = everything(pairs_of([5] * 12, [7] * 12), "undeclared")
    assert texts["noise"].endswith("since first scores are too few or all the same.")
    assert "or their scores are too much alike" in texts["starters"]


@pytest.mark.parametrize("world", ["one choir an approach", "not at random", "students at random", "choirs at random"])
def test_a_review_of_everybody_together_claims_nothing_for_an_approach(world):
    """Even after random assignment, an average of everybody together is not the program's doing, and says so."""
    _, how, make = WORLDS[world]
    _, texts = everything(make(), how)
    assert texts["headline"].endswith("so it cannot say how much of the change came from the program.")
    assert "This report can say" not in texts["design"]
