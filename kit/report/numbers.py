"""The only rounding: how numbers are written for people."""

from __future__ import annotations

import math
from collections.abc import Callable

from kit.estimate import Estimate

MINUS = "\u2212"
MISSING = "–"
_DECIMALS = {
    "points": 1, "share": 0, "SD": 2, "SD of gains": 2, "percentage points": 0, "correlation": 2, "agreement": 2,
    "reliability": 2, "t": 2,
}  # fmt: skip
_UNWRITTEN = ("correlation", "agreement", "reliability")
"""Units of numbers between -1 and 1 that are written without them."""
_WHOLE = ("students", "choirs", "schools", "rows")
_PERCENT = 100
_MANY = 300
"""Students above which a share gets a decimal: below, a single student moves it by more than that."""
CHANGES = (
    "mean_gain", "median_gain", "mean_difference", "mean_difference_welch", "expected_regression", "detectable_change",
    "standard_error_of_measurement", "agreement_bias", "limit_of_agreement_low", "limit_of_agreement_high",
    "share_difference_newcombe", "share_change_newcombe", "share_change_midp", "cluster_mean_difference",
    "cluster_robust", "cluster_wild",
)  # fmt: skip
"""Statistics that are a distance between two scores or two shares."""
_NOISE = 1e-12
"""What floating-point arithmetic leaves of a share that is exactly nothing or all."""


def bare(value: float | None, unit: str, *, signed: bool = False, n: int | None = None) -> str:
    """Write a number for a table cell, without its unit except for percent.

    Parameters
    ----------
    value : float or None
        The number; None or NaN is written as a dash.
    unit : str
        Unit of the estimate; it decides the decimals. Shares are written in percent.
    signed : bool, optional
        Whether a plus sign is written.
    n : int, optional
        How many a share rests on; above 300 it gets a decimal.

    Returns
    -------
    str
    """
    if value is None or math.isnan(value):
        return MISSING
    if math.isinf(value):
        return "no limit"
    if unit == "share":
        return _percent(value, signed=signed, decimals=1 if n is not None and n > _MANY else 0)
    decimals = 0 if unit in _WHOLE else _DECIMALS.get(unit, 1)
    return _sign(f"{value:.{decimals}f}", signed=signed)


def show(value: float, unit: str, *, signed: bool = False, n: int | None = None) -> str:
    """Write a number with its unit for a sentence: ``4.3 points``, ``62 percent``, ``1 student``."""
    text = bare(value, unit, signed=signed, n=n)
    if unit == "share":
        return text.replace(" %", " percent")
    if unit in _UNWRITTEN:
        return text
    return f"{text} {_plural(unit, text)}"


def show_interval(estimate: Estimate) -> str:
    """Write the interval of an estimate with its unit for a sentence: ``2.1 to 6.5 points``."""
    if estimate.interval is None:
        return MISSING
    unit = {"share": "percent", **dict.fromkeys(_UNWRITTEN, "")}.get(estimate.unit, estimate.unit)
    return _from_to(estimate, lambda end: show(end, estimate.unit), f" {unit}")


def value_cell(estimate: Estimate) -> str:
    """Write an estimate with its unit for a table cell: ``1.4 points``, ``62 %``, ``8 percentage points``."""
    if estimate.unit == "share" and estimate.name not in CHANGES:
        return bare(estimate.value, "share", n=_students(estimate))
    return show(*_on_paper(estimate, estimate.value))


def interval_cell(estimate: Estimate) -> str:
    """Write the interval of an estimate for a table cell, in the unit of `value_cell`: ``2.1 to 6.5``."""
    if estimate.interval is None:
        return MISSING
    return _from_to(estimate, lambda end: bare(*_on_paper(estimate, end), n=_students(estimate)), " %")


def exact(value: float | None) -> str:
    """Write a number with six significant digits, for the table of all numbers."""
    return MISSING if value is None or math.isnan(value) else _sign(f"{value:.6g}")


def percent_level(level: float) -> str:
    """Write a confidence level: ``95 %``."""
    return f"{level * _PERCENT:g} %"


def _on_paper(estimate: Estimate, value: float) -> tuple[float, str]:
    """Give value and unit as printed: from 50 to 58 percent is no gain of 8 percent but of 8 percentage points."""
    points = estimate.unit == "share" and estimate.name in CHANGES
    return (value * _PERCENT, "percentage points") if points else (value, estimate.unit)


def _students(estimate: Estimate) -> int | None:
    """Say how many students a number rests on, where it counts students."""
    return estimate.n if estimate.counted == "students" else None


def _from_to(estimate: Estimate, write: Callable[[float], str], once: str) -> str:
    """Write both ends of an interval, what stands behind both only once; an open end is no end."""
    low, high = estimate.interval.low, estimate.interval.high
    if math.isinf(low):
        return "any number" if math.isinf(high) else f"at most {write(high)}"
    if math.isinf(high):
        return f"at least {write(low)}"
    first, second = write(low), write(high)
    if first.startswith(("less", "more")):
        return f"{first} to {second}"
    return f"{first.removesuffix(once)} to {second}"


def _percent(share: float, *, signed: bool, decimals: int) -> str:
    """Write a share in percent; what is neither nothing nor all never looks like it."""
    if abs(share - round(share)) < _NOISE:
        share = round(share)
    written = f"{share * _PERCENT:.{decimals}f}"
    hidden = (float(written) == 0 and share != 0) or (abs(float(written)) == _PERCENT and abs(share) < 1)
    if hidden and not signed and share > 0:
        step = 10**-decimals
        return f"less than {step:g} %" if share < 0.5 else f"more than {_PERCENT - step:g} %"
    if hidden:
        # a difference keeps its direction: more digits instead of "less than"
        near = abs(share) < 0.5
        written = f"{share * _PERCENT:.1g}" if near else f"{math.trunc(share * 1000) / 10:.1f}"
    return f"{_sign(written, signed=signed)} %"


def _sign(text: str, *, signed: bool = False) -> str:
    """Use a real minus sign, none before a zero, and a plus sign where it is wanted."""
    if text.startswith("-"):
        return text[1:] if not text.strip("-0.") else MINUS + text[1:]
    return f"+{text}" if signed and text.strip("0.") else text


def _plural(unit: str, number: str) -> str:
    """Write one point, but two points and 1.0 points."""
    return unit[:-1] if number.lstrip(MINUS + "+") == "1" and unit.endswith("s") else unit
