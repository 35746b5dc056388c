"""Invented findings of a comparison, plain and awkward, as the questions give them."""

from types import SimpleNamespace

import pandas as pd

from tests.report.terms import count, estimate

NAMES = ("ear-first", "page-first")
ABOUT = "pitch, ear-first minus page-first"


def design(code, *, assigned="choirs", units=12):
    """Make a design of a code."""
    return SimpleNamespace(
        code=code, because=("Choirs were assigned at random, as declared.",), assigned=assigned, analysed=assigned,
        units=units,
    )  # fmt: skip


def start(apart=0.21, band="adjust", measure="pitch"):
    """Make one row of the first tests."""
    return SimpleNamespace(
        measure=measure, program=estimate(f"{measure}, first test, ear-first", "mean_score", 13.9),
        comparison=estimate(f"{measure}, first test, page-first", "mean_score", 12.5),
        apart=estimate(f"{measure}, first test", "hedges_g", apart, unit="SD"), band=band,
    )  # fmt: skip


BASELINES = {
    "plain": SimpleNamespace(rows=(start(), start(-0.03, "close", "rhythm")), names=NAMES, at_random=False),
    "at the limit": SimpleNamespace(rows=(start(0.2508, "apart"),), names=NAMES, at_random=True),
    "nothing": SimpleNamespace(rows=(), names=NAMES, at_random=True),
}


def lost(what="students", rating="low", began=(150, 140), kept=(140, 125)):
    """Make one level of losses."""
    loss = SimpleNamespace(overall=0.086, differential=-0.0405, limit=0.063, rating=rating, bias=0.04)
    return SimpleNamespace(what=what, began=began, kept=kept, approaches=NAMES, loss=loss)


def loss(rating="low", *, at_random=True):
    """Make losses of choirs and students."""
    levels = (lost("choirs", "low", (6, 6), (6, 6)), lost(rating=rating))
    answers = [count(10, "pitch, lost: students, ear-first", 150)]
    return SimpleNamespace(levels=levels, answers=answers, leaving="cautious", at_random=at_random)


LOSSES = {
    "plain": loss(), "a choir lost": SimpleNamespace(
        levels=(lost("choirs", "high", (6, 6), (6, 5)), lost()), answers=[], leaving="cautious", at_random=True), "high": loss("high"), "borderline, not at random": loss("borderline", at_random=False),
    "nobody": SimpleNamespace(levels=(lost("choirs", "low", (6, 6), (6, 6)), lost(kept=(150, 140))), answers=[],
                              leaving="cautious", at_random=True),
    "nothing": SimpleNamespace(levels=(), answers=[], leaving="cautious", at_random=True),
}  # fmt: skip


def difference(value=1.6, ends=(0.2, 3.0), *, unit="points", about=ABOUT, name="cluster_mean_difference", n=12):
    """Make a difference between approaches."""
    return estimate(about, name, value, ends, unit=unit, counted="choirs", n=n)


def primary(
    value=1.6, ends=(0.2, 3.0), *, unit="points", tested=True, model="gain", method="choir means", p=0.012, schools="",
    choirs=6,
):  # fmt: skip
    """Make an answer."""
    from dataclasses import replace

    main = None if value is None else difference(value, ends, unit=unit)
    return SimpleNamespace(
        main=main, shuffled=replace(main, p=p) if main and tested else None, names=NAMES, units="choirs", method=method, model=model,
        schools=schools,
        program_first=estimate("pitch, first test of choirs, ear-first", "mean_score", 13.9, counted="choirs", n=choirs),
        comparison_first=estimate("pitch, first test of choirs, page-first", "mean_score", 13.5, counted="choirs", n=6),
        program=estimate("pitch, second test of choirs, ear-first", "mean_score", 18.3, counted="choirs", n=choirs),
        comparison=estimate("pitch, second test of choirs, page-first", "mean_score", 16.3, counted="choirs", n=6),
        tested=tested, why_not="" if tested else "There are 4 choirs, and a test needs 6.",
        smallest=0.0011 if tested else None,
    )  # fmt: skip


PRIMARIES = {
    "plain": primary(),
    "below": primary(-1.6, (-3.0, -0.2), model="adjusted", method="students in choirs"),
    "open": primary(0.9, (-0.5, 2.2), p=0.4),
    "zero": primary(0.001, (-1.0, 1.0), p=1.0),
    "shares": primary(0.06, (0.01, 0.11), unit="share"),
    "schools apart": primary(schools="held apart"),
    "schools left in": primary(0.9, (-7.5, 9.0), schools="left in"),
    "no interval": primary(1.0, None, tested=False),
    "a single choir": primary(None, tested=False, choirs=1),
    "adjusted, open": primary(0.9, (-0.5, 2.2), p=0.4, model="adjusted"),
    "adjusted, zero": primary(0.001, (-1.0, 1.0), p=1.0, model="adjusted"),
    "too few choirs": primary(0.9, (-7.5, 9.0), tested=False),
    "nothing": primary(None, tested=False),
}


def models(adjusted=1.4, gain=1.0, *, settled=True, recommended="adjusted"):
    """Make both ways to use the first test."""
    one = None if adjusted is None else difference(adjusted, (-0.4, 3.2))
    other = None if gain is None else difference(gain, (-0.6, 2.6))
    return SimpleNamespace(adjusted=one, gain=other, names=NAMES, settled=settled, apart=0.07, recommended=recommended)


MODELS = {
    "plain": models(), "by gains": models(recommended="gain"), "not settled": models(1.5, -0.3, settled=False, recommended="gain"), "one": models(None),
    "nothing": models(None, None),
}  # fmt: skip


