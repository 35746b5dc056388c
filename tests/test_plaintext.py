"""Text that a spreadsheet program would run is kept from running; numbers stay numbers."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.plaintext import escape_formula, in_one_line


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


@settings(max_examples=100, deadline=None)
@given(st.text())
def test_a_sentence_is_one_line_and_steers_nothing(text):
    """No control sign and no sign that turns the direction of writing is left, and all other letters stay."""
    said = in_one_line(text)
    assert len(said.splitlines()) <= 1
    steering = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    assert not any(unicodedata.category(sign) == "Cc" or sign in steering for sign in said)
    assert in_one_line(said) == said


def test_what_becomes_of_signs_without_a_shape():
    """Line ends and tabs are blanks; an escape sequence of a terminal (ECMA-48) is seen as what it is."""
    assert in_one_line("Pre\r\nscore\t1") == "Pre score 1"
    assert in_one_line("a\x1b[2J\u202eb") == "a\ufffd[2J\ufffdb"
    assert in_one_line("naïve ✓ 李") == "naïve ✓ 李"
