"""What stands in place of a value that must not be read: a formula without its value, a cell that is struck through."""

from __future__ import annotations

UNSAVED = "#FORMULA WITHOUT VALUE"
"""What stands, after reading, in a cell whose formula was saved without its value: it reads as empty and is not."""
STRUCK = "#STRUCK THROUGH"
"""What stands, after reading, in a cell below the header whose value is struck through."""
