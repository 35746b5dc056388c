"""Marks of single notes, by the key: layouts, raters, what was sung, occasions, and marks given twice."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.load.declared import Rules
from kit.load.declared_music import ItemSource, KeySource, Syllables
from kit.load.files import load_files

KEY = "Form,Melody,Note,Degree\nA,1,1,do\nA,1,2,re\nA,1,3,so\nA,2,1,so\nA,2,2,ti\n"
RULES = Rules(
    occasions={"pre": ("Sept",), "post": ("Dec",)},
    syllables={"all": Syllables(system="movable_i_up_e_down"), "Old": Syllables(system="movable_e_up_a_down")},
)


def load(folder: Path, text: str, *, key: str = KEY, rules: Rules = RULES, **declared):
    """Write a file of single notes beside a key and read both."""
    (folder / "items.csv").write_text(text, encoding="utf-8")
    sources = [ItemSource(file="items.csv", **declared)]
    if key:
        (folder / "key.csv").write_text(key, encoding="utf-8")
        sources.append(KeySource(file="key.csv"))
    return load_files(folder, sources, rules=rules)


def notes(loaded, *columns) -> list[tuple]:
    """List chosen columns of the items, missing values as None."""
    table = loaded.items[list(columns)].astype(object)
    return list(table.where(table.notna(), None).itertuples(index=False, name=None))


def said(loaded) -> list[str]:
    """List what was set aside: row, column, reason, found."""
    aside = loaded.set_aside
    return [f"{row} {column} {why}: {found}" for row, column, why, found in zip(
        aside.row, aside.column, aside.why, aside.found, strict=True)]  # fmt: skip


def test_a_row_for_each_note_and_two_raters(tmp_path):
    """Both raters' marks are rows; what was sung and the syllable belong to the first, who heard it."""
    loaded = load(
        tmp_path,
        "student,wave,form,melody,note,marked,sung_instead,syllable,blind\n"
        "R1,Sept,A,1,1,1,,1,1\nR1,Sept,A,1,2,0,low ti,0,\nR1,Dec,A,2,2,0,no response,,0\n",
        rater_is="own teacher", second_rater_is="blind rater",
    )  # fmt: skip
    assert loaded.problems == ()
    columns = ("occasion", "rater", "melody", "item", "degree", "approached_by", "right", "syllable_right", "sung")
    assert notes(loaded, *columns) == [
        ("pre", "own teacher", "1", 1, 1, "", True, True, ""),
        ("pre", "blind rater", "1", 1, 1, "", True, None, ""),
        ("pre", "own teacher", "1", 2, 2, "step", False, False, "7,"),
        ("post", "own teacher", "2", 2, 7, "other_skip", False, None, ""),
        ("post", "blind rater", "2", 2, 7, "other_skip", False, None, ""),
    ]


def test_raters_are_named_by_their_headings(tmp_path):
    """Two columns of marks whose raters are not declared are told apart by their headings."""
    loaded = load(tmp_path, "ID,Form,Melody,Note,Marked,Blind\nR1,A,1,1,1,0\n")
    assert notes(loaded, "rater", "right") == [("Marked", True), ("Blind", False)]


def test_a_column_for_each_note_of_all_melodies(tmp_path):
    """Without a melody, the columns are the notes of the form in the order of the key; ranges are written out."""
    text = "ID,Form,n01,n02,n03,n04,n05\nR1,A,1,0,x,,abs\n"
    loaded = load(tmp_path, text, items=("n01..n05",), right_words={"x": "wrong"})
    assert notes(loaded, "melody", "item", "right", "missing_reason") == [
        ("1", 1, True, ""), ("1", 2, False, ""), ("1", 3, False, ""), ("2", 1, None, "unspecified"),
        ("2", 2, None, "absent"),
    ]  # fmt: skip
    assert notes(load(tmp_path, text, right_words={"x": "wrong"}), "right") == notes(loaded, "right")


def test_more_marks_than_notes(tmp_path):
    """A mark in a column beyond the last note of the form sets the row aside; an empty one does not."""
    loaded = load(tmp_path, "ID,n1,n2,n3,n4,n5,n6\nR1,1,1,1,1,1,1\nR2,1,1,1,1,1,\n")
    assert said(loaded) == ["2  item_count: The row has 6 marks or more, the key has 5 notes."]
    assert len(loaded.items) == 5


