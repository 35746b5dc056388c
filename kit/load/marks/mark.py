"""Score notations -> points, most points and share, or the reason why there is no mark."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date

from kit.load.declared import Dash, Scale
from kit.load.formats.cells import Value
from kit.load.formats.formulas import STRUCK, UNSAVED

_NUMBER = r"(\d+(?:\.\d+)?|\.\d+)"
_OUT_OF = re.compile(rf"{_NUMBER}\s*(?:/|of|out of)\s*{_NUMBER}", re.IGNORECASE)
_DASHED = re.compile(rf"{_NUMBER}\s*[-–]\s*{_NUMBER}")
_PERCENT = re.compile(rf"(-?){_NUMBER}\s*%")
_PLAIN = re.compile(rf"-?{_NUMBER}")
_HALVES = re.compile(r"(?<![\d.])(\d{0,4})\s*([¼½¾])|(?<![\d./])(\d{1,4})\s+(1/2|1/4|3/4)(?![\d/])")
_HALF = {"¼": ".25", "½": ".5", "¾": ".75", "1/4": ".25", "1/2": ".5", "3/4": ".75"}
_BY_SOMEBODY = re.compile(r"(.*\d.*?)\s*\(\s*([A-Z]{2,3})\s*\)")
_INITIALS = re.compile(r"\(\s*[A-Z]{2,3}\s*\)$")
_FRACTION_FORMAT = re.compile(r"[?#0]\s*/\s*[?#\d]")
_UNCLEAR = re.compile(r"[~<>≈]?\s*\d+(?:\.\d+)?\s*[*?+~]?.*")
_FORMULA_ERROR = re.compile(r"#(DIV/0!|REF!|N/A|NAME\?|NULL!|NUM!|VALUE!|#+)")

_WORDS = {
    "unspecified": ("-", "--", "–", "—", ".", "n/a", "na", "none", "nil"),
    "absent": ("abs", "absent", "a", "ab", "away", "not here", "no show", "no-show"),
    "excused": ("ex", "exc", "exc.", "excused", "exempt", "iep", "504", "ell"),
    "declined": ("ref", "refused", "declined", "wouldn't sing", "would not sing", "opted out"),
    "voice": ("lost voice", "voice change", "changing voice", "sick", "ill", "no voice"),
    "left": ("left", "moved", "moved away", "withdrew", "withdrawn", "dropped"),
    "not_enrolled": ("not enrolled", "not yet enrolled", "joined late", "new"),
    "technical": ("mic off", "file corrupt", "no recording", "recording failed"),
    "unscorable": ("unscorable", "cannot score", "inaudible"),
}
NO_MARK = {word: reason for reason, words in _WORDS.items() for word in words}
"""Word in a mark cell -> why there is no mark (common practice in schools, no source)."""

_REASON_AND_MORE = re.compile(
    r"(abs|absent|no show|exc|excused|exempt|declined|sick|voice change|moved|withdrew|withdrawn|unscorable)"
    r"(?:\s+[-–]\s+|\s*[(:,;]|(?<=moved)\s+to\s)[^\d]*"
)
"""A word for no mark with words behind it, but no number, which may be a mark or a day."""

_MOST_LETTERS = 40
"""Letters of a cell beyond which it is no mark (our own bound): digits without end would be a number without end."""
_UNUSABLE = {UNSAVED: "formula_unsaved", STRUCK: "cell_struck"}
_PRIVATE = {"excused", "voice"}


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark as read; exactly one of ``points``/``share`` or ``missing_reason`` or ``fault`` says something.

    ``rule`` names the normalisation, empty when the cell was a plain number; ``private`` says that the
    words of the cell must not be repeated; ``rater`` is who stands behind the mark in the cell itself.
    """

    points: float | None = None
    max_points: float | None = None
    share: float | None = None
    missing_reason: str = ""
    rule: str = ""
    fault: str = ""
    private: bool = False
    rater: str = ""


def read_mark(value: Value, number_format: str = "", *, decimal: str = ".", dash: Dash = "") -> Mark:
    """Read one cell of marks, by itself; what only the whole column can tell is settled by `settle`.

    Parameters
    ----------
    value : str, number, date or None
        The cell.
    number_format : str, optional
        How the spreadsheet shows the number.
    decimal : str, optional
        Decimal sign of the file.
    dash : str, optional
        What ``17-20`` means: ``"of"`` or, undeclared, unclear.

    Returns
    -------
    Mark
        Points and most points as far as the cell itself tells them.
    """
    if value is None:
        return Mark(missing_reason="unspecified")
    if isinstance(value, bool):
        return Mark(fault="not_a_mark")
    if isinstance(value, int | float):
        return _number(value, number_format)
    if isinstance(value, date):
        return Mark(points=float(value.month), max_points=float(value.day), rule="date read back as points of maximum")
    if isinstance(value, str):
        return _text(" ".join(value.split()), decimal, dash)
    return Mark(fault="not_a_mark")


