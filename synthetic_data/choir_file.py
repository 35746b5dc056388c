"""The workbook of the small demo choir, as its teacher would keep it."""

from __future__ import annotations

from pathlib import Path

from choir_world import SINGERS, choir_points
from draws import Draws
from melodies import CHOIR_TEST
from openpyxl.worksheet.worksheet import Worksheet
from workbook import workbook

FILE = "Treble 2 fall term.xlsx"
NAMES = (
    "Nettlebed, Pim", "Thistlewick, Odo", "Saltmarsh, Ivo", "Quillfeather, Tansy", "Foxglove, Bram",
    "Pennywhistle, Lark", "Oddlestone, Fern", "Marrowfat, Juno", "Winkle, Sorrel", "Bogmyrtle, Zeb", "Cloudberry, Moth",
    "Hazelwhit, Teasel", "Candlewick, Mab", "Dewpond, Tam", "Emberly-Moss, Kit", "Figgle, Wren", "Gorsebush, Nan",
    "Hobthrush, Jem", "Inkcap, Lil", "Jackstraw, Perrin", "Kettlewell-Rush, Ada", "Larkspurrow, Cob",
)  # fmt: skip
"""Invented."""
_WITH_MAXIMUM = ((1, 0), (1, 1), (6, 1), (15, 0))
"""Singer and test whose mark is written as points/most points."""
_INSTEAD = {(4, 1): "abs", (9, 1): "excused", (12, 1): None, (19, 0): None}
"""Singer and test without a mark, and what stands in its place."""
_REMARKS = {4: "flu, no time to make up", 12: "moved away in November", 19: "joined in October"}


def make_one_choir(folder: Path) -> None:
    """Write the workbook into ``folder/one_choir``."""
    folder = folder / "one_choir"
    folder.mkdir(parents=True, exist_ok=True)
    sheets = {"Treble 2": _marks(), "Seating": _seating()}
    (folder / FILE).write_bytes(workbook(sheets, dress=_widen))


def _marks() -> list[list]:
    """Lay out title lines, the singers, and the teacher's averages below them."""
    points = choir_points(Draws("one_choir", "marks"), SINGERS)
    grades = Draws("one_choir", "grades").pick(2, SINGERS) + 7
    rows = []
    for at, (name, identity) in enumerate(zip(NAMES, _ids(), strict=True)):
        voice = "Treble I" if at % 2 else "Treble II"
        cells = [_cell(at, test, int(points[at, test])) for test in (0, 1)]
        rows.append([name, identity, voice, int(grades[at]), *cells, _REMARKS.get(at)])
    counted = [[int(points[at, test]) for at in range(SINGERS) if (at, test) not in _INSTEAD] for test in (0, 1)]
    averages = [round(sum(marks) / len(marks), 1) for marks in counted]
    titles = [["Treble 2, 3rd period"], ["Reading test, fall term"]]
    header = ["Name", "ID", "Voice", "Grade", "Sept", "Dec", "Remarks"]
    return [*titles, header, *rows, ["Class avg", None, None, None, *averages], [f"n={len(counted[0])}"]]


def _cell(singer: int, test: int, points: int) -> str | int | None:
    """Write one mark: mostly the bare points."""
    if (singer, test) in _INSTEAD:
        return _INSTEAD[singer, test]
    return f"{points}/{CHOIR_TEST.most}" if (singer, test) in _WITH_MAXIMUM else points


def _ids() -> list[str]:
    """Draw the school's five-digit ids, as text with their leading zeros."""
    draws, codes = Draws("one_choir", "ids"), {"00417": None}
    while len(codes) < SINGERS:
        codes[f"{int(draws.pick(3000, 1)[0]):05}"] = None
    return list(codes)


def _seating() -> list[list]:
    """Lay out a seating plan, which holds no marks."""
    given = [name.split(", ")[1] for name in NAMES]
    return [["Back row", *given[:8]], ["Middle row", *given[8:15]], ["Front row", *given[15:]], ["Piano on the left"]]


def _widen(worksheet: Worksheet) -> None:
    """Give names and remarks room."""
    for column, width in (("A", 24), ("G", 26)):
        worksheet.column_dimensions[column].width = width
