"""The alias file: other words for students, choirs and approaches -> the ones that count."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.load.columns import plain
from kit.load.formats.cells import Sheet, Value, read_book
from kit.load.header import is_blank
from kit.load.people.keys import id_text, name_key

ALIAS_COLUMNS = ("kind", "found", "means")
ALIAS_KINDS = ("student", "choir", "approach")

Aliases = Mapping[str, Mapping[str, str]]


def read_aliases(path: Path) -> dict[str, dict[str, str]]:
    """Read an alias file: a text file or the first sheet of a workbook with columns kind, found and means.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    dict of str to dict of str to str
        Kind (student, choir, approach) -> word in the files -> the word that counts.

    Raises
    ------
    StudyProblems
        With every faulty line: an unknown kind, an empty cell, a word with two meanings, a missing column.
    """
    sheet = read_book(path).sheets[0]
    columns, rows = _columns(sheet)
    aliases: dict[str, dict[str, str]] = {kind: {} for kind in ALIAS_KINDS}
    known: dict[tuple[str, str], str] = {}
    faults = []
    for index in rows:
        kind, found, means = (_text(sheet.rows[index], at) for at in columns)
        fault = _fault(kind, found, means)
        if not fault and known.setdefault((plain(kind), compared(plain(kind), found)), means) != means:
            fault = "The word was given another meaning further up.", "Keep one of the two lines."
        if fault:
            faults.append(_problem(sheet, *fault, index=index))
        else:
            aliases[plain(kind)][found] = means
    if faults:
        raise StudyProblems(faults)
    return {kind: words for kind, words in aliases.items() if words}


def compared(kind: str, word: Value) -> str:
    """Write a word the way words of its kind are compared: names as names, all others as headings are."""
    if kind == "student" and not any(map(str.isdigit, id_text(word))):
        return name_key(word)
    return id_text(word).casefold() if kind == "student" else plain(word)


def meanings(kind: str, aliases: Aliases) -> dict[str, str]:
    """Look-up table of one kind: word as it is compared -> the word that counts."""
    return {compared(kind, found): means for found, means in aliases.get(kind, {}).items()}


def _columns(sheet: Sheet) -> tuple[list[int], list[int]]:
    """Find the three columns and the rows below their heading."""
    filled = [index for index, row in enumerate(sheet.rows) if not all(map(is_blank, row))]
    words = [plain(cell) if not is_blank(cell) else "" for cell in sheet.rows[filled[0]]] if filled else []
    missing = [name for name in ALIAS_COLUMNS if name not in words]
    if missing:
        listed = ", ".join(f'"{name}"' for name in missing)
        raise StudyProblems([
            _problem(sheet, f"There is no column {listed}.", "Give the file the columns kind, found and means.",
                     index=filled[0] if filled else None, why="column_missing")
        ])  # fmt: skip
    return [words.index(name) for name in ALIAS_COLUMNS], filled[1:]


def _text(row: list[Value], at: int) -> str:
    """Read one cell as text."""
    return id_text(row[at]) if at < len(row) and not is_blank(row[at]) else ""


def _fault(kind: str, found: str, means: str) -> tuple[str, str] | None:
    """Say what is wrong with a line and what to do; the words themselves may be names and are not repeated."""
    if plain(kind) not in ALIAS_KINDS:
        return f'The kind is "{kind}".', f"Write one of {', '.join(ALIAS_KINDS)}."
    if not found or not means:
        return "A cell of the line is empty.", "Fill in both words, or delete the line."
    return None


def _problem(sheet: Sheet, found: str, do: str, *, index: int | None, why: str = "alias_unclear") -> Problem:
    """Make the problem of one line."""
    row = None if index is None else sheet.numbers[index]
    return Problem(why=why, file=sheet.file, sheet=sheet.name, row=row, found=found, do=do)
