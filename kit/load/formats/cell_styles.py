"""How a workbook shows its cells: number formats and the dates behind numbers, lines through cells, colours."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import lru_cache

from kit.load.formats.archive import Archive
from kit.load.formats.bounds import Allowance

BUILT_IN = {
    0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?",
    13: "# ??/??", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM",
    20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm", 37: "#,##0 ;(#,##0)", 38: "#,##0 ;[Red](#,##0)",
    39: "#,##0.00;(#,##0.00)", 40: "#,##0.00;[Red](#,##0.00)", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0",
    48: "##0.0E+0", 49: "@",
}  # fmt: skip
"""Number of a format that a workbook does not spell out -> the format (ECMA-376 part 1, 18.8.30)."""

EPOCH, EPOCH_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)
SHOWN_AS_SIGNS = "#####"
"""What a spreadsheet program shows for a date that its calendar does not have."""

_NOT_CODE = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!(?:h+|m+|s+)\])[^\]]*\]', re.IGNORECASE)
_SPAN = re.compile(r"\[(?:h+|m+|s+)\]", re.IGNORECASE)
_DAY_SECONDS = 86_400
_LONGEST_FORMAT = 255


@dataclass(frozen=True, slots=True)
class Style:
    """What matters of a cell style: the number format, whether it shows a date or a span of time, line, colour."""

    shown: str = ""
    kind: str = "number"
    struck: bool = False
    colour: str = ""


def read_styles(archive: Archive, allowance: Allowance) -> list[Style]:
    """Read the cell styles of an .xlsx, in the order in which cells name them."""
    reader = _Styles(allowance)
    archive.parse("xl/styles.xml", opened=reader.opened, closed=reader.closed, data=lambda _: None)
    return [reader.style(named) for named in reader.cells] or [Style()]


@lru_cache(maxsize=1000)
def kind_of(number_format: str) -> str:
    """Say what a number format shows: ``date``, ``span`` (a span of time) or ``number``."""
    code = _NOT_CODE.sub("", number_format[:_LONGEST_FORMAT].partition(";")[0])
    if _SPAN.search(code):
        return "span"
    return "date" if re.search(r"[dmyhs]", code.replace("General", ""), re.IGNORECASE) else "number"


def moment(serial: float, epoch: datetime) -> datetime | time | str:
    """Turn the number behind a date into the date; numbers below one are times of day.

    Parameters
    ----------
    serial : float
        Days since the epoch.
    epoch : datetime
        Day 0 of the workbook.

    Returns
    -------
    datetime, time or str
        `SHOWN_AS_SIGNS` where the calendar of the program has no such day.
    """
    day, fraction = divmod(serial, 1)
    passed = timedelta(milliseconds=round(fraction * _DAY_SECONDS * 1000))
    if 0 <= serial < 1 and not passed.days:
        return (datetime.min + passed).time()
    # the calendar of 1900 has a 29 February that never was: days before it stand one lower
    day += epoch == EPOCH and 0 < serial < 60
    try:
        return epoch + timedelta(days=day) + passed if serial >= 0 else SHOWN_AS_SIGNS
    except OverflowError:
        return SHOWN_AS_SIGNS


def span(serial: float) -> timedelta | str:
    """Turn a number of days into a span of time, to the millisecond."""
    try:
        return timedelta(milliseconds=round(serial * _DAY_SECONDS * 1000))
    except OverflowError:
        return SHOWN_AS_SIGNS


def is_on(attributes: Mapping[str, str], name: str = "val", default: str = "1") -> bool:
    """Read a yes or no of a workbook part, which counts as yes where it is not spelt out."""
    return attributes.get(name, default).lower() in ("1", "true", "on")


class _Styles:
    """Gathers fonts, fills, formats and the cell styles that name them."""

    def __init__(self, allowance: Allowance) -> None:
        self.formats = dict(BUILT_IN)
        self.struck: list[bool] = []
        self.colours: list[str] = []
        self.cells: list[Mapping[str, str]] = []
        self._allowance, self._inside, self._solid = allowance, "", False

    def opened(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take one tag."""
        if tag in ("fonts", "fills", "cellXfs", "numFmts", "dxfs", "cellStyleXfs", "borders"):
            self._inside = tag
        elif self._inside in ("fonts", "fills"):
            self._dress(tag, attributes)
        elif tag == "xf" and self._inside == "cellXfs":
            self._allowance.take(1)
            self.cells.append(attributes)
        elif tag == "numFmt" and self._inside == "numFmts":
            self._allowance.take(1)
            self.formats[int(attributes.get("numFmtId", "0"))] = attributes.get("formatCode", "General")

    def closed(self, tag: str) -> None:
        """Leave a list."""
        if tag == self._inside:
            self._inside = ""

    def style(self, named: Mapping[str, str]) -> Style:
        """Put one cell style together."""
        number, font, fill = (int(named.get(name, "0")) for name in ("numFmtId", "fontId", "fillId"))
        shown = self.formats.get(number, "General")
        return Style(
            shown="" if shown == "General" else shown, kind=kind_of(shown),
            struck=0 <= font < len(self.struck) and self.struck[font],
            colour=self.colours[fill] if 0 <= fill < len(self.colours) else "",
        )  # fmt: skip

    def _dress(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take one tag of a font or a fill."""
        if tag in ("font", "fill"):
            self._allowance.take(1)
            (self.struck if tag == "font" else self.colours).append(False if tag == "font" else "")
        elif tag == "strike" and self.struck and self._inside == "fonts":
            self.struck[-1] = is_on(attributes)
        elif tag == "patternFill":
            self._solid = attributes.get("patternType", "none") not in ("none", "")
        elif tag == "fgColor" and self._solid and self.colours:
            self.colours[-1] = _colour(attributes)
        elif tag == "stop" and self.colours:
            self.colours[-1] = "gradient"


def _colour(attributes: Mapping[str, str]) -> str:
    """Name a colour as the workbook does: by red, green and blue, or by its place in a palette; white is none."""
    if red_green_blue := attributes.get("rgb", ""):
        colour = red_green_blue[-6:].upper()
        return "" if colour == "FFFFFF" else colour
    palette, place = next(((name, attributes[name]) for name in ("theme", "indexed") if name in attributes), ("", ""))
    white = {("theme", "0"), ("indexed", "9"), ("indexed", "1"), ("indexed", "65")}
    return "" if (palette, place) in white and "tint" not in attributes else f"{palette} {place}".strip()