def test_strings_of_two_raters(tmp_path):
    """A second string is the marks of a second rater; an empty one is no mark of his."""
    loaded = load(tmp_path, "ID,Melody,Notes,Blind\nR1,1,101,111\nR2,2,1 0,\n")
    assert notes(loaded, "rater", "item", "right") == [
        ("Notes", 1, True), ("Notes", 2, False), ("Notes", 3, True), ("Blind", 1, True), ("Blind", 2, True),
        ("Blind", 3, True), ("Notes", 1, True), ("Notes", 2, False),
    ]  # fmt: skip


def test_a_string_of_syllables_right(tmp_path):
    """A declared second string says of each note whether the syllable was right."""
    loaded = load(tmp_path, "ID,Melody,Notes,Syll\nR1,2,10,01\n", syllable_right="Syll")
    assert notes(loaded, "right", "syllable_right") == [(True, False), (False, True)]


def test_zeros_that_a_spreadsheet_ate(tmp_path):
    """Every row that may have lost zeros is named with its length, and the file is refused."""
    loaded = load(tmp_path, "ID,Melody,Notes\nR1,1,111\nR2,1,11\nR3,1,1\n")
    assert [str(problem) for problem in loaded.problems] == [
        "items.csv, row 3, column Notes: The string of marks has 2 digits, the key has 3 notes: zeros at the beginning "
        "are lost (rows 3, 4). Format the column as text, and type or export the marks again."
    ]


def test_digits_that_a_spreadsheet_rounded(tmp_path):
    """A long number in place of a string is refused."""
    loaded = load(tmp_path, "ID,Notes\nR1,1.10111E+23\n", key="", item_count=24)
    assert [str(problem) for problem in loaded.problems] == [
        "items.csv, row 2, column Notes: The string of marks was made a number, and its last digits are lost (row 2). "
        "Format the column as text, and type or export the marks again."
    ]


def test_strings_of_unknown_length(tmp_path):
    """Without a key the number of notes must be declared."""
    loaded = load(tmp_path, "ID,Notes\nR1,111\n", key="")
    assert [str(problem) for problem in loaded.problems] == [
        "items.csv, row 1, column Notes: Nothing tells how many notes a string of marks has. Add the key of the test "
        "under [[keys]] in study.toml, or write item_count = 8 beside the file."
    ]


def test_notes_that_the_key_does_not_have(tmp_path):
    """A form, melody or note that the key lacks sets the row aside, and so does a place that is no number."""
    text = "ID,Form,Melody,Note,Right\nR1,A,1,1,1\nR1,B,1,1,1\nR1,A,3,1,1\nR1,A,1,4,1\nR1,A,,1,1\nR1,A,1,last,1\n"
    assert said(load(tmp_path, text)) == [
        '3 Form unknown_item: The key has no form "B".',
        '4 Note unknown_item: The key has no note 1 in melody "3".',
        '5 Note unknown_item: The key has no note 4 in melody "1".',
        "6 Note unknown_item: The key has no note 1 and the row names no melody.",
        '7 Note item_number: The place of the note is "last".',
    ]


def test_the_only_form_of_the_key(tmp_path):
    """A row that names no form is of the only one; where the key has several it is set aside."""
    text = "ID,Melody,Note,Right\nR1,1,1,1\n"
    assert notes(load(tmp_path, text), "form", "degree") == [("A", 1)]
    assert said(load(tmp_path, text, key=KEY + "B,1,1,mi\n")) == [
        "2  unknown_item: The row names no form, and the key has several."
    ]
    assert notes(load(tmp_path, text, key=KEY + "B,1,1,mi\n", form_is="B"), "degree") == [(3,)]


def test_without_a_key(tmp_path):
    """Without a key, or with one of another measure, notes are read as they stand and have no tags."""
    text = "ID,Form,Melody,Note,Right\nR1,C,9,30,1\n"
    for loaded in (load(tmp_path, text, key=""), load(tmp_path, text, measure_is="rhythm")):
        assert notes(loaded, "form", "melody", "item", "degree", "right") == [("C", "9", 30, None, True)]


