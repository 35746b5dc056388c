"""What is written in a drawing, and room for it: wrapped labels, numbers, names of bands, reasons and groups."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence

import pandas as pd

from kit.estimate import NO_ROSTER, Estimate

CHARACTER = 0.083
"""Inches that one character takes at most, on average over a label."""
UNITS = {"share": "percent", "SD": "standard deviations", "SD of gains": "standard deviations of the gains"}
MINUS = "\u2212"
MANY = 300
NOISE = 1e-12
"""What floating-point arithmetic leaves of a share that is exactly nothing or all."""
REASONS = {
    "unspecified": "no reason given", "voice": "voice change or illness", "left": "left the choir",
    "technical": "technical fault", "unscorable": "could not be scored",
}  # fmt: skip
"""Reason -> how it is written, where its own word is too short to be understood."""
GROUPS = ("lowest", "lower", "middle", "higher", "highest")


def wrapped(text: str, inches: float) -> str:
    """Break a label into lines that fit.

    Parameters
    ----------
    text : str
        The label.
    inches : float
        Room for one line.

    Returns
    -------
    str
    """
    return "\n".join(textwrap.wrap(text, max(int(inches / CHARACTER), 4))) or text


def room(labels: Sequence[str]) -> float:
    """Say how many inches the longest line of some labels takes.

    Parameters
    ----------
    labels : sequence of str
        Labels, broken into lines.

    Returns
    -------
    float
    """
    return max(len(line) for label in labels for line in label.split("\n")) * CHARACTER


def lines(label: str) -> int:
    """Count the lines of a label."""
    return label.count("\n") + 1


def written(value: float, unit: str, *, signed: bool = False, n: int | None = None) -> str:
    """Write a number as the report's tables do, without its unit except for percent.

    Parameters
    ----------
    value : float
        The number.
    unit : str
        Unit of the estimate.
    signed : bool, optional
        Whether a plus sign is written.
    n : int, optional
        How many students a share rests on; above ``MANY`` it gets a decimal.

    Returns
    -------
    str
    """
    if unit == "share":
        return f"{_percent(value, signed=signed, decimals=1 if n is not None and n > MANY else 0)} %"
    decimals = {"students": 0, "choirs": 0, "schools": 0, "SD": 2, "SD of gains": 2, "correlation": 2}.get(unit, 1)
    return signed_text(f"{value:.{decimals}f}", signed=signed)


def _percent(share: float, *, signed: bool, decimals: int) -> str:
    """Write a share in percent; what is neither nothing nor all never looks like it."""
    if abs(share - round(share)) < NOISE:
        share = round(share)
    text = f"{share * 100:.{decimals}f}"
    hidden = (float(text) == 0 and share != 0) or (abs(float(text)) == 100 and abs(share) < 1)
    if hidden and not signed and share > 0:
        step = 10**-decimals
        return f"less than {step:g}" if share < 0.5 else f"more than {100 - step:g}"
    if hidden:
        text = f"{share * 100:.1g}" if abs(share) < 0.5 else f"{math.trunc(share * 1000) / 10:.1f}"
    return signed_text(text, signed=signed)


def signed_text(text: str, *, signed: bool = False) -> str:
    """Use a real minus sign, none before a zero, and a plus sign where it is wanted."""
    if text.startswith("-"):
        return text[1:] if not text.strip("-0.") else MINUS + text[1:]
    return f"+{text}" if signed and text.strip("0.") else text


def with_interval(estimate: Estimate) -> str:
    """Write a value and, on a second line, its interval.

    Parameters
    ----------
    estimate : Estimate
        What is drawn.

    Returns
    -------
    str
        The value alone, with a word of warning, where there is no interval.
    """
    n = estimate.n if estimate.counted == "students" else None
    value = written(estimate.value, estimate.unit, n=n)
    if estimate.interval is None:
        return f"{value}\n(no interval)"
    low, high = (
        "no limit" if math.isinf(end) else written(end, estimate.unit, n=n)
        for end in (estimate.interval.low, estimate.interval.high)
    )
    return f"{value}\n({low.removesuffix(' %')} to {high})"


def abouts(estimates: Sequence[Estimate]) -> list[str]:
    """Write what each estimate is about, without the measure where it is the same for all.

    Parameters
    ----------
    estimates : sequence of Estimate
        ``about`` such as ``"pitch, Treble 2"``.

    Returns
    -------
    list of str
        ``"Treble 2"`` where every one begins with ``"pitch, "``, else the whole.
    """
    parts = [estimate.about.partition(", ") for estimate in estimates]
    shared = len({start for start, _, _ in parts}) == 1 and all(rest for _, _, rest in parts)
    return [rest for _, _, rest in parts] if shared else [estimate.about for estimate in estimates]


def band_names(bands: pd.DataFrame, unit: str) -> list[str]:
    """Name each band by its ends.

    Parameters
    ----------
    bands : DataFrame
        Columns low and high.
    unit : str
        Unit of the score scale.

    Returns
    -------
    list of str
        ``0 to under 4``; the last band holds its upper end too.
    """
    scale = 100 if unit == "share" else 1
    last = len(bands) - 1
    return [
        f"{row.low * scale:.4g} to {'under ' if at < last else ''}{row.high * scale:.4g}"
        for at, row in enumerate(bands.itertuples(index=False))
    ]


def reason(estimate: Estimate) -> str:
    """Write how many marks are missing for which reason.

    Parameters
    ----------
    estimate : Estimate
        A count about ``"before: absent"`` and the like.

    Returns
    -------
    str
    """
    word = estimate.about.split(": ", 1)[1]
    return f"{estimate.value:.0f} {REASONS.get(word, word)}"


def group(estimate: Estimate) -> str:
    """Name the starting group that an estimate is about.

    Parameters
    ----------
    estimate : Estimate
        About ``"pitch, lowest starters"`` and the like.

    Returns
    -------
    str
        One of ``GROUPS``; else what it is about.
    """
    words = estimate.about.replace(",", " ").split()
    return next((name for name in GROUPS if name in words), estimate.about)


def where_listed(flow: Sequence[Estimate]) -> str:
    """Write where the students were found: on a roster, or in the marks alone, as a note of their count says."""
    [listed] = [one for one in flow if one.about == "on the roster"]
    return "in the files of marks" if NO_ROSTER in listed.notes else "on the roster"