def settle(mark: Mark, *, max_points: float | None, scale: Scale) -> Mark:
    """Complete a mark by what is known of its column, and check it against the bounds.

    Parameters
    ----------
    mark : Mark
        As read from the cell.
    max_points : float or None
        Most points that can be earned; the cell's own maximum goes before it.
    scale : str
        What plain numbers of the column are: points, percent, shares; empty: points.

    Returns
    -------
    Mark
        With points, most points and share as far as they can be known, or a fault.
    """
    if mark.missing_reason or mark.fault:
        return mark
    most = mark.max_points or max_points
    points, share = mark.points, mark.share
    if share is None and points is not None and mark.max_points is None and scale in ("percent", "share"):
        share, points = points / (100 if scale == "percent" else 1), None
    if share is None and most:
        share = points / most
    elif points is None and most:
        points = share * most
    if (points if points is not None else share) < 0:
        return Mark(fault="below_zero")
    if share is not None and share > 1 + 1e-9:
        return Mark(fault="over_maximum")
    return replace(mark, points=points, max_points=most, share=share)


def _number(value: float, number_format: str) -> Mark:
    """Read a numeric cell by the way it is shown."""
    try:
        value = float(value)
    except OverflowError:  # a whole number of more than 300 digits
        return Mark(fault="not_a_mark")
    if math.isnan(value):  # a missing number of a Parquet file
        return Mark(missing_reason="unspecified")
    if math.isinf(value):
        return Mark(fault="not_a_mark")
    if "%" in number_format:
        return Mark(share=value, rule="number shown as percent")
    if _FRACTION_FORMAT.search(number_format):
        return Mark(share=value, rule="number shown as a fraction")
    return Mark(points=value)


def _text(text: str, decimal: str, dash: Dash) -> Mark:
    """Read a text cell."""
    if not text:
        return Mark(missing_reason="unspecified")
    word = text.casefold().replace("’", "'")
    more = None if _INITIALS.search(text) else _REASON_AND_MORE.fullmatch(word)
    reason = NO_MARK.get(word) or (NO_MARK.get(more[1]) if more else None)
    if reason:
        rule = f"word read as no mark, {'no reason given' if reason == 'unspecified' else reason.replace('_', ' ')}"
        return Mark(missing_reason=reason, rule=rule, private=reason in _PRIVATE or word not in NO_MARK)
    if len(text) > _MOST_LETTERS:
        return Mark(fault="not_a_mark")
    if text in _UNUSABLE or _FORMULA_ERROR.fullmatch(text):
        return Mark(fault=_UNUSABLE.get(text, "formula_error"))
    if match := _BY_SOMEBODY.fullmatch(text):
        return _by_somebody(match, decimal, dash)
    if decimal == ",":
        text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    return _notation(text, dash)


def _by_somebody(match: re.Match, decimal: str, dash: Dash) -> Mark:
    """Read ``17 (JM)``: a mark and the initials of who gave it; a word for no mark in brackets is no rater."""
    inside = _text(match[1], decimal, dash)
    if match[2].casefold() in NO_MARK or inside.fault or inside.missing_reason:
        return Mark(fault="unclear_mark", private=True)
    return replace(inside, rater=match[2])


def _notation(text: str, dash: Dash) -> Mark:  # noqa: PLR0911 - one line for each notation
    """Read a text cell that is neither empty nor a word."""
    if _HALVES.search(text):
        halved = _notation(_HALVES.sub(_decimal_half, text), dash)
        return halved if halved.fault else replace(halved, rule=halved.rule or "half or quarter written as a fraction")
    if match := _OUT_OF.fullmatch(text):
        return Mark(points=float(match[1]), max_points=float(match[2]), rule="points of maximum in one cell")
    if match := _PERCENT.fullmatch(text):
        return Mark(share=float(match[1] + match[2]) / 100, rule="percent sign")
    if _PLAIN.fullmatch(text):
        return Mark(points=float(text))
    if match := _DASHED.fullmatch(text):
        if dash == "of":
            return Mark(points=float(match[1]), max_points=float(match[2]), rule="dash read as of")
        return Mark(fault="unclear_mark")
    return Mark(fault="unclear_mark" if _UNCLEAR.fullmatch(text) else "not_a_mark")


def _decimal_half(match: re.Match) -> str:
    """Write the half of ``17½`` or ``17 1/2`` as decimals."""
    whole, sign = (match[1], match[2]) if match[2] else (match[3], match[4])
    return f"{whole or 0}{_HALF[sign]}"
