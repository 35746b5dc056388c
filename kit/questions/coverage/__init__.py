"""How often intervals hold the truth, by simulation at a size that is asked for, and a stored table of long runs."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import get_args

import numpy as np
import pandas as pd

from kit.errors import TooFewError
from kit.estimate import Estimate, Interval
from kit.questions.answers import Answers, LeftOut
from kit.questions.coverage.draws import Draw
from kit.questions.coverage.ways import WAYS
from kit.questions.coverage.worlds import Scores, World, world
from kit.questions.quality.ends import ceiling_and_floor
from kit.questions.scale import paired_marks
from kit.stats.proportions.shares import share_wilson

FEWEST_DRAWS = 50
LEAST, TWICE = 0.98, 2
"""Share of the promised level that an interval is to reach: 93 of 95. How much seldomer it misses, if cautious."""
NO_INTERVAL = "No simulated study of this size gives this interval."
SOME_WITHOUT = "Simulated studies that give no interval are left out."
COLUMNS = ("way", "scores", "n", "draws", "told", "held", "truth")
TOP = "top score, second test"


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """The size at which intervals are tried.

    Attributes
    ----------
    students : int
        Students of a group, of each of two groups, or of each choir.
    choirs : int
        Choirs, for the ways that draw whole choirs.
    ceiling : float
        Share of students at the top of the second test, where scores are bound by a ceiling.
    from_study : tuple of str
        Which of them were found in a study; the others were given.
    """

    students: int
    choirs: int
    ceiling: float
    from_study: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Coverage:
    """How often intervals hold the truth.

    Attributes
    ----------
    rows : DataFrame
        Columns way (of ``coverage_ways.WAYS``), scores (normal, skewed, ceiling), n (what ``Way.counts`` says),
        draws, told (draws that gave an interval), held (draws whose interval holds the truth), truth, value (held /
        told), low and high (how far chance among the draws may have moved it); NaN where told is 0; off:
        ``"below"`` where the truth is held clearly too seldom, even allowing for chance among the draws (less than
        0.98 of the level), ``"above"`` where it is missed less than half as often as allowed, else empty.
    estimates : Answers
        ``share_wilson`` of the rows that have one, in their order: held of told.
    level : float
        Level that the intervals promise.
    """

    rows: pd.DataFrame
    estimates: Answers
    level: float


def size(pairs: pd.DataFrame | None = None, *, students: int, choirs: int, ceiling: float, level: float = 0.95) -> Size:
    """Take the size from plain numbers, or from a study.

    Counted: in a study, students tested both times; at the top, everyone with a second mark whose most points are
    known.

    Parameters
    ----------
    pairs : DataFrame or None, optional
        From `kit.questions.whom.line_up`. The average number of students in its choirs, its number of choirs (if
        there are at least 2) and its share of students at the top replace the numbers given, where they are known.
    students, choirs : int
        Students of each choir; choirs.
    ceiling : float
        Share of students at the top of the second test.
    level : float, optional
        Level of the interval that the share at the top has of its own; it is not used further.

    Returns
    -------
    Size
    """
    found = {} if pairs is None else _found(pairs, level)
    return Size(**({"students": students, "choirs": choirs, "ceiling": ceiling} | found), from_study=tuple(found))


def _found(pairs: pd.DataFrame, level: float) -> dict[str, float]:
    """Find in a study how many students its choirs have, how many choirs there are, and how many are at the top."""
    _, pre, _ = paired_marks(pairs)
    sizes = pre.groupby(pairs["choir"]).count()
    sizes = sizes[sizes > 0]
    top = next((one for one in ceiling_and_floor(pairs, level=level) if one.about.endswith(TOP)), None)
    found = {"students": max(round(sizes.mean()), 1)} if len(sizes) else {}
    found |= {"choirs": len(sizes)} if len(sizes) > 1 else {}
    return found | ({"ceiling": top.value} if top and top.value < 1 else {})


def simulate(
    tried: Size,
    *,
    rng: np.random.Generator,
    draws: int = 200,
    alike: float = 0.1,
    level: float = 0.95,
    ways: Sequence[str] = tuple(WAYS),
) -> Coverage:
    """Simulate how often each interval holds the truth at this number of students, choirs and share at the top.

    Counted: simulated studies; each tests students drawn at random from an invented town whose truth is known.

    Parameters
    ----------
    tried : Size
        From `size`.
    rng : numpy.random.Generator
        Source of the draws.
    draws : int, optional
        Studies simulated for each way and kind of scores.
    alike : float, optional
        Share of the variance between choirs.
    level : float, optional
        Confidence level of the intervals, and of the intervals around what is found here.
    ways : sequence of str, optional
        Which of ``coverage_ways.WAYS``.

    Returns
    -------
    Coverage
        For each kind of scores a row for each way.

    Raises
    ------
    ValueError
        If there are fewer than 50 draws, or fewer than 1 student or choir, or the share at the top is not from 0 to
        below 1, or `alike` not from 0 to 1.

    Examples
    --------
    >>> tried = size(students=10, choirs=6, ceiling=0.2)
    >>> found = simulate(tried, rng=np.random.default_rng(1), draws=100, ways=["mean_gain"])
    >>> list(found.rows["scores"]), bool(found.rows["value"].min() > 0.8)
    (['normal', 'skewed', 'ceiling'], True)
    """
    least = {"draws": (draws, FEWEST_DRAWS), "students": (tried.students, 1), "choirs": (tried.choirs, 1)}
    for name, (number, fewest) in least.items():
        if number < fewest:
            raise ValueError(f"simulate: {name} must be at least {fewest}. Got {number!r}.")
    draw = Draw(tried.students, tried.choirs, level, rng)
    towns = [world(scores, ceiling=tried.ceiling, alike=alike) for scores in get_args(Scores)]
    rows = [row(way, town, draw, draws) for town in towns for way in ways]
    return _coverage(pd.DataFrame(rows, columns=list(COLUMNS)), level, f"{draws} draws")


def row(way: str, town: World, draw: Draw, draws: int) -> tuple:
    """Draw studies from a town, and count the intervals and those that hold the truth.

    Counted: simulated studies.

    Parameters
    ----------
    way : str
        One of ``coverage_ways.WAYS``.
    town : World
        From ``coverage_worlds.world``.
    draw : Draw
        How a study is drawn.
    draws : int
        How many.

    Returns
    -------
    tuple
        The `COLUMNS` of a row.
    """
    truth, told, held = WAYS[way].truth(town), 0, 0
    for _ in range(draws):
        interval = _interval(way, town, draw)
        told += interval is not None
        held += interval is not None and interval.low <= truth <= interval.high
    n = draw.choirs if WAYS[way].counts == "choirs" else draw.students
    return way, town.scores, n, draws, told, held, truth


def long_runs() -> Coverage:
    """Give the stored table of long runs.

    Counted: simulated studies; see tests/reference/make_interval_coverage.py.

    Returns
    -------
    Coverage
        At 5, 10, 20, 40 and 100 students, or choirs of 25 students, 4,000 draws a row, 95 % intervals.
    """
    with (files("kit.questions") / "interval_coverage.csv").open(encoding="utf-8") as lines:
        return _coverage(pd.read_csv(lines), level=0.95, which="long runs")


def part(found: Coverage, ways: Collection[str]) -> Coverage:
    """Take some ways out of a run.

    Counted: simulated studies.

    Parameters
    ----------
    found : Coverage
        From `simulate` or `long_runs`.
    ways : collection of str
        Their names, such as ``coverage_ways.OF_CHOIRS``.

    Returns
    -------
    Coverage
    """
    chosen = [one in ways for one in found.rows["way"]]
    told = [one for one, told in zip(chosen, found.rows["told"] > 0, strict=True) if told]
    kept = [one for one, wanted in zip(found.estimates, told, strict=True) if wanted]
    return Coverage(found.rows[chosen].reset_index(drop=True), Answers(kept), found.level)


def too_seldom(found: Coverage) -> Coverage:
    """Take out the ways that hold the truth too seldom for some kind of scores at some size.

    Counted: simulated studies.

    Parameters
    ----------
    found : Coverage
        From `simulate` or `long_runs`.

    Returns
    -------
    Coverage
        With all rows of those ways.
    """
    return part(found, set(found.rows.loc[found.rows["off"] == "below", "way"]))


def _interval(way: str, town: World, draw: Draw) -> Interval | None:
    """Ask one simulated study; None where it gives no interval."""
    try:
        answer = WAYS[way].ask(town, draw)
    except TooFewError:
        return None
    return answer.interval if isinstance(answer, Estimate) else answer


def _coverage(rows: pd.DataFrame, level: float, which: str) -> Coverage:
    """Lay rows out with their estimates."""
    answers = [_answer(one, level, which) for one in rows.itertuples()]
    ends = [
        (one.value, one.interval.low, one.interval.high) if isinstance(one, Estimate) else (np.nan,) * 3
        for one in answers
    ]
    rows = rows.assign(**dict(zip(("value", "low", "high"), zip(*ends, strict=True), strict=True)))
    off = np.select([rows["high"] < LEAST * level, rows["low"] > 1 - (1 - level) / TWICE], ["below", "above"], "")
    return Coverage(rows.assign(off=off), Answers(answers), level)


def _answer(one: tuple, level: float, which: str) -> Estimate | LeftOut:
    """Estimate how often one interval holds the truth."""
    about = f"{one.way} holds the truth, {one.scores} scores, {one.n} {WAYS[one.way].counts}, {which}"
    if not one.told:
        return LeftOut(about, NO_INTERVAL)
    found = share_wilson(one.held, one.told, about=about, level=level, dropped=one.draws - one.told)
    return replace(found, counted="simulated studies", notes=(SOME_WITHOUT,) if one.told < one.draws else ())
