"""The only rounding: how numbers are written for people."""

from __future__ import annotations

import math

from kit.estimate import Estimate

MINUS = "\u2212"
MISSING = "–"
_DECIMALS = {"points": 1, "share": 0, "SD": 2, "correlation": 2, "SD of gains": 2, "percentage points": 0}
_WHOLE = ("students", "choirs", "schools", "rows")
_PERCENT = 100


def bare(value: float | None, unit: str, *, signed: bool = False) -> str:
    """Write a number for a table cell, without its unit except for percent.

    Parameters
    ----------
    value : float or None
        The number; None or NaN is written as a dash.
    unit : str
        Unit of the estimate; it decides the decimals. Shares are written in percent.
    signed : bool, optional
        Whether a plus sign is written.

    Returns
    -------
    str
    """
    if value is None or math.isnan(value):
        return MISSING
    if math.isinf(value):
        return "no limit"
    if unit == "share":
        return _percent(value, signed=signed)
    decimals = 0 if unit in _WHOLE else _DECIMALS.get(unit, 1)
    return _sign(f"{value:.{decimals}f}", signed=signed)


def show(value: float, unit: str, *, signed: bool = False) -> str:
    """Write a number with its unit for a sentence: ``4.3 points``, ``62 percent``, ``1 student``."""
    text = bare(value, unit, signed=signed)
    if unit == "share":
        return text.replace(" %", " percent")
    if unit == "correlation":
        return text
    return f"{text} {_plural(unit, text)}"


def show_interval(estimate: Estimate) -> str:
    """Write the interval of an estimate with its unit for a sentence: ``2.1 to 6.5 points``."""
    if estimate.interval is None:
        return MISSING
    low, high, unit = estimate.interval.low, estimate.interval.high, estimate.unit
    if math.isinf(low):
        return "any number" if math.isinf(high) else f"at most {show(high, unit)}"
    if math.isinf(high):
        return f"at least {show(low, unit)}"
    return f"{bare(low, unit).removesuffix(' %')} to {show(high, unit)}"


def interval_cell(estimate: Estimate) -> str:
    """Write the interval of an estimate for a table cell: ``2.1 to 6.5``."""
    if estimate.interval is None:
        return MISSING
    low, high = (bare(end, estimate.unit) for end in (estimate.interval.low, estimate.interval.high))
    return f"{low.removesuffix(' %')} to {high}"


def p_text(p: float | None) -> str:
    """Write a p-value the way journals want it, never as zero and never as one."""
    if p is None or math.isnan(p):
        return MISSING
    if p < 0.001:
        return "p < .001"
    return "p > .999" if p > 0.999 else f"p = {p:.3f}".replace("0.", ".", 1)


def exact(value: float | None) -> str:
    """Write a number with six significant digits, for the table of all numbers."""
    return MISSING if value is None or math.isnan(value) else _sign(f"{value:.6g}")


def percent_level(level: float) -> str:
    """Write a confidence level: ``95 %``."""
    return f"{level * _PERCENT:g} %"


def unit_words(unit: str) -> str:
    """Name a unit at the head of a column."""
    return {"share": "percent", "SD": "standard deviations", "SD of gains": "standard deviations of the gains"}.get(
        unit, unit
    )


def _percent(share: float, *, signed: bool) -> str:
    """Write a share in whole percent; what is neither nothing nor all never looks like it."""
    whole = f"{share * _PERCENT:.0f}"
    hidden = (whole in ("0", "-0") and share != 0) or (whole in ("100", "-100") and abs(share) < 1)
    if hidden and (signed or share < 0):
        # a difference keeps its direction: a decimal instead of "less than"
        whole = f"{share * _PERCENT:.1f}" if abs(share) >= 0.0005 else f"{share * _PERCENT:.1g}"
    elif hidden:
        return "less than 1 %" if share < 0.5 else "more than 99 %"
    return f"{_sign(whole, signed=signed)} %"


def _sign(text: str, *, signed: bool = False) -> str:
    """Use a real minus sign, none before a zero, and a plus sign where it is wanted."""
    if text.startswith("-"):
        return text[1:] if not text.strip("-0.") else MINUS + text[1:]
    return f"+{text}" if signed and text.strip("0.") else text


def _plural(unit: str, number: str) -> str:
    """Write one point, but two points and 1.0 points."""
    return unit[:-1] if number.lstrip(MINUS + "+") == "1" and unit.endswith("s") else unit
