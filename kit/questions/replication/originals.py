"""What an original study printed: its numbers as they stand in the text, and the size that follows from them."""

from __future__ import annotations

import math

from scipy.special import ndtri

from kit.estimate import Estimate
from kit.questions.answers import LeftOut, ask
from kit.questions.replication.original import Direction, Original, OriginalDesign, Went
from kit.stats.studies.from_printed import correlation_from_r, d_average_from_summary, d_change_from_t, hedges_g_from_t
from kit.stats.studies.one_metric import (
    Size,
    correlation_of_printed,
    size_of_correlation,
    size_of_gains,
    size_of_groups,
    t_of_means,
    t_of_p,
)
from kit.stats.studies.printed import read_printed

__all__ = [
    "Direction", "Original", "OriginalDesign", "Went", "correlation_of_tests", "original_effect", "original_size",
    "signed_t", "size_of_average",
]  # fmt: skip

NOTHING_PRINTED = "Too little was printed to work out a size: give means and SDs, t, F, an exact p, or r."
NO_DIRECTION = "F and p have no direction, and neither means nor the field went say which way the effect went."


def original_effect(original: Original, *, level: float = 0.95) -> Estimate | LeftOut:
    """Work out the original effect with its interval, positive where scores got better or program students did better.

    Counted: the students that the text counts.

    Parameters
    ----------
    original : Original
        What was printed.
    level : float, optional
        Confidence level, a proportion in (0, 1).

    Returns
    -------
    Estimate or LeftOut
        ``hedges_g_from_t`` of two groups; of one group ``d_average_from_summary``, or where no SDs were printed
        ``d_change_from_t``, which is no size; ``correlation_from_r``. Left out, with the reason, where too little
        was printed.
    """
    options = {"about": original.study, "level": level}
    if original.design == "correlation":
        if not original.r:
            return LeftOut(original.study, NOTHING_PRINTED)
        return ask(correlation_from_r, _turned(original, read_printed(original.r).value), n=original.n[0], **options)
    t = signed_t(original)
    if isinstance(t, LeftOut):
        return t
    if original.design == "two_groups":
        return ask(hedges_g_from_t, t, n_program=original.n[0], n_comparison=original.n[1], **options)
    correlation = correlation_of_tests(original)
    if correlation is None or not original.means or not original.sds:
        return ask(d_change_from_t, t, n=original.n[0], **options)
    pre, post = (_turned(original, mean) for mean in _values(original.means))
    return ask(
        d_average_from_summary, pre, post, *_values(original.sds), correlation=correlation, n=original.n[0], **options
    )


def original_size(original: Original) -> Size | LeftOut:
    """Work out the original effect with its standard error, for comparing and pooling.

    Counted: the students that the text counts.

    Parameters
    ----------
    original : Original
        What was printed.

    Returns
    -------
    Size or LeftOut
        In SD where that can be had; of one group whose tests' correlation is unknown in SD of gains; of a
        correlation in Fisher's z. Positive where better. Left out, with the reason, where too little was printed.
    """
    effect = original_effect(original)
    if isinstance(effect, LeftOut):
        return effect
    if original.design == "correlation":
        return size_of_correlation(effect.value, n=effect.n)
    t, correlation = signed_t(original), correlation_of_tests(original)
    if original.design == "two_groups":
        return size_of_groups(t, n_program=original.n[0], n_comparison=original.n[1])
    if effect.name == "d_average_from_summary":
        return size_of_average(effect)
    return size_of_gains(t, n=original.n[0], correlation=correlation)


def size_of_average(effect: Estimate) -> Size:
    """Turn a mean gain in average SD, with Bonett's interval, into a size with its standard error.

    Parameters
    ----------
    effect : Estimate
        From `d_average` or `d_average_from_summary`.

    Returns
    -------
    Size
        In SD; the interval's half width over its normal quantile is the standard error.
    """
    ends = effect.interval
    error = (ends.high - ends.low) / (2 * float(ndtri((1 + ends.level) / 2)))
    return Size(value=effect.value, error=error, metric="SD", n=effect.n, df=float(effect.n - 1), per_t=error)


def signed_t(original: Original) -> float | LeftOut:
    """Find the t of the original, from means and SDs, t, F or an exact p, positive where better.

    Parameters
    ----------
    original : Original
        Of two groups or one.

    Returns
    -------
    float or LeftOut
        Left out, with the reason, where nothing gives it or nothing gives its direction.
    """
    if original.design == "two_groups" and original.means and original.sds:
        n_program, n_comparison = original.n
        return _turned(original, t_of_means(*_values(original.means), *_values(original.sds), n_program=n_program,
                                            n_comparison=n_comparison))  # fmt: skip
    size = _size_of_t(original)
    if size is None:
        return LeftOut(original.study, NOTHING_PRINTED)
    sign = _sign(original)
    return LeftOut(original.study, NO_DIRECTION) if sign is None else sign * abs(size)


def correlation_of_tests(original: Original) -> float | None:
    """Find the correlation of both tests of one group: printed, or implied by means, SDs and t.

    Parameters
    ----------
    original : Original
        What was printed.

    Returns
    -------
    float or None
        None where it cannot be had, or where the printed numbers imply an impossible one.
    """
    if original.design != "one_group":
        return None
    if original.r:
        return read_printed(original.r).value
    t = _size_of_t(original)
    if not (original.means and original.sds and t):
        return None
    one, two = _values(original.means)
    implied = correlation_of_printed(two - one, *_values(original.sds), t, n=original.n[0])
    return implied if -1 < implied < 1 else None


def _size_of_t(original: Original) -> float | None:
    """Size of t from a printed t, F or exact p, in that order; None where none was printed."""
    if original.t:
        return abs(read_printed(original.t).value)
    if original.f:
        return math.sqrt(max(read_printed(original.f).value, 0.0))
    exact = original.p and not original.p.strip().lower().removeprefix("p").strip().startswith(("<", ">", "≤", "≥"))
    return t_of_p(read_printed(original.p).value, float(original.df_expected)) if exact else None


def _sign(original: Original) -> int | None:
    """Which way the effect went: 1 for better, by the means, the word `went`, or the sign of a printed t."""
    if original.means:
        one, two = (_turned(original, mean) for mean in _values(original.means))
        return 1 if ((one >= two) if original.design == "two_groups" else (two >= one)) else -1
    if original.went:
        return 1 if original.went == "better" else -1
    return (1 if _turned(original, read_printed(original.t).value) >= 0 else -1) if original.t else None


def _turned(original: Original, value: float) -> float:
    """Turn the sign where lower scores are better."""
    return value if original.direction == "higher" else -value


def _values(texts: tuple[str, ...]) -> tuple[float, ...]:
    """Read printed numbers."""
    return tuple(read_printed(text).value for text in texts)
