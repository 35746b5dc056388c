"""The numbers of a report that a script for R computes again, each with its parts and its label."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from kit.estimate import Estimate
from kit.plaintext import escape_formula
from kit.report.phrases import pick

ROUNDED = "it is rounded in this copy"
PARTS = ("value", "low", "high", "df", "p")
WAYS = (
    "choir means", "choir means, schools held apart", "students, choirs known", "the same, schools held apart",
    "mixed model of choirs", "mixed model, drawn anew", "wild bootstrap of choirs",
)  # fmt: skip
"""Ways to compute the difference that are computed again, beside the main one."""
IGNORED = "choirs ignored (a warning)"
"""The way that needs single students."""
SHUFFLED = "choirs shuffled"
SHUFFLED_AGAIN = f"{SHUFFLED}, among the ways"
"""The main answer by shuffling, and the same among the ways, which may rest on other draws."""
DRAWN = (SHUFFLED, SHUFFLED_AGAIN, *WAYS[-2:])
"""Numbers that rest on draws where there are too many signs, or ways to deal out, to go through."""
DRAWS = re.compile(r"([\d,]+) (?:draws|assignments of whole choirs[^,]*, drawn)\b")
"""How a method or a note says how many draws a number rests on."""


class Primary(Protocol):
    """The main answer; see ``kit.questions.comparison.Primary``."""

    main: Estimate | None
    shuffled: Estimate | None
    method: str
    model: str
    schools: str


class TwoModels(Protocol):
    """Both ways to use the first test; see ``kit.questions.comparison.models.TwoModels``."""

    adjusted: Estimate | None
    gain: Estimate | None


class Sensitivity(Protocol):
    """One difference in several ways; see ``kit.questions.comparison.methods.Sensitivity``."""

    answers: Sequence[Estimate]
    names: Sequence[str]


class Repeated(Protocol):
    """A repeated study; see ``kit.questions.replication.repeated.Repeated``."""

    effect: object
    knowing_choirs: Any
    ours: Sequence[Estimate]


class Page(Protocol):
    """The report in the making; see ``kit.report.page.Page``."""

    audience: str
    level: float
    rounding: Any
    hidden: Sequence[str]

    def must_hide(self, estimate: Estimate) -> bool:
        """Say whether this audience must not see a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One number that is computed again: its name in the script, which part of it, its value and label.

    Where it may rest on draws, `draws` says on how many, or ``"all"`` where all there are were gone through.
    """

    number: str
    part: str
    ours: float
    label: str
    why_not: str = ""
    draws: str = ""


def key_numbers(
    page: Page, main: Primary, *, both: TwoModels, size: Estimate | None, ways: Sensitivity,
    repeated: Repeated | None = None, reliability: Iterable[Estimate] = (),
) -> list[Key]:  # fmt: skip
    """Gather the numbers of a report that are computed again.

    Parameters
    ----------
    page : Page
        The report: what its readers must not see is left out, and what they see rounded is not computed again.
    main : Primary
        The main answer.
    both : TwoModels
        By gains and adjusted.
    size : Estimate or None
        The difference in SD.
    ways : Sensitivity
        The same difference in several ways.
    repeated : Repeated, optional
        The original and ours.
    reliability : iterable of Estimate, optional
        Of this sample; alpha over melodies of all choirs together is taken.

    Returns
    -------
    list of Key
        One for each part of each number that the report has.
    """
    known = dict(zip(ways.names, ways.answers, strict=True))
    named: list[tuple[str, Estimate | None, tuple[str, ...]]] = [
        ("difference", main.main, PARTS),
        ("difference by gains", both.gain, PARTS),
        ("difference adjusted", both.adjusted, PARTS),
        (SHUFFLED, main.shuffled, ("value", "p")),
        *((way, known.get(way), PARTS) for way in WAYS),
        (SHUFFLED_AGAIN, known.get(SHUFFLED), ("value", "p")),
        (IGNORED, known.get(IGNORED), PARTS),
        ("size in SD", _as_shown(size, repeated), PARTS[:4]),
        *((f"alpha: {escape_formula(one.about)}", one, ("value",)) for one in reliability
          if one.name == "cronbach_alpha" and "within choirs" not in one.about),
        *_of_repeated(repeated),
    ]  # fmt: skip
    keys = [
        key for number, one, parts in named if one is not None and not page.must_hide(one)
        for key in _keys(number, one, parts, rounded=page.rounding.estimate(one) != one)
    ]  # fmt: skip
    compared = getattr(repeated, "knowing_choirs", None)
    ratio = getattr(compared, "ratio", None)
    return keys if ratio is None else [*keys, Key(number="ours over original", part="value", ours=ratio, label="")]


def _of_repeated(repeated: Repeated | None) -> Iterator[tuple[str, Estimate | None, tuple[str, ...]]]:
    """Name what is told of the original and ours."""
    if repeated is None or not isinstance(repeated.effect, Estimate):
        return
    yield "original", repeated.effect, ("value",)
    answers = getattr(repeated.knowing_choirs, "answers", ())
    yield "prediction for ours", pick(answers, "replication_prediction"), ("low", "high")
    yield "ours less original", pick(answers, "replication_difference"), ("value", "low", "high", "p")


def _as_shown(size: Estimate | None, repeated: Repeated | None) -> Estimate | None:
    """Take our size under the name that stands beside the original's, where there is one."""
    beside = [one for one in getattr(repeated, "ours", ()) if size is not None and one.name == size.name]
    return beside[0] if beside else size


def _keys(number: str, one: Estimate, parts: Sequence[str], *, rounded: bool) -> Iterator[Key]:
    """Part one number; a rounded one is named without its value."""
    ends = one.interval
    values = {
        "value": one.value, "low": ends and ends.low, "high": ends and ends.high, "df": one.df, "p": one.p,
    }  # fmt: skip
    draws = draws_of(one) if number in DRAWN else ""
    for part in parts:
        if values[part] is not None:
            ours = float("nan") if rounded else float(values[part])
            yield Key(number=number, part=part, ours=ours, label=one.label, why_not=ROUNDED if rounded else "",
                      draws=draws)  # fmt: skip


def draws_of(one: Estimate) -> str:
    """Read how many draws a number rests on.

    Parameters
    ----------
    one : Estimate
        With its method of the interval, and its notes.

    Returns
    -------
    str
        A number, or ``"all"``.
    """
    said = "; ".join([one.interval.method if one.interval else "", *one.notes])
    found = DRAWS.search(said)
    return found[1].replace(",", "") if found else "all"
