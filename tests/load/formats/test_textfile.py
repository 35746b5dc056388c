"""Delimited text: encodings, delimiters, line numbers."""

import pytest

from kit.load.formats import textfile
from kit.load.formats.textfile import EncodingError, decode, is_binary, split


@pytest.mark.parametrize(
    ("content", "remark"),
    [
        ("é;1".encode(), "read as UTF-8"),
        ("\ufeffid;é".encode(), "read as UTF-8 with a byte-order mark"),
        ("id\té".encode("utf-16"), "read as UTF-16"),
        ("id\tname\t1".encode("utf-16-le"), "read as UTF-16"),
        ("naïve ‘quoted’ café".encode("cp1252"), "read as Windows-1252"),
    ],
)
def test_encodings_that_school_computers_write(content, remark):
    """Each encoding is recognised, and the text holds no byte-order mark."""
    text, said = decode(content)
    assert said == remark
    assert "\ufeff" not in text


def test_two_plausible_encodings_are_refused_until_one_is_declared():
    """A capital with an accent at the start of a word reads plausibly both ways."""
    content = b"id,name\n1,\xc9lan\n"
    with pytest.raises(EncodingError) as refused:
        decode(content)
    assert str(refused.value) == (
        "The accented letters can be read as Windows-1252 or Mac Roman. "
        'Save the file as "CSV UTF-8", or write encoding = "cp1252" (Windows) or "mac_roman" (older Macs).'
    )
    assert decode(content, "cp1252")[0] == "id,name\n1,Élan\n"


def test_a_declared_encoding_that_does_not_fit_is_refused():
    """Declaring a wrong encoding gives a sentence, not a traceback."""
    with pytest.raises(EncodingError) as refused:
        decode(b"\xff\xfe\x00", "ascii")
    assert refused.value.found == "The file is not in the encoding 'ascii'."


@pytest.mark.parametrize("delimiter", textfile.DELIMITERS)
def test_delimiters(delimiter):
    """The delimiter that cuts all lines alike is taken, commas inside quotes notwithstanding."""
    text = "\n".join(
        delimiter.join(row) for row in [["ID", "Name", "Pre"], ["1", '"Lee, Ann"', "12"], ["2", "Bo", "9"]]
    )
    rows, _, _ = split(text)
    assert rows == [["ID", "Name", "Pre"], ["1", "Lee, Ann", "12"], ["2", "Bo", "9"]]


def test_the_line_that_names_the_delimiter():
    """A first line sep=; is obeyed and is no row; line numbers still count it."""
    rows, numbers, remark = split("sep=;\nID;Pre\n1;17,5\n")
    assert (rows, numbers) == ([["ID", "Pre"], ["1", "17,5"]], [2, 3])
    assert remark == "fields parted by semicolons"


def test_rows_are_numbered_by_the_line_on_which_they_begin():
    """A quoted line break does not shift the numbers of later rows."""
    rows, numbers, _ = split('ID,Remark\n1,"sang\nwell"\n2,\n')
    assert numbers == [1, 2, 4]
    assert rows[1] == ["1", "sang\nwell"]


@pytest.mark.parametrize("content", [b"%PDF-1.7 abc", b"\x89PNG\r\n", b"\xff\xd8\xff\xe0", bytes(range(256)) * 4])
def test_what_is_no_text(content):
    """Pictures, documents and programs are not read as text."""
    assert is_binary(content)
    assert not is_binary(b"ID,Pre\n1,12\n")
