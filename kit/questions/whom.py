"""Who is counted, who is missing, and does it matter."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from kit.estimate import NO_ROSTER, Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.pairs import Attempt, line_up, marked_by_several
from kit.questions.scale import measure_of, scale, tested, tested_both
from kit.stats.counts import count
from kit.tables import MISSING_REASONS

__all__ = [
    "Answers", "Attempt", "LeftOut", "flow", "leavers_and_stayers", "line_up", "marked_by_several", "reasons", "whole",
]  # fmt: skip

NO_CONSENT = "left out: no consent to research"
UNLISTED = "not on the roster"


def flow(pairs: pd.DataFrame) -> list[Estimate]:
    """Count who was tested when.

    Counted: every row of `pairs`; the last four counts of tests add up to all of them.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`; ``attrs["listed"]`` says whether there is a roster, which there is unless it says otherwise.

    Returns
    -------
    list of Estimate
        Counts, each out of all students in `pairs`. Two more stand there if anybody belongs to them:
        students tested without being on the roster, and students left out of everything because
        their consent is refused, out of all with them. Without a roster the first count has a note that says so.
    """
    before, after = tested(pairs, "pre"), tested(pairs, "post")
    strangers, refused = int((~pairs["enrolled"]).sum()), pairs.attrs.get("no_consent", 0)
    numbers = {
        "on the roster": pairs["enrolled"].sum(),
        **({UNLISTED: strangers} if strangers else {}),
        "tested before": before.sum(),
        "tested after": after.sum(),
        "tested both times": (before & after).sum(),
        "tested before only": (before & ~after).sum(),
        "tested after only": (~before & after).sum(),
        "tested neither time": (~before & ~after).sum(),
    }
    counts = [count(int(number), about=about, of=len(pairs)) for about, number in numbers.items()]
    if not pairs.attrs.get("listed", True):
        counts[0] = replace(counts[0], notes=(*counts[0].notes, NO_ROSTER))
    return counts + ([count(refused, about=NO_CONSENT, of=len(pairs) + refused)] if refused else [])


def whole(flow: list[Estimate]) -> list[Estimate]:
    """Give a flow that can be drawn, or nothing where counts of it are hidden.

    Counted: nothing; it looks at what was counted before.

    Parameters
    ----------
    flow : list of Estimate
        From `flow`, or what an audience may see of it.

    Returns
    -------
    list of Estimate
    """
    return flow if any(one.about == "tested before" for one in flow) else []


def reasons(pairs: pd.DataFrame) -> list[Estimate]:
    """Count why marks are missing, for each test.

    Counted: every row of `pairs` without a mark at that test.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.

    Returns
    -------
    list of Estimate
        Counts about ``"before: absent"`` and so on, each out of all students in `pairs`; reasons that
        do not occur are not listed.
    """
    found = []
    for name, occasion in (("pre", "before"), ("post", "after")):
        numbers = pairs[f"{name}_missing"].value_counts()
        found += [
            count(int(numbers[reason]), about=f"{occasion}: {reason.replace('_', ' ')}", of=len(pairs))
            for reason in MISSING_REASONS
            if reason in numbers
        ]
    return found


def leavers_and_stayers(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Compare the first scores of students tested only before with those of students tested both times.

    Counted: everyone with a first mark.

    Parameters
    ----------
    pairs : DataFrame
        From `line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``mean_score`` of stayers and of leavers, and ``mean_difference_welch``, leavers minus stayers:
        negative where those who left had scored lower. With several choirs no interval is given.
        No estimates where nobody was tested only before.
    """
    # imported here: the check command imports this module and must not wait for scipy
    from kit.stats.means import mean_difference_welch, mean_score  # noqa: PLC0415

    chosen, stay, measure = scale(pairs), tested_both(pairs), f"{measure_of(pairs)}, first test"
    first, left = pairs[f"pre_{chosen.unit}"], tested(pairs, "pre") & ~stay
    difference = f"{measure}, tested before only minus tested both times"
    if not left.any():
        return Answers([LeftOut(difference, "Nobody was tested before only.")])
    named = pairs.loc[stay | left, "choir"]
    options = {"unit": chosen.unit, "level": level, "choirs": named[named != ""].nunique()}
    few = min(first[left].count(), first[stay].count()) < 2
    return Answers([
        ask(mean_score, first[stay], about=f"{measure}, tested both times", **options),
        ask(mean_score, first[left], about=f"{measure}, tested before only", **options),
        LeftOut(difference, "A difference needs at least 2 students tested both times and 2 tested before only.")
        if few else ask(mean_difference_welch, first[left], first[stay], about=difference, **options),
    ])  # fmt: skip