def test_unclear_signs(tmp_path):
    """Signs with two readings are set aside with what to declare; a text that may be a name is not repeated."""
    loaded = load(tmp_path, "ID,Melody,Note,Right,Blind\nR1,1,1,x,1\nR1,1,2,Ann did,1\nR1,1,3,/,\n")
    assert said(loaded) == [
        '2 Right right_unclear: The mark is "x". The sign for right or wrong can be read in two ways.',
        "3 Right not_a_mark: This is no mark that the kit can read.",
        '4 Right right_unclear: The mark is "/". The sign for right or wrong can be read in two ways.',
    ]
    assert set(loaded.set_aside.what_to_do) == {
        'Say what it means in study.toml, such as right_words = {x = "wrong"}.',
        "Write 1 for right and 0 for wrong, or a word such as absent.",
    }
    assert notes(loaded, "rater", "item") == [("Blind", 1), ("Blind", 2)]


def test_what_was_sung_cannot_be_read(tmp_path):
    """A syllable outside the system is set aside by itself: the miss stays."""
    loaded = load(tmp_path, "ID,Melody,Note,Right,Sung\nR1,1,1,0,zu\nR1,1,2,0,do re\nR1,1,3,0,flat\n")
    assert said(loaded)[0].startswith("2 Sung syllable_unknown: ")
    assert said(loaded)[1] == "3 Sung not_a_mark: This is no mark that the kit can read."
    assert notes(loaded, "right", "sung") == [(False, ""), (False, ""), (False, "")]
    assert "word read as no note, flat" in set(loaded.changes.rule)


def test_syllables_of_the_choir(tmp_path):
    """What te means depends on the choir of the row."""
    loaded = load(tmp_path, "ID,Choir,Melody,Note,Right,Sung\nR1,Old,1,1,0,te\nR2,New,1,1,0,te\n")
    assert notes(loaded, "choir", "sung") == [("Old", "7"), ("New", "b7")]


def test_occasions(tmp_path):
    """Occasions take the names of the study file; unknown ones are set aside."""
    loaded = load(tmp_path, "ID,Wave,Melody,Note,Right\nR1,sept ,1,1,1\nR1,Camp,1,1,1\n")
    assert notes(loaded, "occasion") == [("pre",)]
    assert said(loaded) == ['3 Wave unknown_occasion: The occasion is "Camp".']


def test_occasions_that_are_not_declared(tmp_path):
    """Words that name their own place in time need no declaration; others are refused.

    A file of notes may lack an occasion that the marks have, so their order in it would tell nothing.
    """
    named = load(tmp_path, "ID,Wave,Melody,Note,Right\nR1,Pretest,1,1,1\nR1,After,1,1,1\n", rules=Rules())
    assert notes(named, "occasion") == [("pre",), ("post",)]
    loaded = load(tmp_path, "ID,Wave,Melody,Note,Right\nR1,Sept,1,1,1\nR1,Dec,1,1,1\n", rules=Rules())
    assert [str(problem) for problem in loaded.problems if problem.why == "occasion_order"] == [
        'items.csv, column Wave: The order of the occasions "dec", "sept" is not clear. Declare them in study.toml: '
        '[occasions], then lines such as  pre = ["Fall", "BOY"].'
    ]


def test_the_only_occasion(tmp_path):
    """Without a column the occasion is the declared one, or the only one there is."""
    text = "ID,Melody,Note,Right\nR1,1,1,1\n"
    assert notes(load(tmp_path, text), "occasion") == [("pre",)]
    assert notes(load(tmp_path, text, occasion_is="post"), "occasion") == [("post",)]


@pytest.mark.parametrize(("attempts", "kept"), [("first", True), ("last", False), ("best", True)])
def test_a_note_marked_twice(tmp_path, attempts, kept):
    """Of two different marks of one note one counts; the same row twice is told as such."""
    text = "ID,Melody,Note,Right\nR1,1,1,1\nR1,1,1,0\nR1,1,2,1\nR1,1,2,1\n"
    loaded = load(tmp_path, text, rules=Rules(attempts=attempts, syllables=RULES.syllables))
    assert notes(loaded, "item", "right")[0] == (1, kept)
    assert sorted(loaded.set_aside.why) == ["same_row_twice", "second_attempt"]
    which = "last" if attempts == "last" else "first"
    assert f"The note was marked twice; the {which} mark counts." in set(loaded.set_aside.found)


