"""Words of a school's file as plain text: no formula that a spreadsheet runs, no sign that steers a terminal."""

from __future__ import annotations

import re

_FORMULA = re.compile(r"\s*[=+\-@＝＋－＠\t\r]")
_BREAKING = re.compile(r"[\t-\r\x1c-\x1f\x85\u2028\u2029]+")
_STEERING = re.compile(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_NUMBER = re.compile(r"[+-]?\d[\d.,]*(?: ?%)?")


def escape_formula(text: str) -> str:
    """Put an apostrophe before text that a spreadsheet program would run as a formula.

    Parameters
    ----------
    text : str
        A cell of a table that is to be written as CSV.

    Returns
    -------
    str
        The text as it is, or with an apostrophe before it where it begins with ``= + - @`` (also in their wide
        forms), a tab or a line end. Negative and signed numbers such as ``-2.5`` and ``+12 %`` are numbers and stay.
    """
    return f"'{text}" if _FORMULA.match(text) and not _NUMBER.fullmatch(text) else text


def in_one_line(text: str) -> str:
    """Write a text on one line, without signs that steer a terminal or turn the direction of writing.

    Parameters
    ----------
    text : str
        A sentence with words of a school's file in it.

    Returns
    -------
    str
        Line ends and tabs as blanks, every other such sign as the sign for an unknown letter.
    """
    return _STEERING.sub("\ufffd", _BREAKING.sub(" ", text))
