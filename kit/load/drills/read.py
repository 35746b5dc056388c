"""Drill logs -> the drills table: every line used or set aside, for logs of any length."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from kit.load.declared import Rules
from kit.load.declared_music import DrillSource
from kit.load.drills.lines import Log, sheet_logs
from kit.load.drills.reading import LogReading
from kit.load.drills.stream import stream_log
from kit.load.formats import bounds
from kit.load.formats.cells import Book, refusal
from kit.load.formats.fast_csv import NotStreamableError, fingerprint, open_head
from kit.load.ledger import Account
from kit.load.people.shared_choirs import SharedChoirs
from kit.load.sheets import Row
from kit.load.suggest import Suggestion
from kit.tables import DRILLS, empty


@dataclass(slots=True)
class DrillsRead:
    """One file of drill logs as read; the persons in ``people`` are to be identified before ``table`` is asked for.

    Attributes
    ----------
    path : Path
        The file.
    accounts : list of Account
        One for each sheet, problems included.
    suggestions : list of Suggestion
        How each sheet was understood.
    people : list of Row
        Every person whom the file names, once for each sheet.
    shared : SharedChoirs
        Choirs of one name in several schools; may be filled before ``table``.
    """

    path: Path
    accounts: list[Account]
    suggestions: list[Suggestion] = field(default_factory=list)
    people: list[Row] = field(default_factory=list)
    shared: SharedChoirs = field(default_factory=SharedChoirs)
    _readings: list[LogReading] = field(default_factory=list)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the file, in hexadecimal digits; the file is read once more for it."""
        return fingerprint(self.path)

    def table(self) -> pd.DataFrame:
        """Lay out the drills table, once: what was read is let go column by column.

        Returns
        -------
        DataFrame
            In the order of the file; texts are kept as categories, since a log may have millions of lines.
        """
        return join_logs([self._readings.pop(0).table(self.shared) for _ in tuple(self._readings)])


def read_drills(path: Path, source: DrillSource, rules: Rules, *, open_book: Callable[[], Book]) -> DrillsRead:
    """Read one file of drill logs.

    Parameters
    ----------
    path : Path
        The file. Text in UTF-8 is read as a stream, whatever its length.
    source : DrillSource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        What holds for the whole study.
    open_book : callable
        Opens the file as a whole; called for workbooks and for text that cannot be read as a stream.

    Returns
    -------
    DrillsRead
        The lines of all sheets; persons are not yet known.

    Raises
    ------
    StudyProblems
        If the file cannot be opened.
    """
    logs, accounts = _opened(path, source, open_book)
    read = DrillsRead(path, accounts)
    for log in logs:
        reading = LogReading(log, rules)
        read.suggestions.append(reading.suggestion)
        read.people += reading.people.rows
        read._readings.append(reading)
    return read


def join_logs(parts: Iterable[pd.DataFrame]) -> pd.DataFrame:
    """Put drills tables one below the other; texts stay categories.

    Parameters
    ----------
    parts : iterable of DataFrame
        Drills tables.

    Returns
    -------
    DataFrame
        All rows in order.
    """
    parts = list(parts)
    if len(parts) < 2:
        return (*parts, empty(DRILLS))[0]
    joined = {}
    for column in DRILLS.columns:
        pieces = [part[column.name] for part in parts]
        if all(isinstance(piece.dtype, pd.CategoricalDtype) for piece in pieces):
            joined[column.name] = pd.api.types.union_categoricals(pieces)
        else:
            joined[column.name] = pd.concat(pieces, ignore_index=True)
    return pd.DataFrame(joined, copy=False)


def _opened(path: Path, source: DrillSource, open_book: Callable[[], Book]) -> tuple[list[Log], list[Account]]:
    """Take the logs out of a file, as a stream where that can be."""
    try:
        head = None if source.cells or source.sheets else open_head(path, source.encoding)
    except bounds.UnreadableError as error:
        raise refusal(path, error.why, error.found, error.do) from error
    if head is not None:
        try:
            return stream_log(head, source)
        except NotStreamableError as error:
            if path.stat().st_size > bounds.LARGEST_FILE:
                raise refusal(
                    path, "file_broken", f"The text cannot be read as a table to its end ({error}).",
                    'Export it again as "CSV UTF-8".',
                ) from error  # fmt: skip
    return sheet_logs(open_book(), source)
