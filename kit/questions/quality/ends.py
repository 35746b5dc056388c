"""How many stand at the top or the bottom of the scale, and how far the gain hangs on them."""

from __future__ import annotations

import numpy as np
import pandas as pd

from kit.estimate import Estimate
from kit.questions.answers import Answers, LeftOut, ask
from kit.questions.quality.choirs import each_once, noted
from kit.questions.quality.how import TESTS
from kit.questions.scale import choirs_of, measure_of, paired_marks, scale, tested
from kit.stats.counts import count
from kit.stats.means import mean_gain
from kit.stats.proportions.shares import share_wilson

TOP_NOT_KNOWN = "The most points that could be earned are not known, so nobody is known to be at the top."
NOBODY_THERE = "Nobody tested twice was there at either test."
NOT_GUARANTEED = (
    "The largest and the smallest gain are those seen among the others, so true gains may lie even further out."
)


def ceiling_and_floor(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate the shares of students at the top and at the bottom of the scale.

    Counted: everyone with a mark, at each test; for the top score those whose most points are known.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        Shares about: top score, first test; top score, second test; no points, first test; no points,
        second test. Without intervals for several choirs.
    """
    return Answers([
        _share_at(pairs, side, what, level) for what in ("top score", "no points") for side in TESTS
    ])  # fmt: skip


def _share_at(pairs: pd.DataFrame, side: str, what: str, level: float) -> Estimate | LeftOut:
    """Estimate the share of students at one end of the scale."""
    given = pairs[tested(pairs, side)]
    about = f"{measure_of(pairs)}, {what}, {TESTS[side]}"
    share = given[f"{side}_share"]
    marks, end = (share, 1.0) if what == "top score" else (share.fillna(given[f"{side}_points"]), 0.0)
    known = marks.dropna()
    if len(given) and known.empty:
        return LeftOut(about, "The most points that could be earned are not known.")
    return ask(
        share_wilson, int(np.isclose(known, end).sum()), len(known), about=about, level=level,
        dropped=len(given) - len(known), choirs=given.loc[given["choir"] != "", "choir"].nunique(),
    )  # fmt: skip


def without_the_ends(pairs: pd.DataFrame, *, level: float = 0.95) -> Answers:
    """Estimate how the mean gain changes when students at the top or the bottom are left out, or thought further.

    Counted: students tested both times. A student at the top may have been able to do more than the test shows, one
    at the bottom less. With several choirs, each counts once.

    Parameters
    ----------
    pairs : DataFrame
        From `kit.questions.whom.line_up`.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Answers
        ``mean_gain`` about: everybody; without students at the top at either test; without students at the bottom at
        either test, each after the ``count`` of those students. Where anybody was at an end, two bounds more: those
        whose true gain may be larger given the largest gain seen among students at neither end (``"at most"``), those
        whose true gain may be smaller given the smallest (``"at least"``).
    """
    chosen, pre, post = paired_marks(pairs)
    measure = measure_of(pairs)
    everybody = _gain(pairs, pre, post, f"{measure}, gain of everybody", level)
    answers = [everybody]
    top, bottom = _at_top(pre, post, chosen.maximum), [np.isclose(marks, 0) for marks in (pre, post)]
    for what, ends in (("top", top), ("bottom", bottom)):
        about = f"{measure}, gain without students at the {what}"
        at_end = ends[0] | ends[1]
        if what == "top" and chosen.maximum is None:
            answers.append(LeftOut(about, TOP_NOT_KNOWN))
        elif not at_end.any():
            answers.append(LeftOut(about, NOBODY_THERE))
        else:
            twice = int(pre.notna().sum())
            answers += [
                count(int(at_end.sum()), about=f"{measure}, tested twice and at the {what}", of=twice),
                _gain(pairs, pre.where(~at_end), post.where(~at_end), about, level),
            ]
    return Answers([*answers, *_bounds(pairs, (pre, post), top, bottom, level=level)])


def _at_top(pre: pd.Series, post: pd.Series, maximum: float | None) -> list[np.ndarray]:
    """Say who was at the top at each test; nobody where the most points are not known."""
    return [np.isclose(marks, np.nan if maximum is None else maximum) for marks in (pre, post)]


def _bounds(
    pairs: pd.DataFrame, marks: tuple[pd.Series, pd.Series], top: list[np.ndarray], bottom: list[np.ndarray], *,
    level: float,
) -> list[Estimate | LeftOut]:  # fmt: skip
    """Estimate the gain if students at an end had gained as much, or as little, as any of the others."""
    pre, post = marks
    gains = post - pre
    others = gains[~(top[0] | top[1] | bottom[0] | bottom[1])].dropna()
    may_be_more, may_be_less = top[1] | bottom[0], top[0] | bottom[1]
    if others.empty or not (may_be_more | may_be_less).any():
        return []
    ends = (
        ("at most", gains.where(~may_be_more, np.maximum(gains, others.max()))),
        ("at least", gains.where(~may_be_less, np.minimum(gains, others.min()))),
    )
    answers = []
    for what, thought in ends:
        found = _gain(pairs, pre, pre + thought, f"{measure_of(pairs)}, gain {what}", level)
        answers.append(noted(found, NOT_GUARANTEED))
    return answers


def _gain(pairs: pd.DataFrame, pre: pd.Series, post: pd.Series, about: str, level: float) -> Estimate | LeftOut:
    """Estimate a mean gain: of students, or of choirs that count once each."""
    unit = scale(pairs).unit
    if len(choirs_of(pairs)) < 2:
        return ask(mean_gain, pre, post, about=about, unit=unit, level=level)
    named = pairs["choir"].where(pairs["choir"] != "")
    means = pd.DataFrame({"pre": pre, "post": post}).groupby(named).mean().dropna()
    found = ask(mean_gain, means["pre"], means["post"], about=about, unit=unit, level=level)
    return each_once(found, choirs=len(means), nameless=int(((post - pre).notna() & named.isna()).sum()))
