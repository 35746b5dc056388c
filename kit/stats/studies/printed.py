"""Reading printed statistics: what a printed number may stand for, and whether t, F, r and df fit the printed p."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from scipy.special import chdtrc, fdtrc, ndtr, stdtr

from kit.errors import UnknownChoiceError

TestStatistic = Literal["t", "f", "r", "z", "chi2"]
Fit = Literal["fits", "fits_one_sided", "does_not_fit"]

_NUMBER = re.compile(r"^p?([<>]?)=?(-?)(\d*\.?\d*)(e-?\d+)?$")
_TYPOGRAPHY = str.maketrans({"−": "-", "–": "-", "‒": "-", "≤": "<", "≥": ">", ",": "", " ": "", "\u00a0": ""})


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A number as it was printed, and the range of what it was rounded from.

    Attributes
    ----------
    text : str
        As printed.
    value : float
        The number.
    low, high : float
        What may have been rounded to it; for ``"< .05"`` everything below, for ``"> .05"`` everything above.
    """

    text: str
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedFit:
    """Whether a printed p fits the test statistic and degrees of freedom printed with it.

    Attributes
    ----------
    p, p_low, p_high : float
        Two-sided p recomputed from the printed statistic, and the range that its rounding allows.
    printed : Printed
        The printed p.
    fit : {"fits", "fits_one_sided", "does_not_fit"}
        Whether the ranges of the printed and the two-sided p meet; if not, whether the one-sided p would fit. A
        mismatch may be a slip of the printer, another test, a correction, or truncation: it is a question to the text.
    crosses : bool
        Whether the recomputed and the printed p lie on different sides of .05 whatever the rounding.
    """

    p: float
    p_low: float
    p_high: float
    printed: Printed
    fit: Fit
    crosses: bool


def read_printed(text: str) -> Printed:
    """Read a printed number and the range it may have been rounded from.

    Parameters
    ----------
    text : str
        Such as ``"4.38"``, ``".573"``, ``"< .05"``, ``"4.3e-5"``; typographic minus signs are understood.

    Returns
    -------
    Printed
        Half a unit of the last printed digit to either side.

    Raises
    ------
    ValueError
        If it is no number.

    Examples
    --------
    >>> number = read_printed("4.38")
    >>> round(number.low, 3), round(number.high, 3)
    (4.375, 4.385)
    >>> read_printed("< .05").high
    0.05
    """
    found = _NUMBER.match(str(text).translate(_TYPOGRAPHY).lower())
    if not found or not re.search(r"\d", found[3]):
        raise ValueError(f"read_printed: text must be a printed number such as '4.38' or '< .05'. Got {text!r}.")
    compared, minus, digits, power = found.groups()
    value = float(f"{minus}{digits}{power or ''}")
    if compared:
        ends = (-math.inf, value) if compared == "<" else (value, math.inf)
        return Printed(text=str(text), value=value, low=ends[0], high=ends[1])
    half = 0.5 * 10.0 ** (int((power or "e0")[1:]) - len(digits.partition(".")[2]))
    return Printed(text=str(text), value=value, low=value - half, high=value + half)


def p_of(statistic: TestStatistic, value: float, df: float | None = None, *, df_between: float = 1.0) -> float:
    """Give the two-sided p-value of a test statistic.

    Parameters
    ----------
    statistic : {"t", "f", "r", "z", "chi2"}
        Which one; r is Pearson's.
    value : float
        The statistic.
    df : float, optional
        Its degrees of freedom: within groups for F, n - 2 for r, none for z.
    df_between : float, optional
        Degrees of freedom between groups, for F.

    Returns
    -------
    float
        Between 0 and 1.

    Raises
    ------
    UnknownChoiceError
        If `statistic` is another word.
    ValueError
        If `df` is needed and not above zero, or an r is not between -1 and 1.

    Examples
    --------
    >>> round(p_of("f", 0.573, 37), 3), round(p_of("t", 2.0, 20), 3)
    (0.454, 0.059)
    """
    if statistic not in get_args(TestStatistic):
        raise UnknownChoiceError("p_of", "statistic", statistic, get_args(TestStatistic))
    if statistic == "z":
        return float(2 * ndtr(-abs(value)))
    if df is None or not df > 0:
        raise ValueError(f"p_of: df must be above zero for {statistic}. Got {df!r}.")
    if statistic == "t":
        return float(2 * stdtr(df, -abs(value)))
    if statistic == "r":
        if not abs(value) <= 1:
            raise ValueError(f"p_of: r must be between -1 and 1. Got {value!r}.")
        return 0.0 if abs(value) == 1 else float(2 * stdtr(df, -abs(value) * math.sqrt(df / (1 - value**2))))
    return float(fdtrc(df_between, df, max(value, 0.0)) if statistic == "f" else chdtrc(df, max(value, 0.0)))


def check_printed_p(
    statistic: TestStatistic, value: str, p: str, *, df: float | None = None, df_between: float = 1.0
) -> PrintedFit:
    """Compare a printed p with the one that follows from the statistic printed beside it.

    Parameters
    ----------
    statistic : {"t", "f", "r", "z", "chi2"}
        Which one.
    value, p : str
        As printed, digits and all: ``"4.38"`` and ``"< .00004"``.
    df : float, optional
        Printed degrees of freedom: within groups for F, n - 2 for r, none for z.
    df_between : float, optional
        Degrees of freedom between groups, for F.

    Returns
    -------
    PrintedFit
        The recomputed p with the range that rounding allows, and whether it fits.

    Notes
    -----
    Every value that would have been printed as `value` is allowed, and every p that would have been printed as `p`.
    One-sided p-values are half of two-sided ones and exist for t, r, z and F with one degree of freedom between.

    References
    ----------
    .. [1] Key ``nuijten-2016``.

    Examples
    --------
    >>> check_printed_p("t", "4.38", "< .00004", df=66).fit
    'fits_one_sided'
    >>> check_printed_p("f", ".573", ".454", df=37).fit
    'fits'
    """
    number, printed = read_printed(value), read_printed(p)
    low, high = (p_of(statistic, end, df, df_between=df_between) for end in _farthest_and_nearest(statistic, number))
    sided = statistic in ("t", "r", "z") or (statistic == "f" and df_between == 1)
    if _meet(printed, low, high):
        fit: Fit = "fits"
    else:
        fit = "fits_one_sided" if sided and _meet(printed, low / 2, high / 2) else "does_not_fit"
    return PrintedFit(
        p=p_of(statistic, number.value, df, df_between=df_between), p_low=low, p_high=high, printed=printed, fit=fit,
        crosses=fit != "fits" and _crosses(printed, low, high),
    )  # fmt: skip


def _farthest_and_nearest(statistic: str, number: Printed) -> tuple[float, float]:
    """Give the values farthest from and nearest to zero that were printed as this number; an r stays within 1."""
    sizes = abs(np.array([number.low, number.high]))
    nearest = 0.0 if number.low <= 0 <= number.high else float(sizes.min())
    return (min(float(sizes.max()), 1.0) if statistic == "r" else float(sizes.max())), nearest


def _meet(printed: Printed, low: float, high: float) -> bool:
    """Whether some p in this range would have been printed like that."""
    return low <= printed.high and high >= printed.low


def _crosses(printed: Printed, low: float, high: float) -> bool:
    """Whether printed and recomputed p lie on different sides of .05, whatever the rounding."""
    return (printed.high <= 0.05 and low > 0.05) or (printed.low >= 0.05 and high < 0.05)
