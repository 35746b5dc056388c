"""The list of sources."""

from __future__ import annotations

import pytest

from kit.sources import SOURCES, Source


def test_reference_is_one_line():
    """A reference reads author, year, title, place, and admits where it is cited from memory."""
    assert SOURCES["student-1908"].reference == (
        "Student (1908). The probable error of a mean. Biometrika 6, 1-25. (cited from memory)"
    )
    assert SOURCES["counting"].reference == "Counting. Everyone on file is counted. No formula."


def test_unknown_status_is_refused():
    """A status other than seen, from memory or common practice is refused."""
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the whole text is compared below
        Source("key", "A", "2000", "T", "W", "heard of")
    assert str(caught.value) == (
        "Source 'key': status must be one of ('seen', 'from memory', 'common practice'). Got 'heard of'."
    )
