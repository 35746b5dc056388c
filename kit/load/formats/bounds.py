"""How much of a file the kit takes in: every bound is a named number, and whoever meets it is told the number."""

from __future__ import annotations

LARGEST_FILE = 200 * 2**20
"""Bytes of a file that is opened at most."""
LARGEST_UNPACKED = 2**30
"""Bytes that the parts of a zipped workbook may unpack to at most, all together, counted while unpacking."""
LARGEST_RATIO = 200
"""How many times its packed size a part may unpack to, once it is larger than `FREE_OF_RATIO`."""
FREE_OF_RATIO = 16 * 2**20
"""Bytes up to which a part may be packed as tightly as it likes."""
MOST_PARTS = 10_000
"""Files that a zipped workbook may hold at most."""
MOST_SHEETS = 500
"""Sheets of a workbook that are read at most."""
MOST_ROWS = 1_048_576
"""Rows of a sheet that are read at most: as many as a sheet of the .xlsx format has."""
MOST_COLUMNS = 2_000
"""Columns of a sheet that are read at most."""
MOST_CELLS = 5_000_000
"""Cells of a file that are read at most, rows counted as one more each."""
MOST_MERGED = 50_000
"""Merged ranges of a sheet that are read at most."""
MOST_TAGS = 20_000_000
"""Tags of XML in a workbook that are read at most: four for each cell."""
LONGEST_CELL = 32_767
"""Letters of a cell that are read at most: as many as a cell of the .xlsx format holds."""
MOST_LETTERS = 2**27
"""Letters of all cells together that are read at most: one long text may stand in a million cells."""
LONGEST_NAME = 255
"""Letters of the name of a sheet that are read at most; the .xlsx format has at most 31."""
LONGEST_TAG = 2**20
"""Bytes that a single tag or comment of the XML of a workbook may take at most."""
DEEPEST_NESTING = 100
"""How deep the XML of a workbook may be nested."""


class UnreadableError(ValueError):
    """A file cannot be read, or is larger than the kit reads: a reason code, what was found, and what to do."""

    def __init__(self, why: str, found: str, do: str) -> None:
        self.why, self.found, self.do = why, found, do
        super().__init__(f"{found} {do}")


class Allowance:
    """Counts the cells, rows and texts of one file as they are read, so that no file fills the memory.

    Parameters
    ----------
    most : int, optional
        Cells that may be read.
    """

    def __init__(self, most: int = MOST_CELLS) -> None:
        self.most, self.left = most, most
        self._letters = MOST_LETTERS

    def take(self, cells: int) -> None:
        """Count cells; past the bound the file is refused."""
        self.left -= cells
        if self.left < 0:
            raise UnreadableError(
                "sheet_large", f"The file has more than {self.most:,} cells.", "Split it, or delete what is not needed."
            )

    def spell(self, letters: int) -> None:
        """Count letters of cells whose text stands in the file once for many of them."""
        self._letters -= letters
        if self._letters < 0:
            raise UnreadableError(
                "file_large", f"The cells of the file hold more than {MOST_LETTERS:,} letters.", "Split it."
            )


def check_column(column: int) -> None:
    """Refuse a sheet with a cell beyond the last column that is read; counted from 0."""
    if column >= MOST_COLUMNS:
        raise UnreadableError(
            "sheet_large", f"A row has more than {MOST_COLUMNS:,} columns.", "Delete the columns that are not needed."
        )


def check_row(row: int) -> None:
    """Refuse a sheet with a cell beyond the last row that is read; counted from 0."""
    if row >= MOST_ROWS:
        raise UnreadableError("sheet_large", f"The sheet has more than {MOST_ROWS:,} rows.", "Split it.")


def check_length(letters: int, where: str) -> None:
    """Refuse a cell with more letters than are read; ``where`` names it, such as ``Cell C14``."""
    if letters > LONGEST_CELL:
        raise UnreadableError(
            "cell_long", f"{where} holds more than {LONGEST_CELL:,} letters.",
            "Shorten it, or put it into a file of its own.",
        )  # fmt: skip


def check_merged(ranges: int) -> None:
    """Refuse a sheet with too many merged ranges, of which some have been read."""
    if ranges >= MOST_MERGED:
        raise UnreadableError(
            "sheet_large", f"The sheet has more than {MOST_MERGED:,} merged ranges.", "Take the merging away."
        )
