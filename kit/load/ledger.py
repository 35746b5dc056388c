"""Rows in = rows used + rows set aside: the account of one sheet, and its three tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import pandas as pd

from kit.errors import Problem
from kit.load.formats.cells import Sheet
from kit.tables import CHANGES, LEDGER, SET_ASIDE, conform

LISTED = 12
"""Rows that are listed by number before the rest are only counted."""
ROW_KINDS = ("unread", "title", "header", "blank", "total")


@dataclass(slots=True)
class Account:
    """What became of every row of one sheet.

    A row is decided once: title, header, blank, total, used, or set aside with a reason. A used row
    may still have single marks set aside. ``private`` holds what stands in columns of personal data, for the search of
    finished reports alone.
    """

    sheet: Sheet
    kinds: dict[int, str] = field(default_factory=dict)
    aside: dict[int, Problem] = field(default_factory=dict)
    cells_aside: list[Problem] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    private: set[str] = field(default_factory=set)
    _changes: dict[str, list] = field(default_factory=dict)

    def place(self, index: int | None = None, column: str = "") -> dict:
        """Say where: the fields of a Problem for a row index of the sheet."""
        row = None if index is None else self.sheet.numbers[index]
        return {"file": self.sheet.file, "sheet": self.sheet.name, "row": row, "column": column}

    def call(self, index: int, kind: str) -> None:
        """Record that a row is a title line, a header, blank, or a total."""
        self.kinds[index] = kind

    def set_row_aside(self, index: int, *, why: str, found: str, do: str, column: str = "") -> None:
        """Set a whole row aside; ``column`` where one cell is the reason."""
        self.aside[index] = Problem(why=why, found=found, do=do, **self.place(index, column))

    def set_cell_aside(self, index: int, column: str, *, why: str, found: str, do: str) -> None:
        """Set one mark of a row aside."""
        self.cells_aside.append(Problem(why=why, found=found, do=do, **self.place(index, column)))

    def leave_unread(self) -> None:
        """Record that the sheet holds no scores and nobody declared it."""
        self.kinds = dict.fromkeys(range(len(self.sheet.rows)), "unread")
        self.problems.clear()

    def refuse(
        self, *, why: str, found: str, do: str, index: int | None = None, column: str = "", type_this: str = ""
    ) -> None:
        """Record a fault for which the whole file is refused; ``type_this`` is the setting that would settle it."""
        self.problems.append(Problem(why=why, found=found, do=do, type_this=type_this, **self.place(index, column)))

    def change(self, rule: str, index: int, before: object, after: object, *, times: int = 1) -> None:
        """Count one normalisation, or several alike; the first one is kept as the example."""
        entry = self._changes.setdefault(rule, [0, str(before), str(after), self.sheet.numbers[index]])
        entry[0] += times

    @property
    def unread(self) -> bool:
        """Say whether the sheet was left unread."""
        return bool(self.kinds) and set(self.kinds.values()) == {"unread"}

    @property
    def data(self) -> list[int]:
        """Indices of the rows that are about a student."""
        return [index for index in range(len(self.sheet.rows)) if index not in self.kinds]

    def ledger_row(self) -> dict:
        """Count the rows of each kind."""
        counts = {kind: sum(k == kind for k in self.kinds.values()) for kind in ROW_KINDS}
        data = len(self.sheet.rows) - len(self.kinds)
        return {
            "file": self.sheet.file, "sheet": self.sheet.name, "rows": len(self.sheet.rows), **counts,
            "data": data, "used": data - len(self.aside), "set_aside": len(self.aside),
            "cells_set_aside": len(self.cells_aside),
        }  # fmt: skip

    def change_rows(self) -> list[dict]:
        """List the normalisations with their counts."""
        keys = ("times", "before", "after", "row")
        return [
            {"file": self.sheet.file, "sheet": self.sheet.name, "rule": rule, **dict(zip(keys, entry, strict=True))}
            for rule, entry in self._changes.items()
        ]


def ledger_table(accounts: Iterable[Account]) -> pd.DataFrame:
    """Lay the accounts out, one sheet a row."""
    return conform([account.ledger_row() for account in accounts], LEDGER)


def set_aside_table(accounts: Iterable[Account]) -> pd.DataFrame:
    """List every row and mark that was not used, in the order of the sheets."""
    rows = [
        {"file": p.file, "sheet": p.sheet, "row": p.row, "column": p.column, "found": p.found, "why": p.why,
         "what_to_do": p.do}
        for account in accounts
        for p in sorted([*account.aside.values(), *account.cells_aside], key=lambda p: (p.row or 0, p.column))
    ]  # fmt: skip
    return conform(rows, SET_ASIDE)


def changes_table(accounts: Iterable[Account]) -> pd.DataFrame:
    """List every kind of normalisation that was applied."""
    return conform([row for account in accounts for row in account.change_rows()], CHANGES)


def rows_in_words(numbers: Sequence[int]) -> str:
    """Write rows out for a sentence, the first twelve of many.

    Parameters
    ----------
    numbers : sequence of int
        As the spreadsheet program shows them.

    Returns
    -------
    str

    Examples
    --------
    >>> rows_in_words([3]), rows_in_words([3, 4])
    ('row 3', 'rows 3, 4')
    """
    more = f" and {len(numbers) - LISTED} more" if len(numbers) > LISTED else ""
    return f"row{'' if len(numbers) == 1 else 's'} {', '.join(map(str, numbers[:LISTED]))}{more}"
