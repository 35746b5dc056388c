"""The sentences of the planning workbench: what a study could see, what it would need, and what was assumed."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, percent_level, show
from kit.report.phrases import listed, people, pick
from kit.report.said import Said
from kit.report.tables.plan import TESTS, Grid, Plan, choirs_caption, grid_notes, grid_table

__all__ = [
    "ANY", "by_students", "cautions", "choirs_caption", "first_test", "grid_notes", "grid_table", "in_short",
    "shuffled", "simulated", "staggered", "what_is_planned",
]  # fmt: skip

ANY = "D1b"
"""Design whose words a plan without a study is held to: nothing is compared yet."""
SD = (
    "Sizes are in SD, the standard deviation of all students' scores: 0.50 SD is half of a student's usual distance "
    "from the average."
)
LESS_OFTEN = (
    "In truth it would be seen somewhat less often, since groups of choirs never start exactly alike; the check by "
    "simulation allows for that."
)
DUST, A_MILLIONTH = 1e-12, 1e-6


def what_is_planned(plan: Plan) -> Said:
    """Say what the plan is, what of it was found in a study, and what is assumed.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    Said
    """
    facts = {
        "choirs": people(plan.choirs, "choir"), "students": f"{people(plan.students)} tested in each",
        "correlation": f"a correlation of {bare(plan.correlation, 'correlation')} between the two tests",
    }  # fmt: skip
    found = [told for fact, told in facts.items() if fact in plan.from_study]
    given = [told for fact, told in facts.items() if fact not in plan.from_study]
    alike = listed([f"{100 * share:g}" for share in plan.alike]).replace(" and ", " or ")
    sentences = [
        "The plan: whole choirs are assigned at random, about half of them to the program, and students are tested "
        "once or twice.",
        *([f"Found in the study: {listed(found)}."] if found else []),
        *([f"Taken from the settings above: {listed(given)}."] if given else []),
        f"Not known before a study: how alike singers of one choir are. Looked at: {alike} percent of the variance of "
        "scores lies between choirs. No published number for choirs' reading scores is built in.",
        f"Asked for: to notice a difference {_often(plan)}, where noticing means that a {percent_level(plan.level)} "
        "interval leaves zero out.",
        SD,
    ]
    return Said(tuple(sentences))


def in_short(sizes: Grid, needed: Grid, plan: Plan) -> Said:
    """Say in a few sentences what the plan could see, and how many choirs its difference would need.

    Parameters
    ----------
    sizes, needed : Grid
        From ``kit.questions.planning.sizes`` and ``needed``.
    plan : Plan
        The plan.

    Returns
    -------
    Said
    """
    best = sizes.rows[sizes.rows["value"].notna()]
    best = best[best["first_test"] == best["first_test"].max()]
    told, used = [f"{people(plan.choirs, 'choir')} cannot be enough to compare two approaches."], []
    if len(best):
        which = TESTS[bool(best["first_test"].max())].lower()
        told = [
            f"{people(plan.choirs, 'choir')} of {people(plan.students)} {which} would show a difference of "
            f"{_range(best['value'], 'SD')}{_depending(best['value'])} {_often(plan)}; a smaller one would often be "
            "missed."
        ]
        told += [LESS_OFTEN] if best["first_test"].any() else []
        used = [one for one in sizes.estimates if one.about.endswith(which)]
    wanted = needed.rows[needed.rows["first_test"]]
    told.append(
        f"To see {show(plan.difference, 'SD')}, {_range(wanted['value'], 'choirs')} are needed with a first test"
        f"{_depending(wanted['value']).removesuffix(',')}."
    )
    used += [one for one in needed.estimates if one.about.endswith("with a first test")]
    return Said((*told, "These are numbers about a plan, not about any student or choir."), tuple(used))


def first_test(sizes: Grid, needed: Grid) -> Said:
    """Say what a first test buys, in sizes and in choirs.

    Parameters
    ----------
    sizes, needed : Grid
        From ``kit.questions.planning.sizes`` and ``needed``.

    Returns
    -------
    Said
    """
    pairs = [(alike, *_pair(rows)) for alike, rows in needed.rows.groupby("alike", sort=True)]
    told = [
        f"With {100 * alike:g} percent between choirs: {bare(without, 'choirs')} choirs without a first test, "
        f"{bare(adjusted, 'choirs')} with one."
        for alike, without, adjusted in pairs
    ]
    why = [why for why in dict.fromkeys(sizes.rows["why"]) if why]
    return Said(
        (
            "A first test tells beforehand who reads well, so fewer choirs are needed to see the same difference."
            if all(adjusted < without for _, without, adjusted in pairs)
            else "A first test that agrees so little with the second saves hardly any choirs.",
            *told, "That holds if the two tests agree as closely as the plan says, between choirs as well as inside "
            "them.", *why,
        ),
        tuple(needed.estimates),
    )  # fmt: skip


def by_students(estimates: Sequence[Estimate]) -> Said:
    """Say what could be seen in one choir, and if students were assigned one by one.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.planning.by_students``.

    Returns
    -------
    Said
    """
    alone = pick(estimates, "detectable_gain")
    without = pick(estimates, "detectable_difference", "without a first test")
    adjusted = pick(estimates, "detectable_difference", "with a first test")
    told = []
    if alone:
        told += [
            f"One choir of {people(alone.n)} tested twice could show a distance of {show(alone.value, 'SD')} between "
            "its two averages, but not where it came from."
        ]
    if without and adjusted:
        told += [
            f"If {people(without.n)} could be assigned one by one, {show(without.value, 'SD')} could be seen without a "
            f"first test and {show(adjusted.value, 'SD')} with one.",
            "That is finer than whole choirs allow, but singers of one choir rehearse together, so it can rarely be "
            "done.",
        ]
    return Said(tuple(told or ["Too few students to say what they could show."]), tuple(estimates))


def shuffled(estimates: Sequence[Estimate], *, level: float) -> Said:
    """Say how surprising an outcome could be at most, for each way to assign the choirs.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.planning.shuffled``.
    level : float
        Level of the intervals; what is left of 1 is the limit that a result is held to.

    Returns
    -------
    Said
    """
    limit = 1 - level
    never = f", so that no outcome could be rarer than the usual limit of 1 time in {_one_in(limit)}"
    told = [
        f"{one.about[0].upper()}{one.about[1:]}: chance alone brings the most extreme outcome 1 time in "
        f"{_one_in(one.value)}{never if one.value > limit + DUST else ''}."
        for one in estimates
    ]
    if not estimates:
        return Said(("There are too few choirs to assign them in more than one way.",))
    return Said(
        (
            "An outcome can be judged by shuffling: how often would choirs lie so far apart if approaches had been "
            "dealt out by chance alone? With few choirs there are few ways to do so, however far apart they end.",
            *told,
        ),
        tuple(estimates),
    )  # fmt: skip


def staggered(estimates: Sequence[Estimate], *, starts: int, plan: Plan) -> Said:
    """Say what a staggered start offers, and the smallest difference that it would show.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.planning.staggered``.
    starts : int
        Starting dates that are planned.
    plan : Plan
        The plan.

    Returns
    -------
    Said
    """
    enough = "The plan has that many." if starts >= 3 else f"The plan has {starts}."
    values = [one.value for one in estimates]
    sizes = values and (
        f"{people(plan.choirs, 'choir')} of {people(plan.students)} with {starts} starting dates, tested "
        f"{starts + 1} times, would show a difference of {_range(values, 'SD')}{_depending(values)} {_often(plan)}.",
        "That takes the approach to show in full at the very next test, and a choir's average to keep its place from "
        "test to test as closely as its students do. With fewer than about 12 choirs it is a rough guide.",
    )  # fmt: skip
    return Said(
        (
            "A staggered start lets every choir take part: each begins at its own date, drawn at random, and all are "
            "tested at every date, so that choirs that wait are compared with those that have begun.",
            "Reviewers of single cases ask for at least 3 starting dates, and for at least 3 tests of every choir "
            f"before and after its date. {enough}",
            *(sizes or ("There are too few choirs for a staggered start.",)),
        ),
        tuple(estimates),
    )


def simulated(noticed: Grid, plan: Plan) -> Said:
    """Say how often simulated studies show the difference, as a check of the formulas.

    Parameters
    ----------
    noticed : Grid
        From ``kit.questions.planning.noticed``.
    plan : Plan
        The plan.

    Returns
    -------
    Said
    """
    if not noticed.estimates:
        return Said(("Nothing was simulated: there are too few choirs to compare two approaches.",))
    shares = noticed.rows.loc[noticed.rows["value"].notna(), "value"]
    studies = noticed.estimates[0].n
    told = [
        f"In {studies:,} simulated studies for each row, {people(plan.choirs, 'choir')} would show a true difference "
        f"of {show(plan.difference, 'SD')} in {_range(shares, 'share')} of them."
    ]
    if any(one.about.endswith("with a first test") for one in noticed.estimates):
        told.append(
            "With a first test they notice less often than the formula says, the more so the fewer choirs there are, "
            "because groups of choirs never start exactly alike; the simulation allows for that."
        )
    return Said(tuple(told), tuple(noticed.estimates))


def cautions() -> Said:
    """Say what a plan cannot say."""
    return Said(
        (
            "A plan cannot say what will be found, since the true difference is not known.",
            "Choirs and students who leave before the second test make a study smaller than planned.",
            "Where choirs choose their approach, these numbers are a best case.",
            "Ask a statistician before money or a term of teaching depends on a plan.",
        ),
        limits=True,
    )


def _often(plan: Plan) -> str:
    """Write how often a difference is to be noticed: ``80 times in 100``."""
    return f"{100 * plan.power:g} times in 100"


def _depending(values: Sequence[float]) -> str:
    """Say why there are several numbers, if there are."""
    return ", depending on how alike singers of one choir are," if len(values) > 1 else ""


def _range(values: Sequence[float], unit: str) -> str:
    """Write the smallest and the largest of some numbers: ``0.65 to 1.02 SD``."""
    low, high = min(values), max(values)
    if bare(low, unit) == bare(high, unit):
        return show(low, unit)
    return f"{bare(low, unit).removesuffix(' %')} to {show(high, unit)}"


def _pair(rows: pd.DataFrame) -> tuple[float, float]:
    """Give the value without and the value with a first test."""
    return rows.loc[~rows["first_test"], "value"].item(), rows.loc[rows["first_test"], "value"].item()


def _one_in(share: float) -> str:
    """Write how often something happens: the 35 of ``1 in 35``."""
    return f"{1 / share:,.0f}" if share > A_MILLIONTH else "more than 1,000,000"
