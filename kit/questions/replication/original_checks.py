"""Do the numbers that a text printed fit one another, within what rounding allows: flags, never accusations."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Literal

from kit.questions.replication.originals import Original
from kit.stats.studies.one_metric import correlation_of_printed, t_of_means
from kit.stats.studies.printed import Fit, check_printed_p, read_printed

SAME = 1e-12
"""Slack for numbers that differ by rounding dust only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One comparison of a printed number with what follows from others printed beside it.

    Attributes
    ----------
    what : {"p", "t", "df", "correlation"}
        p from the test statistic; t from means and SDs; df from n; whether the implied correlation can be.
    fit : {"fits", "fits_one_sided", "does_not_fit"}
        A mismatch is a question to the text, never an accusation.
    printed : str
        As printed; empty for an implied correlation.
    recomputed, low, high : float
        What follows from the other numbers, and the range that their rounding allows.
    crosses : bool
        Whether printed and recomputed p lie on different sides of .05 whatever the rounding.
    """

    what: Literal["p", "t", "df", "correlation"]
    fit: Fit
    printed: str
    recomputed: float
    low: float
    high: float
    crosses: bool = False


def checks(original: Original) -> list[Check]:
    """Compare what was printed with what follows from the other printed numbers.

    Counted: the students that the text counts.

    Parameters
    ----------
    original : Original
        What was printed.

    Returns
    -------
    list of Check
        One for each comparison that the printed numbers allow; empty where none can be made.
    """
    return [*_check_p(original), *_check_df(original), *_check_t(original), *_check_correlation(original)]


def _check_p(original: Original) -> list[Check]:
    """Compare the printed p with the printed t, F or r."""
    df = float(read_printed(original.df).value if original.df else original.df_expected)
    statistic = "t" if original.t else "f" if original.f else "r" if original.design == "correlation" else ""
    printed = original.t or original.f or (original.r if statistic == "r" else "")
    if not (original.p and printed):
        return []
    found = check_printed_p(statistic, printed, original.p, df=df)
    return [
        Check(what="p", fit=found.fit, printed=original.p, recomputed=found.p, low=found.p_low, high=found.p_high,
              crosses=found.crosses)
    ]  # fmt: skip


def _check_df(original: Original) -> list[Check]:
    """Compare printed degrees of freedom with the numbers of students; those of a Welch t do not fit."""
    if not original.df:
        return []
    printed, expected = read_printed(original.df).value, float(original.df_expected)
    fit: Fit = "fits" if printed == expected else "does_not_fit"
    return [Check(what="df", fit=fit, printed=original.df, recomputed=expected, low=expected, high=expected)]


def _check_t(original: Original) -> list[Check]:
    """Compare the printed t or F of two groups with their means and SDs."""
    printed = original.t or original.f
    if original.design != "two_groups" or not (original.means and original.sds and printed):
        return []
    n_program, n_comparison = original.n

    def size(numbers: tuple[float, ...]) -> float:
        """Size of t, or of F."""
        t = abs(t_of_means(*numbers, n_program=n_program, n_comparison=n_comparison))
        return t if original.t else t**2

    corners = [size(corner) for corner in itertools.product(*_ranges(original))]
    text = read_printed(printed)
    one, two = (read_printed(mean) for mean in original.means)
    meet = one.low <= two.high and two.low <= one.high
    low, high = (0.0 if meet else min(corners)), max(corners)
    nearest = 0.0 if text.low <= 0 <= text.high else min(abs(text.low), abs(text.high))
    fits = nearest <= high + SAME and max(abs(text.low), abs(text.high)) >= low - SAME
    centre = size(tuple(read_printed(number).value for number in (*original.means, *original.sds)))
    return [
        Check(what="t", fit="fits" if fits else "does_not_fit", printed=printed, recomputed=centre, low=low, high=high)
    ]


def _check_correlation(original: Original) -> list[Check]:
    """Work out the correlation of both tests that means, SDs and t imply: it must lie between -1 and 1."""
    printed = original.t or original.f
    if original.design != "one_group" or not (original.means and original.sds and printed):
        return []
    text = read_printed(printed)
    ends = [abs(end) if original.t else math.sqrt(max(end, 0.0)) for end in (text.value, text.low, text.high)]
    if min(ends) <= 0:
        return []

    def implied(numbers: tuple[float, ...], t: float) -> float:
        """Give the correlation that goes with these means and SDs."""
        return correlation_of_printed(numbers[1] - numbers[0], *numbers[2:], t, n=original.n[0])

    corners = [implied(corner, t) for corner in itertools.product(*_ranges(original)) for t in ends[1:]]
    centre = implied(tuple(read_printed(number).value for number in (*original.means, *original.sds)), ends[0])
    low, high = min(corners), max(corners)
    fit: Fit = "fits" if low <= 1 and high >= -1 else "does_not_fit"
    return [Check(what="correlation", fit=fit, printed=original.r, recomputed=centre, low=low, high=high)]


def _ranges(original: Original) -> list[tuple[float, float]]:
    """Give the range that each printed mean and SD may have been rounded from."""
    read = [read_printed(number) for number in (*original.means, *original.sds)]
    return [(number.low, number.high) for number in read]