def sensitivity(*ways, naive=True, schools=""):
    """Make a table of one question put in several ways."""
    answers = [difference(value, ends, about=f"{ABOUT}, way {at}") for at, (value, ends) in enumerate(ways)]
    last = difference(1.2, (0.5, 1.9), about=f"{ABOUT}, students", name="mean_difference_welch") if naive else None
    whole = [*answers, *([last] if last else [])]
    names = tuple(f"way {at}" for at in range(len(whole)))
    return SimpleNamespace(answers=whole, names=names, naive=last, approaches=NAMES, schools=schools)


SENSITIVITIES = {
    "all open": sensitivity((1.0, (-0.2, 2.2)), (1.4, (-0.1, 2.9))),
    "some": sensitivity((1.0, (-0.2, 2.2)), (1.4, (0.1, 2.7)), (0.9, None), schools="left in"),
    "none": sensitivity((1.0, (0.2, 1.8)), (1.4, (0.1, 2.7)), schools="held apart"),
    "without": sensitivity((1.0, None), (1.1, None), naive=False),
    "alike": sensitivity((1.18, (0.2, 1.8)), (1.22, (0.1, 2.7))),
    "nothing": sensitivity(),
}


def pace(value=1.2, ends=(0.3, 2.1), unit="points"):
    """Make a difference of paces."""
    return [difference(value, ends, unit=unit, about=f"{ABOUT}, from test to test", name="growth_model")]


PACES = {
    "plain": pace(), "below": pace(-0.4, (-1.3, 0.5)), "level": pace(0.001, (-1.0, 1.0)),
    "shares": pace(0.03, (0.01, 0.05), "share"), "no interval": pace(1.2, None), "nothing": [],
}  # fmt: skip


def outcome(measure, role, value=1.0, ends=(0.2, 1.8), *, stands=None, model="gain"):
    """Make one outcome."""
    return SimpleNamespace(
        measure=measure,
        role=role,
        model=model,
        estimate=difference(value, ends, about=f"{measure}, x"),
        p_adjusted=None,
        stands=stands,
    )


def outcomes(*rows, tests=0):
    """Make a table of outcomes."""
    return SimpleNamespace(rows=rows, names=NAMES, tests=tests)


OUTCOMES = {
    "plain": outcomes(
        outcome("pitch", "primary"), outcome("syllables", "secondary", stands=True),
        outcome("intervals", "secondary", stands=False), outcome("rhythm", "negative control", 0.1, (-0.5, 0.7)),
        tests=2,
    ),
    "control apart": outcomes(outcome("rhythm", "negative control", -1.0, (-1.8, -0.2)),
                              outcome("x", "exploratory", model="adjusted")),
    "nothing": outcomes(),
}  # fmt: skip
MISSING = [
    difference(1.0, (-0.4, 2.4), about=f"{ABOUT}, complete cases"),
    difference(1.1, (-0.4, 2.6), about=f"{ABOUT}, filled in", name="imputed"),
    difference(-1.0, (-3.0, 1.0), about=f"{ABOUT}, worst case"),
    difference(3.1, (1.0, 5.2), about=f"{ABOUT}, best case"),
]
NONE_MISSING = [count(0, f"{ABOUT}, marks missing", 225)]
SUBGROUPS = [difference(0.4, (-1.0, 1.8), about="pitch, grade 7 minus grade 6", name="adjusted_difference")]
ALIKE = [
    estimate("pitch, second test", "icc_clusters", 0.12, (-0.02, 0.38), unit="agreement", n=265),
    estimate("pitch, second test", "design_effect", 3.6, (1.4, 8.0), unit="times", n=265),
]
DOSE = [
    count(150, "ear-first, students"), count(417, "ear-first, tests taken", 417), count(272, "ear-first, meetings logged"),
    count(1603, "ear-first, minutes logged"), count(140, "page-first, students"), count(391, "page-first, tests taken"),
]  # fmt: skip
SIZE = [estimate("pitch", "hedges_g", 0.31, (-0.1, 0.7), unit="SD")]


def path(result, *steps):
    """Make a review path."""
    return SimpleNamespace(
        result=result, steps=tuple(SimpleNamespace(question=question, answer=answer) for question, answer in steps)
    )


PATHS = {
    "random": path("without reservations", ("comparison", "yes"), ("single unit", "no"), ("reliable", "unknown"),
                   ("random", "yes"), ("chances", "held apart"), ("loss", "low")),
    "unlike chances": path("without reservations", ("comparison", "yes"), ("random", "yes"), ("chances", "left in"),
                           ("loss", "low")),
    "not random": path("with reservations", ("comparison", "yes"), ("single unit", "no"), ("reliable", "yes"),
                       ("random", "no"), ("alike", "adjust")),
    "ends": path("none", ("comparison", "no")),
    "starts": path("without reservations", ("starts", "yes"), ("dates", "yes"), ("agreement", "unknown")),
    "short series": path("with reservations", ("starts", "yes"), ("dates", "no")),
    "few starts": path("none", ("starts", "no")),
    "not traced": path("not traced"),
}  # fmt: skip
CHOIRS = pd.DataFrame({
    "choir": ["Larch", "Maple", "Oak"], "approach": ["ear-first", "page-first", "ear-first"], "program": [True, False, True],
    "block": ["", "", ""], "students": [20, 22, 19], "pre": [11.0, 9.5, 12.0], "post": [15.0, 14.5, 11.5],
    "gain": [4.0, 5.0, -0.5],
})  # fmt: skip
CURVES = tuple(
    tuple(difference(value, (value - 2, value + 2), about=f"pitch, {name}, {when}", name="mean_score")
          for value, when in zip(values, ("September", "December"), strict=True))
    for name, values in zip(NAMES, ((12.0, 16.0), (11.0, 14.0)), strict=True)
)  # fmt: skip
