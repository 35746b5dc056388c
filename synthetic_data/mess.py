"""Faults put into clean tables on purpose, each listed with its cell and what must come of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Literal

Outcome = Literal["read", "row aside", "cell aside", "no student", "left out"]
"""Read all the same, row or cell set aside, a row that is no student's, a column or colour that is left out."""


@dataclass(slots=True)
class Page:
    """One sheet on its way into a file; ``above`` counts the rows over the headings."""

    file: str
    name: str
    rows: list[list]
    above: int = 0

    @property
    def headings(self) -> list:
        """The row of headings."""
        return self.rows[self.above]

    @property
    def data(self) -> list[list]:
        """The rows below the headings."""
        return self.rows[self.above + 1 :]

    def at(self, heading: str) -> int:
        """Column of a heading."""
        return self.headings.index(heading)


@dataclass(slots=True)
class Mess:
    """The list of faults; a row is known by itself until all of them are in, since faults move rows."""

    _listed: list[tuple[Page, list, dict]] = field(default_factory=list)

    def cell(
        self, fixture: str, page: Page, row: list, heading: str, now: object, *,
        outcome: Outcome = "read", why: str = "",
    ) -> None:  # fmt: skip
        """Write something else into a cell, and list it."""
        at = page.at(heading)
        self.note(fixture, page, row, heading, was=row[at], now=now, outcome=outcome, why=why)
        row[at] = now

    def cells(
        self, fixture: str, page: Page, rows: list[list], heading: str, change: Callable[[object], object]
    ) -> None:
        """Write a whole column another way, and list it once with the number of its cells."""
        at = page.at(heading)
        self.note(fixture, page, rows[0], heading, was=rows[0][at], now=change(rows[0][at]), outcome="read",
                  times=len(rows))  # fmt: skip
        for row in rows:
            row[at] = change(row[at])

    def note(
        self, fixture: str, page: Page, row: list, heading: str = "", *, was: object = "", now: object = "",
        outcome: Outcome, why: str = "", times: int = 1,
    ) -> None:  # fmt: skip
        """List a fault of a row, or of one of its cells; ``times`` where a column has many, the first of them."""
        fault = {"fixture": fixture, "file": page.file, "sheet": page.name, "column": heading, "was": _plain(was),
                 "now": _plain(now), "outcome": outcome, "why": why, "times": times}  # fmt: skip
        self._listed.append((page, row, fault))

    def listed(self) -> list[dict]:
        """Give every fault with the row that a spreadsheet program shows."""
        return [fault | {"row": _place(page.rows, row)} for page, row, fault in self._listed]


def _place(rows: Iterable[list], wanted: list) -> int:
    """Row number of a row, known by identity, since two rows may say the same."""
    return next(number for number, row in enumerate(rows, 1) if row is wanted)


def _plain(value: object) -> object:
    """Write a cell so that JSON can hold it."""
    return value if isinstance(value, str | int | float | None) else str(value)
