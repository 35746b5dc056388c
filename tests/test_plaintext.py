"""Text that a spreadsheet program would run is kept from running; numbers stay numbers."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.plaintext import escape_formula


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠"])
def test_every_sign_that_begins_a_formula_is_escaped(sign):
    """Equals, plus, minus, at, tab and carriage return, with and without a space before (list of OWASP, CSV injection)."""
    assert escape_formula(f"{sign}cmd|' /C calc'!A0") == f"'{sign}cmd|' /C calc'!A0"
    assert escape_formula(f" {sign}A1") == f"' {sign}A1"


@pytest.mark.parametrize("text", ["", "ann", "a=b", "'=1", "-2", "+3.5", "-1,250", "+10 %", "5-1", "<b>"])
def test_other_text_and_numbers_stay(text):
    """Negative and signed numbers are no formulas."""
    assert escape_formula(text) == text


@settings(max_examples=50, deadline=None)
@given(st.text())
def test_once_is_enough(text):
    """What was escaped is not escaped again, and nothing but one apostrophe is added."""
    safe = escape_formula(text)
    assert safe in (text, f"'{text}")
    assert escape_formula(safe) == safe
