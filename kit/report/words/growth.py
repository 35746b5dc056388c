"""Sentences about change: how much, how sure, for whom, and what chance alone would give."""

from __future__ import annotations

import re
from collections.abc import Sequence

from kit.estimate import Estimate
from kit.figures.labels import group
from kit.report.numbers import show
from kit.report.phrases import (
    FEWEST,
    alike,
    distance,
    from_to,
    how_sure,
    is_zero,
    listed,
    moved,
    people,
    pick,
    score,
    sentence,
    what_plausible_means,
)
from kit.report.said import Said
from kit.report.spoken import SPOKEN

DIRECTIONS = {
    "higher": ("rose", "improved"),
    "the same": ("stayed the same", "unchanged"),
    "lower": ("fell", "lower"),
}  # fmt: skip
"""How a second score compares -> how the share of such students may be called."""
WHOLE = 100
LUCK = (
    "Low scores are partly bad luck on the day and high scores partly good luck, so without any learning low starters "
    "tend to rise and high starters to fall."
)


def change(estimates: Sequence[Estimate], *, code: str) -> Said:
    """Say from where to where scores went, how sure that is, and how many rose.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.growth.before_and_after``.
    code : str
        Code of the design; with one test only, the gate refuses every word of change.

    Returns
    -------
    Said
    """
    gain = pick(estimates, "mean_gain")
    if gain is None and code == "D0":
        return Said((SPOKEN[code].cannot,), limits=True).passed(code)
    if gain is None:
        return Said(("Too few students or choirs took both tests to say how scores changed.",)).passed(code)
    if gain.counted == "students" and gain.n < FEWEST:
        return too_few(gain.n).passed(code)
    first, second = (pick(estimates, "mean_score", f"{which} test") for which in ("first", "second"))
    who = f"{people(gain.n, 'choir')} like these" if gain.counted == "choirs" else "students like these"
    sentences = [_went(gain, first, second), *how_sure(gain, who=who)]
    if gain.interval is not None:
        sentences.append(what_plausible_means(gain))
    shares, told = _directions(estimates)
    used = tuple(one for one in (first, second, gain, *shares) if one is not None)
    return Said((*sentences, *told), used).passed(code)


def too_few(number: int) -> Said:
    """Say that an average would tell of single students."""
    return Said((f"Only {people(number)} took both tests: an average of so few would tell of single students.",))


def _went(gain: Estimate, first: Estimate | None, second: Estimate | None) -> str:
    """Say from where to where scores went."""
    way, word = ("rose", "gain") if gain.value > 0 else ("fell", "fall")
    amount = distance(gain.value, gain.unit)
    if gain.counted == "choirs":
        moved = "stayed the same" if is_zero(gain) else f"{way} by {amount}"
        of_choirs = first and second and first.counted == second.counted == "choirs"
        scores = f", {from_to(first, second)}" if of_choirs and not (is_zero(gain) or alike(first, second)) else ""
        return f"Averaged over {people(gain.n, 'choir')}, each choir counting once, scores {moved}{scores}."
    who = f"the scores of {people(gain.n)}"
    if is_zero(gain):
        return f"On average, {who} stayed the same{f', at {score(first)}' if first else ''}."
    if first and second and not alike(first, second):
        return f"On average, {who} {way} {from_to(first, second)}, a {word} of {amount}."
    return f"On average, {who} {way} by {amount}."


def _directions(estimates: Sequence[Estimate]) -> tuple[list[Estimate], list[str]]:
    """Say how many scored higher, the same and lower the second time."""
    found = {
        word: next(
            (one for one in estimates if one.name == "share_wilson" and one.about.split(", ")[-1] in names), None
        )
        for word, names in DIRECTIONS.items()
    }  # fmt: skip
    shares = {word: one for word, one in found.items() if one is not None}
    if not shares:
        return [], []
    percent = [show(one.value, "share") for one in shares.values()]
    parts = [f"{text} {word}" for text, word in zip(percent, shares, strict=True)]
    parts[0] = re.sub(r"percent(?: or (?:less|more))?", r"\g<0> of the students scored", parts[0], count=1)
    return list(shares.values()), [f"The second time {listed(parts)}{_rounded(percent)}."]


def _rounded(percent: Sequence[str]) -> str:
    """Say that whole percents are rounded, where all three of them do not add up to 100."""
    whole = [int(text.removesuffix(" percent")) for text in percent if re.fullmatch(r"\d+ percent", text)]
    return " (rounded)" if len(whole) == len(DIRECTIONS) and sum(whole) != WHOLE else ""


def individuals(counts: Sequence[Estimate]) -> Said:
    """Say how many students changed by more than scoring noise; for the teacher alone.

    Parameters
    ----------
    counts : sequence of Estimate
        From ``kit.questions.quality.changed_beyond_noise``.

    Returns
    -------
    Said
    """
    if not counts or not counts[0].n:
        return Said((
            "Single students are not looked at: for that the noise of the test must be known and both tests taken.",
        ))  # fmt: skip
    told = "; ".join(f"{one.value:,.0f} {one.about}" for one in counts)
    return Said(
        (
            f"Of {people(counts[0].n)} tested twice: {told}.",
            "Even if nobody had changed, a few would pass that mark by chance, so test again before acting on one "
            "student's score.",
        ),
        tuple(counts),
    )


def starting_points(estimates: Sequence[Estimate], *, smallest: int = FEWEST) -> Said:
    """Say what low, middle and high starters gained, beside what is expected by chance alone.

    Parameters
    ----------
    estimates : sequence of Estimate
        From ``kit.questions.growth.by_starting_third``.
    smallest : int, optional
        Students that each group needs before any is told: one group left out could be told from the others.

    Returns
    -------
    Said
    """
    gains = [one for one in estimates if one.name == "mean_gain"]
    chance = {group(one): one for one in estimates if one.name == "expected_regression"}
    pairs = [(one, chance[group(one)]) for one in gains if group(one) in chance]
    if not pairs:
        return Said((
            "Students cannot be parted by their first scores: there are too few of them, or their scores are too much "
            "alike.",
        ))  # fmt: skip
    fewest = max(smallest, FEWEST)
    if min(gain.n for gain in gains) < fewest:
        return Said((f"Gains by starting group are not told: each group needs {people(fewest)}.",))
    sentences = [LUCK]
    sentences += [
        f"{group(gain).capitalize()} starters ({people(gain.n)}): {moved(gain)} on average; expected by chance alone: "
        f"{moved(by_chance)}."
        for gain, by_chance in pairs
    ]
    lowest, by_chance = pairs[0]
    if lowest.value > pairs[-1][0].value and by_chance.value > 0 and not is_zero(by_chance):
        sentences.append(
            "Some of the larger gain of low starters is expected by chance alone "
            f"(about {distance(by_chance.value, by_chance.unit)})."
        )
    return Said(tuple(map(sentence, sentences)), tuple(one for pair in pairs for one in pair))
