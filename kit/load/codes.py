"""A column as codes: every different cell once, and for each row the number of its cell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc


@dataclass(slots=True)
class Codes:
    """One column.

    Attributes
    ----------
    codes : ndarray of int, shape (n,)
        For each row the number of its cell in ``cells``.
    cells : list or pyarrow array
        The different cells.
    formats : dict of int to str
        Number of the cell -> number format, for numbers shown as something else than a plain number.
    """

    codes: np.ndarray
    cells: Sequence
    formats: dict[int, str] = field(default_factory=dict)

    def kept(self, keep: np.ndarray | slice) -> Codes:
        """Keep some rows."""
        return replace(self, codes=self.codes[keep])


def listed(cells: Sequence) -> list:
    """Write different cells as a list."""
    return cells.to_pylist() if isinstance(cells, pa.Array) else list(cells)


def taken(cells: Sequence, places: np.ndarray) -> Sequence:
    """Choose some of different cells."""
    return cells.take(pa.array(places)) if isinstance(cells, pa.Array) else [cells[at] for at in places.tolist()]


def filled(cells: Sequence) -> np.ndarray:
    """Say which of different cells hold something."""
    if isinstance(cells, pa.Array):
        return pc.not_equal(pc.utf8_trim_whitespace(cells), "").to_numpy(zero_copy_only=False)
    return np.array([cell is not None and str(cell).strip() != "" for cell in cells], bool)


def smallest(numbers: int) -> np.dtype:
    """Choose the smallest signed type for the numbers below a count."""
    return np.min_scalar_type(-max(numbers, 1))


def first_of(cells: np.ndarray, codes: np.ndarray) -> int:
    """Find the first line whose cell is such; mostly it is near the top."""
    top = cells[codes[:5000]]
    return int(np.argmax(top)) if top.any() else int(np.argmax(cells[codes]))
