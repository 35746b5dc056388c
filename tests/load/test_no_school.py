"""Days without school."""

from datetime import date

import pytest

from kit.load.no_school import days_without_school


def test_days_and_ranges():
    """A day is a day, and a range every day from its first to its last."""
    days = days_without_school(["2025-11-27", "2025-12-30..2026-01-02"])
    assert sorted(days) == [
        date(2025, 11, 27),
        date(2025, 12, 30),
        date(2025, 12, 31),
        date(2026, 1, 1),
        date(2026, 1, 2),
    ]


def test_backward_range():
    """A range that ends before it begins is refused."""
    with pytest.raises(
        ValueError, match=r"days_without_school: '2026-01-02..2025-12-30' is no range of at most 366 days\."
    ):
        days_without_school(["2026-01-02..2025-12-30"])
