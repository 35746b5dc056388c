"""Ratings in every spelling -> numbers of one scale, whose direction is known or declared and never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from kit.load.declared_music import RatingSource
from kit.load.formats.cells import Value
from kit.load.layout import is_blank
from kit.load.marks.mark import NO_MARK
from kit.load.sheets import text_of

Kind = Literal["roman", "division", "number", "excellence", "medal", "letter", "label", "unknown"]

_FAMILIES: Mapping[Kind, Mapping[str, float]] = {
    "roman": {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5},
    "excellence": {"superior": 1, "excellent": 2, "good": 3, "fair": 4, "poor": 5, "needs improvement": 5},
    "medal": {"gold": 1, "silver": 2, "bronze": 3, "participation": 4},
    "letter": {"a": 1, "b": 2, "c": 3, "d": 4, "e": 5},
}
"""Labels of ratings from best to worst (common practice, no source)."""
_ALIKE: tuple[set[Kind], ...] = (
    {"roman", "division", "number", "excellence"},
    {"medal"},
    {"letter"},
    {"label", "number"},
)
"""Kinds that may stand in one column, since they number one scale."""
_WORDS: set[Kind] = {"excellence", "medal", "letter", "label"}
_LONGEST = 5
"""Ratings of a scale of labels (common practice, no source)."""

_NOT_RATED = {"dns", "did not sing", "dnp", "did not perform", "co", "c.o.", "comments only", "comment only",
              "for comments only", "nr", "n/r", "not rated", "no rating", "dq", "disqualified"}  # fmt: skip
_DIVISION = re.compile(r"(?:division|div\.?|rating|class)\s*(.+)")
_MISTYPED = re.compile(r"[il1|]{1,3}|[il1|]?v")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?|\d*\s?½")
_SIGNED = re.compile(r"(.+?)\s*([+\-−–])")

_FRACTIONS_FROM = 10
"""Width of a scale from which on it is one of points, of which halves are counted (our own rule)."""
_THIRD = 1 / 3


@dataclass(frozen=True, slots=True)
class Rating:
    """One rating as read: a number, not rated, or a fault (``unknown_rating`` or ``unclear_mark``)."""

    value: float | None = None
    not_rated: bool = False
    fault: str = ""
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingScale:
    """One scale: its ends, its labels, and what its signs mean.

    Attributes
    ----------
    best, worst : float
        The two ends; 1 is best where labels are ranks.
    labels : mapping of str to float
        Label -> number.
    roman : bool
        Whether the column holds Roman numerals, so that l and 1 may be mistyped ones.
    signs : str
        ``thirds``, ``ignored``, or empty: a sign leaves the rating unclear.
    """

    best: float
    worst: float
    labels: Mapping[str, float] = field(default_factory=dict)
    roman: bool = False
    signs: Literal["", "thirds", "ignored"] = ""

    @property
    def higher_is_better(self) -> bool:
        """Say whether the greater number is the better rating."""
        return self.best > self.worst


@dataclass(frozen=True, slots=True)
class ScaleFault:
    """Why no scale can be told: reason code, what stands there, and what to declare."""

    why: str
    found: str
    do: str


def read_rating(value: Value, scale: RatingScale) -> Rating:
    """Read one rating.

    Parameters
    ----------
    value : str, number or None
        The cell.
    scale : RatingScale
        As `scale_of` finds it.

    Returns
    -------
    Rating
        A number within the scale, or why there is none.
    """
    text = _plain(value)
    if _is_not_rated(text, scale.labels):
        return Rating(not_rated=True, rule="word read as not rated" if text else "")
    signed = _SIGNED.fullmatch(text)
    bare, sign = (signed[1], signed[2]) if signed else (text, "")
    number, rule = _number(bare, scale)
    if number is None:
        return Rating(fault="unknown_rating")
    if sign and not scale.signs:
        return Rating(fault="unclear_mark")
    if sign and scale.signs == "thirds":
        up = _THIRD if scale.higher_is_better else -_THIRD
        number += up if sign == "+" else -up
    rule = {"thirds": "sign read as a third", "ignored": "sign left out"}[scale.signs] if sign else rule
    if not min(scale.best, scale.worst) <= number <= max(scale.best, scale.worst):
        return Rating(fault="unknown_rating")
    if not sign and number % 1 and not scale.signs and abs(scale.best - scale.worst) < _FRACTIONS_FROM:
        return Rating(fault="unclear_mark")
    return Rating(number, rule=rule)


def scale_of(values: Sequence[Value], source: RatingSource) -> RatingScale | ScaleFault:
    """Find the scale of a column of ratings.

    Parameters
    ----------
    values : sequence of str, number or None
        All ratings of the sheet.
    source : RatingSource
        Its labels, ends, direction and signs, as far as they are declared.

    Returns
    -------
    RatingScale or ScaleFault
        Roman numerals, divisions, words and letters carry their direction: 1 is best (common practice, no source).
        Plain numbers never do.
    """
    labels = {_plain(label): float(at) for at, label in enumerate(source.labels, 1)}
    kinds = _kinds(values, labels)
    found = set(kinds)
    if not any(found <= alike for alike in _ALIKE):
        listed = ", ".join(f'"{example}"' for kind, example in sorted(kinds.items()))
        return ScaleFault(
            "grades_order", f"The ratings {listed} are not of one scale that the kit knows.",
            "List the words from best to worst in study.toml, such as labels = [\"Gold\", \"Silver\", \"Bronze\"].",
        )  # fmt: skip
    ranks = found != {"number"}
    if source.higher_is_better and found & _WORDS:
        return ScaleFault(
            "rating_direction", "Words are numbered from 1 for the best, but higher_is_better is declared.",
            "Take higher_is_better out of study.toml.",
        )  # fmt: skip
    ends = _ends(values, source, len(source.labels) or (4 if "medal" in found else _LONGEST), ranks=ranks)
    if isinstance(ends, ScaleFault):
        return ends
    known = labels or {word: number for kind in found for word, number in _FAMILIES.get(kind, {}).items()}
    if "division" in found:
        known |= _FAMILIES["roman"]
    return RatingScale(best=ends[0], worst=ends[1], labels=known, roman="roman" in found, signs=source.signs)


def _ends(
    values: Iterable[Value], source: RatingSource, longest: int, *, ranks: bool
) -> tuple[float, float] | ScaleFault:
    """Find the best and the worst number of a scale."""
    best, worst, higher = source.best, source.worst, source.higher_is_better
    if best is not None and worst is not None:
        if best == worst or (higher is not None and higher != (best > worst)):
            return ScaleFault(
                "rating_direction", f"best = {best:g} and worst = {worst:g} do not fit higher_is_better.",
                "Correct them in study.toml.",
            )  # fmt: skip
        return float(best), float(worst)
    if not ranks and higher is None:
        return ScaleFault(
            "rating_direction", "The ratings are plain numbers, and nothing tells whether 1 or 5 is the best.",
            "Write best = 1 and worst = 5, or best = 5 and worst = 1, beside the file in study.toml.",
        )  # fmt: skip
    numbers = [number for value in values if (number := _plain_number(_plain(value))) is not None]
    if not ranks and any(not 1 <= number <= _LONGEST for number in numbers):
        return ScaleFault(
            "rating_direction", "The ratings are not all from 1 to 5, so that the ends of the scale must be known.",
            "Write its best and its worst number in study.toml, such as best = 35 and worst = 0.",
        )  # fmt: skip
    return (float(longest), 1.0) if higher else (1.0, float(longest))


def _kinds(values: Iterable[Value], labels: Mapping[str, float]) -> dict[Kind, str]:
    """Find the kinds of rating of a column, each with an example."""
    kinds: dict[Kind, str] = {}
    doubtful: dict[Kind, str] = {}
    for value in values:
        text = _plain(value)
        if _is_not_rated(text, labels):
            continue
        signed = _SIGNED.fullmatch(text)
        kind = _kind(signed[1] if signed else text, labels)
        # what may be a mistyped numeral, or an A for absent, tells nothing of the scale where other ratings do
        into = doubtful if kind == "unknown" or text == "a" else kinds
        into.setdefault(kind, text_of(value))
    return kinds or doubtful


def _kind(text: str, labels: Mapping[str, float]) -> Kind:
    """Name the kind of one rating."""
    if labels:
        return "label" if text in labels else "number" if _plain_number(text) is not None else "unknown"
    if _DIVISION.fullmatch(text):
        return "division"
    for kind, words in _FAMILIES.items():
        if text in words:
            return kind
    return "number" if _plain_number(text) is not None else "unknown"


def _number(text: str, scale: RatingScale) -> tuple[float | None, str]:
    """Read a rating without its sign: its number, and the normalisation in words."""
    if text in scale.labels:
        return scale.labels[text], "label read as the number of its rating"
    if match := _DIVISION.fullmatch(text):
        number, _ = _number(match[1], scale)
        return number, "label read as the number of its rating"
    number = _plain_number(text)
    within = number is not None and min(scale.best, scale.worst) <= number <= max(scale.best, scale.worst)
    if scale.roman and not within and _MISTYPED.fullmatch(text):
        return _FAMILIES["roman"].get(re.sub(r"[l1|]", "i", text)), "l or 1 read as a Roman numeral"
    return number, ""


def _plain_number(text: str) -> float | None:
    """Read digits, with a decimal point or comma, or a half."""
    if not _NUMBER.fullmatch(text):
        return None
    half = text.endswith("½")
    whole = text.rstrip("½ ") or "0"
    return float(whole.replace(",", ".")) + (0.5 if half else 0.0)


def _is_not_rated(text: str, labels: Mapping[str, float]) -> bool:
    """Say whether a cell says that the choir was not rated; a lone A is a letter."""
    return not text or (text not in labels and text != "a" and (text in _NOT_RATED or text in NO_MARK))


def _plain(value: Value) -> str:
    """Write a rating the way ratings are compared: small letters, single spaces."""
    return "" if is_blank(value) else text_of(value).casefold().strip()
