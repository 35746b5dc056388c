"""Signs and words for right and wrong -> yes or no, or why it cannot be told."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from kit.load.declared_music import Right
from kit.load.formats.cells import Value
from kit.load.formats.formulas import STRUCK, UNSAVED
from kit.load.marks.mark import NO_MARK

Meaning = Right | Literal["unclear"]

_TICKS = frozenset("✓✔☑✅√")
_CROSSES = frozenset({"x", "×"})
_SIGNS: Mapping[Meaning, tuple[str, ...]] = {
    "right": (*sorted(_TICKS), "+", "yes", "y", "true", "t", "right", "correct", "ok", "good", "pass"),
    "wrong": ("✗", "✘", "❌", "no", "n", "false", "f", "wrong", "incorrect", "error", "miss", "missed", "fail"),
    "partly": ("partly", "partial", "partially", "half", "almost", "nearly", "½"),
    "unclear": (*sorted(_CROSSES), "o", "/", "\\", "|", "*", "?", "??", "r", "c", "w", "i"),
}  # fmt: skip
_MEANING_OF = {sign: meaning for meaning, signs in _SIGNS.items() for sign in signs}
"""Sign or word -> what it means by itself (common practice, no source); a cross, a circle and a stroke mean either."""

_COUNTED = re.compile(r"(\d{1,4})\s*(?:/|of|out of)\s*(\d{1,4})", re.IGNORECASE)
_LARGEST = 10_000
"""Numbers from which on none is taken for a word of the study file."""
_FORMULA_ERROR = re.compile(r"#(DIV/0!|REF!|N/A|NAME\?|NULL!|NUM!|VALUE!|#+)")


@dataclass(frozen=True, slots=True)
class RightMark:
    """One mark for right or wrong.

    Attributes
    ----------
    right : bool or None
        Whether it was right as a whole; None where there is no mark or a fault.
    share : float or None
        How much was right, where it was counted or noted as half.
    partly : bool
        Whether the mark says partly right; ``right`` is then False.
    notes_right, notes_asked : int or None
        The counts of a mark such as ``3/5``.
    missing_reason : str
        Why there is no mark, one of ``kit.tables.MISSING_REASONS``; empty when there is one.
    fault : str
        Reason code: ``right_unclear``, ``not_a_mark``, ``formula_unsaved``, ``formula_error`` or ``cell_struck``.
    rule : str
        The normalisation, in words; empty for 1 and 0.
    private : bool
        Whether the words of the cell must not be repeated.
    """

    right: bool | None = None
    share: float | None = None
    partly: bool = False
    notes_right: int | None = None
    notes_asked: int | None = None
    missing_reason: str = ""
    fault: str = ""
    rule: str = ""
    private: bool = False


_READ: Mapping[Meaning, RightMark] = {
    "right": RightMark(right=True, rule="sign or word read as right"),
    "wrong": RightMark(right=False, rule="sign or word read as wrong"),
    "partly": RightMark(right=False, partly=True, rule="partly right counted as not right"),
    "unclear": RightMark(fault="right_unclear"),
}


def read_right(value: Value, words: Mapping[str, Meaning] | None = None) -> RightMark:
    """Read one mark for right or wrong.

    Parameters
    ----------
    value : str, number, bool, date or None
        The cell, or one sign of a string of marks.
    words : mapping of str to str, optional
        What signs and words of this file mean, as `right_words` gives them; they go before everything else.

    Returns
    -------
    RightMark
        Right or wrong, or no mark with its reason, or a fault.
    """
    if value is None:
        return RightMark(missing_reason="unspecified")
    if isinstance(value, bool):
        return RightMark(right=value)
    if isinstance(value, int | float):
        return _number(value, words)
    if isinstance(value, str):
        return _text(sign_key(value), words or {})
    # a spreadsheet program turns 3/5 into a date
    return RightMark(fault="right_unclear")


def right_words(values: Iterable[Value], declared: Mapping[str, Right]) -> dict[str, Meaning]:
    """Find out what signs mean that only the whole column can tell, and add what is declared.

    Parameters
    ----------
    values : iterable of str, number, bool, date or None
        The cells of one column, or the signs of its strings of marks.
    declared : mapping of str to str
        ``right_words`` of the source.

    Returns
    -------
    dict of str to str
        For `read_right`. Beside ticks and nothing else, a cross is wrong: nobody writes one thing in two ways.
        Beside a plus, a minus may be wrong or no mark; beside T and F or R and W, a letter is the word it begins.
    """
    values = tuple(values)
    seen = {sign_key(value) for value in values if isinstance(value, str)}
    numbers = any(isinstance(value, int | float) for value in values) or bool(seen & {"0", "1"})
    told: dict[str, Meaning] = {}
    marks = {sign for sign in seen if sign and sign not in NO_MARK}
    if not numbers and marks & _TICKS and marks & _CROSSES and marks <= _TICKS | _CROSSES:
        told |= dict.fromkeys(_CROSSES, "wrong")
    if "+" in seen:
        told |= {"-": "unclear", "–": "unclear"}
    if marks and not numbers and marks in ({"r", "w"}, {"c", "i"}, {"c", "w"}, {"r", "i"}):
        told |= {"r": "right", "c": "right", "w": "wrong", "i": "wrong"}
    return told | {sign_key(word): meaning for word, meaning in declared.items()}


def sign_key(text: str) -> str:
    """Write a sign or word the way signs are compared: small letters, single spaces, no variation selector."""
    return " ".join(text.replace("\ufe0f", "").replace("’", "'").casefold().split())


def _number(value: int | float, words: Mapping[str, Meaning] | None) -> RightMark:
    """Read a number: 1, 0, or a share between them."""
    if value != value:  # noqa: PLR0124 - a missing number of a Parquet file is not equal to itself
        return RightMark(missing_reason="unspecified")
    if words and abs(value) < _LARGEST and (meaning := words.get(f"{value:g}")):
        return _READ[meaning]
    if value in (0, 1):
        return RightMark(right=value == 1)
    if 0 < value < 1:
        return RightMark(right=False, share=float(value), partly=True, rule=_READ["partly"].rule)
    return RightMark(fault="not_a_mark")


def _text(key: str, words: Mapping[str, Meaning]) -> RightMark:  # noqa: PLR0911 - one line for each notation
    """Read a text cell."""
    if key in words:
        return _READ[words[key]]
    if not key:
        return RightMark(missing_reason="unspecified")
    if key == sign_key(UNSAVED):
        return RightMark(fault="formula_unsaved")
    if key == sign_key(STRUCK):
        return RightMark(fault="cell_struck")
    if _FORMULA_ERROR.fullmatch(key.upper()):
        return RightMark(fault="formula_error")
    if key in _MEANING_OF:
        return _READ[_MEANING_OF[key]]
    if reason := NO_MARK.get(key):
        return _no_mark(reason)
    if match := _COUNTED.fullmatch(key):
        return _counted(int(match[1]), int(match[2]))
    if re.fullmatch(r"\d*\.?\d+|\d+\.0*", key):
        return _number(float(key), None)
    return RightMark(fault="not_a_mark")


def _no_mark(reason: str) -> RightMark:
    """Say that there is no mark, and why."""
    said = "no reason given" if reason == "unspecified" else reason.replace("_", " ")
    return RightMark(missing_reason=reason, rule=f"word read as no mark, {said}", private=reason == "excused")


def _counted(right: int, asked: int) -> RightMark:
    """Read so many right of so many asked."""
    if not asked or right > asked:
        return RightMark(fault="not_a_mark")
    rule = "notes right of notes asked in one cell"
    return RightMark(right == asked, right / asked, 0 < right < asked, right, asked, rule=rule)
