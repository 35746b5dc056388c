"""Strings of marks such as 110111, ✓✓x✓ or 1 1 0 . -> one sign for each note, or why they cannot be taken apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kit.load.declared_music import Right
from kit.load.formats.cells import Value
from kit.load.items.right import Meaning, RightMark, read_right, right_words, sign_key

MOST_DIGITS = 15
"""Digits of a number that spreadsheet programs keep (numbers of double precision)."""

_SEPARATORS = re.compile(r"[\s,;|]+")
_ROUNDED = re.compile(r"\d(?:[.,]\d+)?e\+?\d+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Signs:
    """The signs of one string of marks.

    Attributes
    ----------
    signs : tuple of str
        One for each note; empty where the whole cell says that there is no mark, or there is a fault.
    whole : RightMark or None
        What the whole cell says of every note, such as absent.
    fault : str
        Reason code, empty when read: ``item_count``, ``zeros_eaten``, ``digits_lost``, ``pattern_lost``,
        ``not_a_mark``, or one of a faulty formula.
    found : int
        Number of signs that stand there, where the number is the fault.
    """

    signs: tuple[str, ...] = ()
    whole: RightMark | None = None
    fault: str = ""
    found: int = 0


def split_signs(value: Value, count: int) -> Signs:
    """Take a string of marks apart.

    Parameters
    ----------
    value : str, number, date or None
        The cell.
    count : int
        Number of notes that the key has.

    Returns
    -------
    Signs
        Exactly ``count`` signs, or a fault. A row of digits that is too short and may have lost zeros at its
        beginning is never filled up.
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _number(value, count)
    if value is not None and not isinstance(value, str):
        return Signs(fault="not_a_mark" if isinstance(value, bool) else "pattern_lost")
    mark = read_right(value)
    if mark.missing_reason or mark.fault in ("formula_unsaved", "formula_error", "cell_struck"):
        return Signs(whole=mark, fault=mark.fault)
    text = value.replace("\ufe0f", "").strip()
    if _ROUNDED.fullmatch(text):
        return Signs(fault="digits_lost")
    parts = [part for part in _SEPARATORS.split(text) if part]
    for signs in (parts, list("".join(parts))):
        if len(signs) == count:
            return Signs(tuple(signs))
    # a row of digits that begins with a zero has kept its zeros, but for a lone 0, which may have been 000
    eaten = len(text) < count and (text == "0" or (text[0] == "1" and not set(text) - {"0", "1"}))
    return Signs(fault="zeros_eaten" if eaten else "item_count", found=_count(parts))


def loose_signs(value: Value) -> tuple[str, ...]:
    """List the signs of a cell whose count need not be right, to see which signs a column holds."""
    if not isinstance(value, str) or read_right(value).missing_reason:
        return ()
    parts = [part for part in _SEPARATORS.split(sign_key(value)) if part]
    return tuple("".join(parts) if _are_signs(parts) else parts)


@dataclass(slots=True)
class MarkReader:
    """Reads the marks of one sheet; each different cell is read once.

    Parameters
    ----------
    values : iterable of str, number or None
        All cells or signs of the sheet's columns of marks: what a sign means may depend on the others.
    declared : mapping of str to str
        ``right_words`` of the source.
    """

    words: Mapping[str, Meaning]
    _known: dict = field(default_factory=dict)

    @classmethod
    def of(cls, values: Iterable[Value], declared: Mapping[str, Right]) -> MarkReader:
        """Make the reader for a sheet's marks."""
        return cls(right_words(set(values), declared))

    def read(self, value: Value) -> RightMark:
        """Read one mark of one note; half a note is no mark unless the study file says what it counts as."""
        spelling = (type(value), value)
        if spelling not in self._known:
            mark = read_right(value, self.words)
            declared = isinstance(value, str) and sign_key(value) in self.words
            if (mark.partly or mark.notes_asked) and not declared:
                mark = RightMark(fault="right_unclear")
            self._known[spelling] = mark
        return self._known[spelling]


def _number(value: int | float, count: int) -> Signs:
    """Take a number cell apart: it has lost any zeros at its beginning, and digits beyond the fifteenth."""
    if value != value:  # noqa: PLR0124 - a missing number of a Parquet file is not equal to itself
        return Signs(whole=read_right(None))
    if value >= 10**MOST_DIGITS:
        return Signs(fault="digits_lost")
    if value % 1 or value < 0:
        return Signs(fault="not_a_mark")
    digits = str(int(value))
    if len(digits) == count:
        return Signs(tuple(digits))
    short = len(digits) < count and not set(digits) - {"0", "1"}
    return Signs(fault="zeros_eaten" if short else "item_count", found=len(digits))


def _count(parts: list[str]) -> int:
    """Count the signs: single signs, however they are grouped, or words."""
    return sum(map(len, parts)) if _are_signs(parts) else len(parts)


def _are_signs(parts: list[str]) -> bool:
    """Say whether parts are groups of single signs, such as 1101 0111, rather than words."""
    return all(read_right(sign).fault != "not_a_mark" for part in parts for sign in part)
