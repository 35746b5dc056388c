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
    low, high = estimate.interval.low, estimate.interval.high
    if estimate.unit == "share":
        return f"{bare(low, 'share').removesuffix(' %')} to {show(high, 'share')}"
    return f"{bare(low, estimate.unit)} to {show(high, estimate.unit)}"


def interval_cell(estimate: Estimate) -> str:
    """Write the interval of an estimate for a table cell: ``2.1 to 6.5``."""
    if estimate.interval is None:
        return MISSING
    low, high = (bare(end, estimate.unit) for end in (estimate.interval.low, estimate.interval.high))
    return f"{low.removesuffix(' %')} to {high}"


def p_text(p: float | None) -> str:
    """Write a p-value the way journals want it, never as zero."""
    if p is None:
        return MISSING
    return "p < .001" if p < 0.001 else f"p = {p:.3f}".replace("0.", ".", 1)


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
    percent = share * _PERCENT
    if 0 < share < 0.005:
        return "less than 1 %"
    if 0.995 <= share < 1:
        return "more than 99 %"
    return f"{_sign(f'{percent:.0f}', signed=signed)} %"


def _sign(text: str, *, signed: bool = False) -> str:
    """Use a real minus sign, none before a zero, and a plus sign where it is wanted."""
    if text.startswith("-"):
        return text[1:] if not text.strip("-0.") else MINUS + text[1:]
    return f"+{text}" if signed and text.strip("0.") else text


def _plural(unit: str, number: str) -> str:
    """Write one point, but two points and 1.0 points."""
    return unit[:-1] if number.lstrip(MINUS + "+") == "1" and unit.endswith("s") else unit