def test_two_raters_in_rows(tmp_path):
    """Two rows of one note by two raters are both kept."""
    loaded = load(tmp_path, "ID,Rater,Melody,Note,Right\nR1,JM,1,1,1\nR1,KB,1,1,0\n")
    assert notes(loaded, "rater", "right") == [("JM", True), ("KB", False)]


@pytest.mark.parametrize(
    ("text", "declared", "why", "found"),
    [
        ("ID,Form,Melody\nR1,A,1\n", {}, "wrong_columns", "No column of single notes is recognised: name item and "
         "right, or items, or string."),
        ("ID,Melody,Note\nR1,1,1\n", {}, "wrong_columns", "No column says whether a note was right: name it under "
         "right."),
        ("ID,n1,n2,n3\nR1,1,1,1\n", {"items": ("n1..n4",)}, "column_missing", 'There is no column "n4".'),
        ("ID,n1,n2,n3,Sung\nR1,1,1,1,do\n", {"sung": "Sung"}, "setting", "sung cannot be read beside marks in this "
         "layout."),
        ("ID,Notes,Sung\nR1,11111,do\n", {"sung": "Sung"}, "setting", "sung cannot be read beside marks in this "
         "layout."),
    ],
)  # fmt: skip
def test_layouts_that_cannot_be_read(tmp_path, text, declared, why, found):
    """A layout that is not known, or says more than it can hold, is refused."""
    loaded = load(tmp_path, text, **declared)
    assert [(problem.why, problem.found) for problem in loaded.problems] == [(why, found)]


@settings(max_examples=12, deadline=None)
@given(st.lists(st.lists(st.sampled_from("10."), min_size=5, max_size=5), min_size=1, max_size=6))
def test_three_layouts_say_the_same(tmp_path_factory, marks):
    """Strings, columns and rows of the same marks give the same table, but for the row numbers."""
    folder = tmp_path_factory.mktemp("items")
    places = [(1, 1), (1, 2), (1, 3), (2, 1), (2, 2)]
    strings = "ID,Notes\n" + "".join(f"R{at},{' '.join(row)}\n" for at, row in enumerate(marks))
    wide = "ID,n1,n2,n3,n4,n5\n" + "".join(f"R{at},{','.join(row)}\n" for at, row in enumerate(marks))
    long = "ID,Melody,Note,Right\n" + "".join(
        f"R{at},{melody},{note},{mark}\n"
        for at, row in enumerate(marks)
        for (melody, note), mark in zip(places, row, strict=True)
    )
    columns = ("form", "melody", "item", "degree", "approached_by", "right", "missing_reason")
    tables = [notes(load(folder, text), *columns) for text in (strings, wide, long)]
    assert tables[0] == tables[1] == tables[2]
    assert len(tables[0]) == 5 * len(marks)


def test_columns_of_a_range_are_not_called_unread(tmp_path):
    """Items declared as n1..n3 are read, and the check page says so."""
    loaded = load(tmp_path, "ID,Wave,Melody,n1,n2,n3,Hat\nR1,Sept,1,1,1,0,x\n", key="", items=("n1..n3",))
    assert [found.unread for found in loaded.suggestions] == [("Hat",)]
    assert len(loaded.items) == 3


def test_files_of_single_notes_that_say_which_test_they_hold(tmp_path):
    """The name of the file tells the occasion where nothing else does."""
    for name in ("notes pretest.csv", "notes posttest.csv"):
        (tmp_path / name).write_text("ID,n1,n2,n3\nR1,1,1,0\n", encoding="utf-8")
    sources = [ItemSource(file="notes pretest.csv"), ItemSource(file="notes posttest.csv")]
    loaded = load_files(tmp_path, sources)
    assert list(dict.fromkeys(loaded.items["occasion"])) == ["pre", "post"]
    assert [found.source.occasion_is for found in loaded.suggestions] == ["pre", "post"]
    assert len(loaded.set_aside) == 0
