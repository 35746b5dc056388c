"""Blank workbooks for a school: one header row that the kit recognises, nothing else, and a dictionary of the columns.

They follow Broman and Woo 2018 (Data organization in spreadsheets, The American Statistician 72:2-10): one table,
one header row, one thing in a cell, dates written year-month-day, no colour, no calculation, a data dictionary.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from kit.tables import ACTIVITIES, STAGES, UNITS

DICTIONARY = "dictionary"
DATE_FORMAT, TEXT_FORMAT = "yyyy-mm-dd", "@"
LONGEST_LIST = 255
"""Letters of the longest list that a spreadsheet program offers in a cell (Office Open XML; from memory)."""

_YES_NO = ("yes", "no")
_DATE = "year-month-day"


@dataclass(frozen=True, slots=True)
class BlankColumn:
    """One column of a blank table.

    Attributes
    ----------
    heading : str
        Its heading, which the kit recognises.
    holds : str
        What it holds.
    example : str or number
        How a cell is written; it stands in the dictionary only.
    words : tuple of str
        The words to choose from; empty for any.
    optional : bool
        Whether a cell, or the whole column, may be left out.
    """

    heading: str
    holds: str
    example: str | float
    words: tuple[str, ...] = ()
    optional: bool = False


_STUDENT = BlankColumn("student id", "The school's id, written as text so that leading zeros stay. No name.", "00417")
_CHOIR = BlankColumn("choir", "Choir, always spelt the same way.", "Treble 2")
_OCCASION = BlankColumn("occasion", "Which test of the year.", "pre", ("pre", "mid", "post", "later"))
_FORM = BlankColumn("form", "Form of the test.", "A", optional=True)
_RATER = BlankColumn("rater", "Who marked: a role or a code, no name.", "own teacher", optional=True)

BLANKS: Mapping[str, tuple[BlankColumn, ...]] = {
    "roster": (
        _STUDENT,
        _CHOIR,
        BlankColumn("school", "School of the choir.", "Hobnail Lane Middle", optional=True),
        BlankColumn("grade", "School grade.", "7", optional=True),
        BlankColumn("voice part", "Voice part in this choir.", "Alto", optional=True),
        BlankColumn("approach", "Teaching approach of the choir, if you compare approaches.", "ear-first",
                    optional=True),
        BlankColumn("consent", "Whether research use is consented to.", "yes", _YES_NO, optional=True),
    ),
    "scores": (
        _STUDENT,
        _CHOIR,
        _OCCASION,
        BlankColumn("date", f"Day of the test, {_DATE}.", "2025-09-15", optional=True),
        _FORM,
        _RATER,
        BlankColumn("attempt", "Number of the try on this occasion, from 1.", 1, optional=True),
        BlankColumn("score", "Points earned. No mark: write absent, excused, declined or left, never 0. For several "
                    "kinds of marks name the columns pitch, rhythm and so on.", 17),
        BlankColumn("max points", "Most points that could be earned.", 24),
    ),
    "items": (
        _STUDENT,
        _OCCASION,
        _FORM,
        _RATER,
        BlankColumn("melody", "Number or letter of the melody in the test.", 1),
        BlankColumn("note", "Place of the note in its melody, from 1.", 3),
        BlankColumn("right", "1 for a right note, 0 for a wrong one.", 0, ("1", "0")),
        BlankColumn("syllable right", "The same for the syllable that was said.", 0, ("1", "0"), optional=True),
        BlankColumn("sung instead", "What was sung where it was wrong, in your syllables.", "fa", optional=True),
    ),
    "drills": (
        BlankColumn("date", f"Day of the drill, {_DATE}.", "2025-09-22"),
        _CHOIR,
        BlankColumn("student id", "Id of the singer; empty for a line about the whole choir.", "00417", optional=True),
        BlankColumn("who sang", "Whether the class, a section, a group or one sang.", "one", UNITS, optional=True),
        BlankColumn("activity", "What was drilled: one of the words.", "echo", ACTIVITIES, optional=True),
        BlankColumn("stage", "Whether the page was used.", "before notation",
                    tuple(stage.replace("_", " ") for stage in STAGES), optional=True),
        BlankColumn("minutes", "Minutes that the drill took: a number.", 5, optional=True),
        BlankColumn("pattern", "Code of the pattern.", "P01", optional=True),
        BlankColumn("asked", "What was to be sung, in your syllables.", "do mi so", optional=True),
        BlankColumn("sung", "What was sung, in your syllables.", "do fa so", optional=True),
        BlankColumn("try", "Number of the try, from 1.", 1, optional=True),
        BlankColumn("pitch right", "1 if the notes were right, 0 if not.", 0, ("1", "0"), optional=True),
        BlankColumn("syllable right", "The same for the syllables.", 1, ("1", "0"), optional=True),
        BlankColumn("correction", "What you did when it was wrong.", "slower", optional=True),
        BlankColumn("right after", "1 if it was right then, 0 if not.", 1, ("1", "0"), optional=True),
    ),
}  # fmt: skip
"""Name of the workbook -> its columns."""


def write_blanks(folder: Path) -> list[Path]:
    """Write a blank workbook for rosters, scores, items and drills.

    Parameters
    ----------
    folder : Path
        Where to; it is made if it is not there. Workbooks that are there already stay as they are.

    Returns
    -------
    list of Path
        The workbooks that were written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"{name}.xlsx" for name in BLANKS]
    written = [path for path in paths if not path.exists()]
    for path in written:
        blank_workbook(path.stem).save(path)
    return written


def blank_workbook(name: str) -> Workbook:
    """Make one blank workbook.

    Parameters
    ----------
    name : str
        A key of `BLANKS`.

    Returns
    -------
    Workbook
        A sheet with the header row alone, and the dictionary.
    """
    book = Workbook()
    sheet = book.active
    sheet.title = name
    sheet.append([column.heading for column in BLANKS[name]])
    sheet.freeze_panes = "A2"
    for at, column in enumerate(BLANKS[name], start=1):
        _prepare(sheet, get_column_letter(at), column)
    _write_dictionary(book.create_sheet(DICTIONARY), BLANKS[name])
    return book


def _prepare(sheet: Worksheet, letter: str, column: BlankColumn) -> None:
    """Format a column by what it holds, and offer its words in a list."""
    dimension = sheet.column_dimensions[letter]
    dimension.width = max(12, len(column.heading) + 3)
    if column.heading == "date":
        dimension.number_format = DATE_FORMAT
    elif isinstance(column.example, str):
        dimension.number_format = TEXT_FORMAT
    listed = f'"{",".join(column.words)}"'
    if column.words and len(listed) <= LONGEST_LIST:
        offered = DataValidation(type="list", formula1=listed, allow_blank=True)
        offered.add(f"{letter}2:{letter}1048576")
        sheet.add_data_validation(offered)


def _write_dictionary(sheet: Worksheet, columns: tuple[BlankColumn, ...]) -> None:
    """Describe the columns, one in a row."""
    # in quotation marks, so that nobody and no program takes a word of the dictionary for a heading or a mark
    sheet.append(["heading", "what it holds", "words to choose from", "can be left out", "for example"])
    for column in columns:
        words = ", ".join(map(_quoted, column.words)) or "any"
        sheet.append([
            _quoted(column.heading), column.holds, words, _YES_NO[not column.optional], _quoted(column.example),
        ])  # fmt: skip
    for letter, width in zip("ABCDE", (18, 60, 40, 16, 22), strict=True):
        sheet.column_dimensions[letter].width = width


def _quoted(word: object) -> str:
    """Put a word in quotation marks."""
    return f"“{word}”"
