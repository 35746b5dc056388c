"""Tables of a repeated study: the checks of what was printed, original beside ours, departures, published studies."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import MISSING, bare, interval_cell, percent_level, value_cell
from kit.report.said import Caption

CHECKED = {"p": "p", "t": "t", "df": "degrees of freedom", "correlation": "correlation of both tests (implied)"}
FITS = {
    "fits": "fits", "fits_one_sided": "fits a one-sided test", "does_not_fit": "does not fit: a question to the text",
}  # fmt: skip


class Check(Protocol):
    """A printed number beside its recomputation; see ``kit.questions.replication.original_checks.Check``."""

    what: str
    fit: str
    printed: str
    recomputed: float
    low: float
    high: float


class Repeated(Protocol):
    """A repeated study; see ``kit.questions.replication.repeated.Repeated``."""

    effect: object
    found: Sequence[Check]
    ours: Sequence[Estimate]
    knowing_choirs: object
    as_published: object


class Repeats(Protocol):
    """What study.toml says of the study repeated; see ``kit.purpose.Repeats``."""

    same_and_different: Mapping[str, Sequence[str]] | None
    deviations: Sequence[Deviation]


class Deviation(Protocol):
    """A departure from the plan; see ``kit.purpose.Deviation``."""

    planned: str
    done: str
    why: str
    when: str
    may_change: str


def checks_table(repeated: Repeated | None) -> pd.DataFrame:
    """Lay out what was printed beside what follows from the other printed numbers.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``; no row where there is none.

    Returns
    -------
    DataFrame
        Columns Number, Printed, Recomputed, Rounding allows, Fits.
    """
    rows = [
        (CHECKED[one.what], one.printed or MISSING, *_recomputed(one), FITS[one.fit])
        for one in (repeated.found if repeated else ())
    ]
    return pd.DataFrame(rows, columns=["Number", "Printed", "Recomputed", "Rounding allows", "Fits"])


def _recomputed(one: Check) -> tuple[str, str]:
    """Write a recomputed number and what rounding allows, all with the decimals that give it three digits."""
    numbers = (one.recomputed, one.low, one.high)
    whole = all(float(number).is_integer() for number in numbers)
    size = math.floor(math.log10(abs(one.recomputed))) if one.recomputed else 0
    told, low, high = (f"{number:.{0 if whole else max(0, 2 - size)}f}" for number in numbers)
    return told, f"{low} to {high}"


def journal_table(estimates: Sequence[Estimate], *, level: float) -> pd.DataFrame:
    """Lay estimates out the way journals print them: two decimals, brackets, no zero before p.

    Parameters
    ----------
    estimates : sequence of Estimate
        What is shown.
    level : float
        Confidence level.

    Returns
    -------
    DataFrame
        Columns What, n, Choirs, Estimate, CI, df, p.
    """
    rows = [
        (
            one.about, _counted(one), str(one.clusters) if one.clusters else MISSING, _journal(one.value, one.unit),
            f"[{_journal(one.interval.low, one.unit)}, {_journal(one.interval.high, one.unit)}]" if one.interval
            else MISSING,
            MISSING if one.df is None else f"{one.df:.1f}".removesuffix(".0"),
            journal_p(one.p),
        )
        for one in estimates
    ]  # fmt: skip
    heads = ["What", "n", "Choirs", "Estimate", f"{percent_level(level)} CI", "df", "p"]
    return pd.DataFrame(rows, columns=heads)


def _counted(one: Estimate) -> str:
    """Write how many a number rests on; students need no word in a column headed n."""
    return str(one.n) if one.counted == "students" else f"{one.n} {one.counted}"


def journal_p(p: float | None) -> str:
    """Write a p-value the way journals print it: three decimals, no zero before the point.

    Parameters
    ----------
    p : float or None
        The p-value; None is written as a dash.

    Returns
    -------
    str
    """
    if p is None:
        return MISSING
    return "< .001" if p < 0.001 else f"{p:.3f}".removeprefix("0")


def _journal(value: float, unit: str) -> str:
    """Write a number with two decimals, without a zero before the point where it cannot pass one; ∞ for no limit."""
    text = f"{value:.2f}".replace("-", "\u2212").replace("inf", "\u221e")
    return text.replace("0.", ".", 1) if unit in ("correlation", "reliability", "agreement") else text


def features_table(repeats: Repeats) -> pd.DataFrame:
    """Lay out what was the same and what was different, as study.toml says.

    Parameters
    ----------
    repeats : Repeats
        From the study file.

    Returns
    -------
    DataFrame
        Columns Feature, Original, Ours.
    """
    rows = [(feature.capitalize(), *pair) for feature, pair in (repeats.same_and_different or {}).items()]
    return pd.DataFrame(rows, columns=["Feature", "Original", "Ours"])


def deviations_table(repeats: Repeats) -> pd.DataFrame:
    """Lay out departures from the plan.

    Parameters
    ----------
    repeats : Repeats
        From the study file.

    Returns
    -------
    DataFrame
        Columns Planned, Done, Why, Decided, What it may change.
    """
    rows = [(one.planned, one.done, one.why, one.when, one.may_change) for one in repeats.deviations]
    return pd.DataFrame(rows, columns=["Planned", "Done", "Why", "Decided", "What it may change"])


def sizes(repeated: Repeated | None) -> list[Estimate]:
    """Gather the original's size, ours, and both together, for one picture.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``.

    Returns
    -------
    list of Estimate
        All of the original's unit; none where nothing can be put beside each other.
    """
    if repeated is None or not isinstance(repeated.effect, Estimate):
        return []
    both = next(
        (one.answers for one in (repeated.knowing_choirs, repeated.as_published) if hasattr(one, "answers")), ()
    )
    found = [repeated.effect, *repeated.ours, *(one for one in both if one.name == "pooled_effect")]
    return [one for one in found if one.unit == repeated.effect.unit]


def sizes_table(repeated: Repeated | None) -> pd.DataFrame:
    """Lay sizes out beside each other, the way journals print them.

    Parameters
    ----------
    repeated : Repeated or None
        From ``kit.questions.replication.repeated.repeat``.

    Returns
    -------
    DataFrame
        As `journal_table`.
    """
    found = sizes(repeated)
    level = next((one.interval.level for one in found if one.interval), 0.95)
    return journal_table(found, level=level)


def sizes_caption(found: Sequence[Estimate]) -> Caption:
    """Describe the picture of the original and ours.

    Parameters
    ----------
    found : sequence of Estimate
        From `sizes`.

    Returns
    -------
    Caption
    """
    told = "; ".join(f"{one.about}: {value_cell(one)}, {interval_cell(one)}" for one in found)
    return Caption(
        "The original and ours, each with its interval",
        f"Points with bars, one for each of {len(found)}, and a line at zero. {told}.",
        "Positive: scores were better. A bar that crosses the line of zero leaves the direction open.",
    )


def published_table(studies: pd.DataFrame) -> pd.DataFrame:
    """Lay out the published studies that the kit knows, as context and never as a yardstick.

    Parameters
    ----------
    studies : DataFrame
        From ``kit.questions.replication.published.published_studies``.

    Returns
    -------
    DataFrame
        Columns Study, Design, n, Size, Interval, Seen.
    """

    def ends(row: pd.Series) -> str:
        return f"{_size(row.effect_low, row)} to {_size(row.effect_high, row)}" if pd.notna(row.effect) else MISSING

    rows = [
        (row.study, row.design, _of_studies(row),
         f"{_size(row.effect, row)} {row.effect_unit}".strip() if pd.notna(row.effect) else MISSING, ends(row),
         f"{row.status} in the text or its abstract" if row.status == "seen" else row.status)
        for row in studies.itertuples()
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["Study", "Design", "n", "Size", "Interval", "Numbers"])


def _of_studies(row: object) -> str:
    """Write how many students a study had, or how many studies were pooled."""
    number = str(row.n or MISSING)
    return f"{number} studies" if row.kind == "pooled_studies" and row.n else number


def _size(value: float, row: object) -> str:
    """Write one number of a published study."""
    return bare(value, row.effect_unit if row.effect_unit in ("SD", "SD of gains", "correlation") else "SD")
