"""The only rounding: how numbers are written for people."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from kit.estimate import Estimate
from kit.report.privacy.coding import AtLeast, AtMost

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
    "cluster_robust", "cluster_wild", "mixed_difference", "adjusted_difference", "gain_difference", "growth_model",
    "segmented_change", "within_slope",
)  # fmt: skip
"""Statistics that are a distance between two scores or two shares."""
_LIMITS = ("attrition_boundary",)
"""Statistics that are read off a published table."""
_NOISE = 1e-12
"""What floating-point arithmetic leaves of a share that is exactly nothing or all."""


def bare(
    value: float | None, unit: str, *, signed: bool = False, n: int | None = None, decimals: int | None = None
) -> str:
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
    decimals : int, optional
        Decimals to write instead, such as those that an interval allows.

    Returns
    -------
    str
    """
    if value is None or math.isnan(value):
        return MISSING
    if math.isinf(value):
        return "no limit"
    if unit == "share":
        if isinstance(value, AtMost | AtLeast):
            return f"{value * _PERCENT:.0f} % {value.words}"
        many = n is not None and n > _MANY
        return _percent(value, signed=signed, decimals=int(many) if decimals is None else decimals)
    if decimals is None:
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
    """Write an estimate with its unit for a table cell: ``1.4 points``, ``62 %``, ``8 percentage points``.

    The width of its interval decides the decimals, so that two digits of that width are seen.
    """
    value, unit = _on_paper(estimate, estimate.value)
    text = bare(value, unit, n=_students(estimate), decimals=_decimals(estimate))
    return text if unit in ("share", *_UNWRITTEN) else f"{text} {_plural(unit, text)}"


def interval_cell(estimate: Estimate) -> str:
    """Write the interval of an estimate for a table cell, in the unit and with the decimals of `value_cell`."""
    if estimate.interval is None:
        return MISSING
    decimals = _decimals(estimate)
    return _from_to(
        estimate, lambda end: bare(*_on_paper(estimate, end), n=_students(estimate), decimals=decimals), " %"
    )


def exact(value: float | None) -> str:
    """Write a number with six significant digits, for the table of all numbers."""
    return MISSING if value is None or math.isnan(value) else _sign(f"{value:.6g}")


def percent_level(level: float) -> str:
    """Write a confidence level: ``95 %``."""
    return f"{level * _PERCENT:g} %"


def as_printed(estimate: Estimate) -> Estimate:
    """Cut the digits of a number to those of its table cell, for readers to whom more would give single students away.

    Parameters
    ----------
    estimate : Estimate
        Any number; counts and ranges stay as they are.

    Returns
    -------
    Estimate
        Value and interval with the decimals of `value_cell`; p with three decimals, df with one.
    """
    if estimate.unit in _WHOLE or estimate.name in _LIMITS or isinstance(estimate.value, AtMost | AtLeast):
        return estimate
    factor, unit = _on_paper(estimate, 1.0)
    usual = 1 if unit == "share" and (_students(estimate) or 0) > _MANY else _DECIMALS.get(unit, 1)
    decimals = _decimals(estimate) if _decimals(estimate) is not None else usual
    places = decimals + (2 if unit == "share" or factor == _PERCENT else 0)
    cut = _share_to_places if estimate.unit == "share" else _to_places
    ends = {end: cut(getattr(estimate.interval, end, None), places) for end in ("low", "high")}
    interval = estimate.interval and replace(estimate.interval, **ends)
    return replace(
        estimate, value=cut(estimate.value, places), interval=interval, p=_to_places(estimate.p, 3),
        df=_to_places(estimate.df, 1),
    )  # fmt: skip


def _to_places(value: float | None, places: int) -> float | None:
    """Round a number; an open end stays open."""
    return value if value is None or math.isinf(value) else round(float(value), places)


def _share_to_places(value: float | None, places: int) -> float | None:
    """Round a share; what is not quite nothing, or not quite all, does not become it."""
    near = _to_places(value, places)
    while near in (-1, 0, 1) and abs(value - near) > _NOISE:
        places += 1
        near = _to_places(value, places)
    return near


def _decimals(estimate: Estimate) -> int | None:
    """Say how many decimals show two digits of the interval's width; None where there is none to go by.

    A score, or a size in standard deviations, keeps at least the decimals of its unit, which sentences have too.
    """
    if estimate.interval is None or estimate.unit in _WHOLE:
        return None
    low, high = (_on_paper(estimate, end) for end in (estimate.interval.low, estimate.interval.high))
    width, unit = high[0] - low[0], low[1]
    if not 0 < width < math.inf:
        return None
    needed = 1 - math.floor(math.log10(width * _PERCENT if unit == "share" else width))
    if unit in ("share", "percentage points"):
        return min(max(needed, 0), 2)
    usual = _DECIMALS.get(unit, 1)
    return min(max(needed, usual), usual + 1)


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
