"""The search for what belongs to a person in one text: however it is written, and not in ordinary words."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.report.privacy.names import find_personal


def test_names_ids_and_addresses_are_found():
    """Whole words only, whatever their case; bare digits cannot be told from a count."""
    text = "Quillon Ferbrake scored 11 of 16, id 00417, ask quill@example.org about 417 rows."
    assert find_personal(text, ["quillon ferbrake", "00417", "417", "an"]) == [
        "quill@example.org", "Quillon Ferbrake", "00417",
    ]  # fmt: skip
    assert find_personal("nothing here", ["00417"]) == []


def test_names_are_found_as_a_page_writes_them():
    """An apostrophe, a letter of two signs, the family name first, and a long number as id."""
    page = '<td>O&#x27;Harrow, Bríd</td> 2048171 pts, 204.48171 <img src="data:image/png;base64,AA/pell/2048172+=">'
    assert find_personal(page, ["br\u0069\u0301d o'harrow", "2048171", "2048172", "48171"]) == [
        "O'Harrow, Bríd",
        "2048171",
    ]


@pytest.mark.parametrize(
    "written",
    [
        "BRÍD O'HARROW", "Bri\u0301d O'Harrow", "Brid O\u2019Harrow", "o'harrow,brid", "Br\u200bíd O'Har\u00adrow",
        "Bríd\u00a0O'Harrow", "brid_o'harrow", "Brid.O'Harrow", "mean/brid-o'harrow-total", "\uff22\uff52\uff49\uff44 O'Harrow",
    ],
)  # fmt: skip
def test_no_way_of_writing_hides_a_name(written):
    """Accents, case, unseen signs, wide letters, joints and either order: it is found, and given as it stands there."""
    text = f"of {written} it is said, é"
    found = find_personal(text, ["bríd o'harrow"])
    assert len(found) == 1
    assert found[0] in unicodedata.normalize("NFC", text)


@pytest.mark.parametrize(
    ("text", "found"),
    [("A mark may be low. Mark it. May is a month.", []), ("<td>Mark</td>", ["Mark"]), ("a,mark\n", ["mark"]),
     ("what the singer Mark sang", ["Mark"]), ("data:image/png;base64,aa/mark+= and", []), ("remark, Marks, marked", []),
     ("between September and May 2026", []), ("<td>May</td>", ["May"]), ("on Monday, May 4", [])],
)  # fmt: skip
def test_a_name_of_one_word_may_be_a_word(text, found):
    """It counts where it fills a cell, or stands with a capital inside a sentence; a month only where it fills one."""
    assert find_personal(text, ["mark", "may"]) == found


def test_ordinary_words_side_by_side_are_a_name_only_in_its_order():
    """A student called Note Grade is found by both words together, not by one of them in a heading."""
    assert find_personal("<th>Note</th><th>Grade</th>", ["note grade"]) == []
    assert find_personal("sung by Note Grade alone", ["note grade"]) == ["Note Grade"]


@pytest.mark.parametrize(
    "written",
    ["2011-05-07", "2011/05/07", "20110507", "7.5.2011", "07.05.2011", "5/7/2011", "05/07/11", "7 May 2011", "7. May 2011",
     "May 7, 2011", "May 7th 2011"],
)  # fmt: skip
def test_a_day_of_birth_is_found_in_every_way_to_write_it(written):
    """The usual orders, separators and names of the month."""
    assert find_personal(f"born {written}.", ["2011-05-07"]) == [written]


@pytest.mark.parametrize("written", ["2011-05-08", "7 May 2012", "12011-05-07", "0.20110507", "75.2011"])
def test_other_days_are_none(written):
    """Another day, and digits that only hold the same."""
    assert find_personal(f"on {written} then", ["2011-05-07"]) == []


def test_what_looks_like_a_day_and_is_none_is_searched_as_it_stands():
    """An id written like a day that no calendar has."""
    assert find_personal("see 2011-99-07", ["2011-99-07"]) == ["2011-99-07"]


@given(
    st.text(alphabet="abcdefghijklmnopqrstuvwxyzäéøłß", min_size=2, max_size=9),
    st.text(alphabet="abcdefghijklmnopqrstuvwxyzäéøłß", min_size=2, max_size=9),
    st.text(max_size=40), st.text(max_size=40),
)  # fmt: skip
@settings(max_examples=50, deadline=None)
def test_a_full_name_is_found_in_any_text(first, last, before, after):
    """Whatever stands around it, in both orders and in capitals."""
    for written in (f"{first} {last}", f"{last}, {first}".title(), f"{first} {last}".upper()):
        text = f"{before} | {written} | {after}"
        assert [word.casefold() for word in find_personal(text, [f"{first} {last}"])]
