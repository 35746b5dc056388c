"""Decimal points under each other: the numbers of a table's column, filled up with blanks as wide as a figure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from kit.report.numbers import MINUS

FIGURE, POINT = "\u2007", "\u2008"
"""Blanks as wide as a figure and as a decimal point."""
_CELL = re.compile(
    rf"(?P<open>\[?)(?P<first>[+{MINUS}]?[\d,]*)(?P<tail>\.\d+)?"
    rf"(?:(?P<word> to |, )(?P<second>[+{MINUS}]?[\d,]*\d)(?P<end>\.\d+)?)?"
    rf"(?P<unit>\]| ?%| [A-Za-z][A-Za-z ]*)?"
)
_LETTER = 0.52
"""Width of a letter, in the size of the type."""
_WIDEST = 9
"""Letters of the longest unit that gets a width of its own; longer ones would push a table off a small screen."""
_ALIKE = 1
"""Decimals by which ranges may differ; those of different things are not filled up with blanks."""


@dataclass(frozen=True, slots=True)
class Aligned:
    """A cell as it is set: its number with blanks, and its unit.

    Attributes
    ----------
    number : str
        With blanks before and after, so that decimal points stand under each other.
    unit : str
        What follows the number, with the blank between; empty for none.
    width : float
        Width of the units of the column, in the size of the type; 0 where all cells have the same unit.
    """

    number: str
    unit: str = ""
    width: float = 0.0


def column(cells: Sequence[str]) -> list[Aligned]:
    """Set the cells of a column of numbers so that their decimal points stand under each other.

    Parameters
    ----------
    cells : sequence of str
        Numbers as they are printed, with or without a unit, or ranges such as ``2.1 to 6.5``; anything else, such
        as a dash, stays as it is.

    Returns
    -------
    list of Aligned
        As many as there are cells.
    """
    read = [_CELL.fullmatch(cell) for cell in cells]
    units = {match["unit"] or "" for match in read if match}
    longest = max(map(len, units), default=0)
    width = round(longest * _LETTER, 2) if len(units) > 1 and longest <= _WIDEST else 0.0
    ends = {part: [len(match[part] or "") for match in read if match] for part in ("tail", "end")}
    if any(match and match["word"] and max(ends["end"]) - len(match["end"] or "") > _ALIKE for match in read):
        return [Aligned(cell) for cell in cells]
    tails = {part: max(lengths, default=0) for part, lengths in ends.items()}
    second = max((len(match["second"] or "") for match in read if match), default=0)
    single = not any(match and match["word"] for match in read)
    return [
        Aligned(cell, width=width)
        if match is None
        else Aligned(_filled(match, tails, second, single=single), match["unit"] or "", width)
        for cell, match in zip(cells, read, strict=True)
    ]


def _filled(match: re.Match, tails: dict[str, int], second: int, *, single: bool) -> str:
    """Fill a number or a range up with blanks."""
    first = match["open"] + match["first"] + _tail(match["tail"], tails["tail"])
    if single or not match["word"]:
        return first
    before = FIGURE * (second - len(match["second"]))
    return f"{first}{match['word']}{before}{match['second']}{_tail(match['end'], tails['end'])}"


def _tail(written: str | None, longest: int) -> str:
    """Write what follows the whole part, as wide as the longest of the column."""
    written = written or ""
    missing = longest - len(written)
    if not missing:
        return written
    return written + (FIGURE * missing if written else POINT + FIGURE * (missing - 1))
